from datetime import datetime

import pytest

from cases.bench.models import PairState, Stage
from tests.factories import bench as factory
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


def test_a_pair_is_opened_with_a_stage_of_its_own_for_each_foot(maker: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now)
    keys = {
        side: [row.kind.key for row in Stage.objects.filter(pair=pair, side=side).select_related("kind")]
        for side in ("left", "right")
    }
    assert keys["left"] == keys["right"]
    assert keys["left"][:2] == ["gather", "alter-last"]


def test_the_whole_route_can_be_done_to_the_end(maker: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now)
    factory.bring_to_the_end(pair, by=maker, at=now)
    pair.refresh_from_db()
    assert pair.state == PairState.FINISHED
