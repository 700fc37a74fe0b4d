"""What makers of the invented workshop did to patterns: a reach that waits for the clinician, a toe, a puff of their own."""

from collections.abc import Mapping
from datetime import timedelta
from decimal import Decimal

from django.utils import timezone

from cases.bench.models import Pair
from cases.patterns import queries
from cases.patterns.actions import Adjusted, adjust, use_own_template
from cases.patterns.drafting.changes import FIGURE
from demo.clinic import Clinic
from shared.sides import SIDES, Side

LONGER_BY_MM = Decimal(6)
REACH = "medial-reach"


def adjust_pieces(clinic: Clinic, pairs: Mapping[str, Pair]) -> None:
    """Adjust the pieces of a pair that is cut next, and cut the puffs of another by an own template."""
    at = clinic.now - timedelta(hours=1)
    maker, pair = clinic.staff["bram"], pairs["hammer-toes"]
    adjust(
        pair,
        Adjusted(side=Side.LEFT, piece="stiffener", what=REACH, to_mm=_prescribed(pair, clinic) + LONGER_BY_MM),
        reason="The last runs long at the medial joint; the end would press behind it.",
        by=maker,
        at=at,
    )
    adjust(
        pair,
        Adjusted(side=Side.RIGHT, piece="insole", what="toe_tip", along_mm=Decimal(2)),
        reason="The second toe is the longest.",
        by=maker,
        at=at,
    )
    use_own_template(
        pairs["foot-drop"], sides=SIDES, piece="toe_puff", template="light puff, card no. 3", by=maker, at=at
    )


def _prescribed(pair: Pair, clinic: Clinic) -> Decimal:
    """The LEFT medial reach that is prescribed, in whole mm."""
    found = queries.pair_named(pair.uuid)
    assert found is not None
    shoes = queries.patterns_of(found, on=timezone.localdate(clinic.now)).shoes
    return Decimal(round(FIGURE[REACH].now(shoes[Side.LEFT]) or 0))
