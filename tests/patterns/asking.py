"""What a maker asks of the pages of patterns."""

from typing import Any

from django.urls import reverse

from cases.bench.models import Pair
from tests.conftest import Browserless


def page_of(pair: Pair) -> str:
    return reverse("patterns", args=[pair.uuid])


def printed(client: Browserless, pair: Pair, size: str = "a4") -> Any:
    return client.post(reverse("patterns-print", args=[pair.uuid]), {"size": size})


def adjust(client: Browserless, pair: Pair, **entered: Any) -> Any:
    """The LEFT medial reach, 10 mm longer than prescribed unless said otherwise."""
    given = {"what": "medial-reach", "to_mm": "140", "reason": "the heel is long", "follows": "", **entered}
    return client.post(reverse("pattern-adjust", args=[pair.uuid, "left", "stiffener"]), given)
