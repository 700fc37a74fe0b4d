"""What a prescription implies, per foot and left against right: weight, heights, stiffness, sizes to cut. Pure."""

from collections.abc import Mapping
from functools import lru_cache, partial

from cases.prescriptions.implied.cuts import cuts_told
from cases.prescriptions.implied.figures import ImpliedFigures, Modulus, Promised, Stock, Workshop
from cases.prescriptions.implied.forepart import forepart_told
from cases.prescriptions.implied.heights import heights_told
from cases.prescriptions.implied.told import Group, Implied, OfFoot, Row, Told
from cases.prescriptions.implied.weights import weight_told
from cases.prescriptions.shoe import Shoe
from cases.prescriptions.weight_of_shoe import weight_of_shoe
from shared.calculations import BadInput
from shared.sides import SIDES, Side

__all__ = [
    "Group",
    "Implied",
    "ImpliedFigures",
    "Modulus",
    "OfFoot",
    "Promised",
    "Row",
    "Stock",
    "Told",
    "Workshop",
    "implied_of",
]

NOTHING_PROMISED = Promised()


def implied_of(shoes: Mapping[Side, Shoe], *, workshop: Workshop, promised: Promised = NOTHING_PROMISED) -> Implied:
    """Everything worked out for the shoes of a pair. A foot whose form cannot be drawn is told so."""
    feet: dict[Side, OfFoot] = {}
    cannot: dict[Side, str] = {}
    for side in SIDES:
        if side in shoes:
            try:
                feet[side] = of_foot(shoes[side], workshop=workshop, promised=promised)
            except BadInput as bad:
                cannot[side] = str(bad)
    return Implied(feet, cannot)


@lru_cache(maxsize=64)
def of_foot(shoe: Shoe, *, workshop: Workshop, promised: Promised = NOTHING_PROMISED) -> OfFoot:
    """One foot's figures, kept while the other one is written on. Raises `BadInput` where the form cannot be drawn."""
    weight = weight_of_shoe(shoe, densities=workshop.stock.densities, figures=workshop.weight, weighed=workshop.weighed)
    heights, rocker = heights_told(shoe, promised)
    forepart, labels = forepart_told(shoe, workshop)
    return OfFoot(
        side=shoe.side,
        weight=weight,
        first={"weight": weight_told(weight, promised), **heights, **forepart},
        pieces=partial(cuts_told, shoe, workshop),
        rocker=rocker,
        labels=labels,
    )
