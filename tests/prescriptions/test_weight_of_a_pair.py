"""A whole pair weighed by hand: every part of both shoes as area × thickness × density, written out, and their sums.

Widths are measured off the outline of the ordinary last of 285 mm, in mm at so many mm from the back of the heel:
20: 59.7, 40: 69.6, 60: 70.3, 80: 71.6, 100: 74.0, 120: 77.6, 140: 83.2, 151: 87.2, 160: 90.6, 180: 96.7, 205: 98.0,
228: 91.4, 235: 88.0, 240: 85.1, 250: 77.9, 257: 71.4, 265: 62.1, 273: 49.5, 280: 32.8. Between them by trapezia, round
the back of the heel as a quarter of an ellipse. The whole outline encloses 216.2 cm² and is 656 mm long. Densities are
the middles of the workshop's table, in g/cm³.
"""

from typing import NamedTuple

import pytest

from cases.prescriptions.shoe import Shoe
from cases.prescriptions.weight import PartWeight
from cases.prescriptions.weight_of_shoe import weight_of_shoe
from tests.prescriptions.shoes import a_bar, a_cushion, a_shoe, a_toe_prop
from tests.prescriptions.stock import WORKSHOP

PLAN_CM2 = 216.2
BOVINE, LINING, BELLY, SHOULDER, STEEL = 0.775, 0.750, 0.900, 0.950, 7.85
SOLING, FILLER, CUSHION, CARBON, EVA = 0.475, 0.425, 0.260, 1.400, 0.200


class Part(NamedTuple):
    """`area_cm2` of a thickness and a density."""

    area_cm2: float
    thickness_mm: float
    g_cm3: float

    @property
    def grams(self) -> float:
        return self.area_cm2 * self.thickness_mm / 10 * self.g_cm3


# Vamp, girth − width at 151, 180, 205, 235, 265, 285: 170.1, 158.3, 155.0, 117.0, 94.8, 63.3 mm; 29, 25, 30, 30, 20 mm
# apart: 4762 + 3916 + 4080 + 3177 + 1581 = 17,516 mm². Quarters 2 × 151 + 0.3 × 45 = 315.5 round the heel, mean height
# (60 + 0.8 × 68) / 2 = 57.2: 18,047 mm². Overlaps × 1.5, and 656 × 18 mm of margin: 53,345 + 11,808 = 65,153 mm²; of
# the lining 656 × 16 mm: 63,841 mm².
UPPER_CM2, LINING_CM2 = 651.5, 638.4
LEFT: dict[str, Part] = {
    "upper": Part(UPPER_CM2, 1.6, BOVINE),
    "lining": Part(LINING_CM2, 1.2, LINING),
    # 249 × (0.8 × 52 + 13) = 13,595; less half of what is skived, (249 × 15 + 2 × 25 × 41.6) / 2 = 2,908 mm².
    "stiffener": Part(106.9, 2.8, BELLY),
    # From 228 on: 1059 + 815 + 1050 + 446 + 288 + 82 = 3,740, domed × 1.35; round the toe 2 × 57 + 0.6 × 91.4 = 169 × 12.
    "toe puff": Part(70.8, 1.6, BELLY),
    "insole": Part(PLAN_CM2, 4.2, SHOULDER),
    "sock": Part(PLAN_CM2, 0.9, LINING),
    # The joint line at its lateral edge, 191.1, − 25 − 12 = 154.1 mm × 15 mm.
    "shank": Part(23.1, 1.2, STEEL),
    # A third and a little of the plan, 0.35.
    "filler": Part(75.7, 3.0, FILLER),
    # Eight hundredths wider than the plan.
    "sole": Part(233.5, 6.0, SOLING),
    # To 71 mm, a quarter of the last: 938 + 1293 + 1399 + 794 = 4,424 mm², 22 mm high, less at its breast.
    "heel": Part(44.2, 21.6, SOLING),
}
RIGHT: dict[str, Part] = {
    **LEFT,
    # The joint line further lateral, 188.8, − 25 − 12 = 151.8 mm × 2 × 10 mm.
    "shank": Part(30.4, 1.2, STEEL),
    # 9 mm inside both edges, from 68 to 273: 1719 + 2424 + 2878 + 1984 + 2574 + 1024 + 679 = 13,282 mm². 5 × 0.28 mm.
    "carbon": Part(132.8, 1.4, CARBON),
    # From 17 to 185: 169 + 1293 + 1399 + 1419 + 1456 + 1516 + 1608 + 1738 + 2354 = 12,952 mm².
    "doubled rear": Part(129.5, 3.0, SHOULDER),
    # Whole to 43 mm, 2,423 mm² × 8; from there to nothing at 205, (558 + 4 × 314 + 0) × 162 / 6: 19.4 + 49.0 = 68.4 cm³.
    "raise in the shoe": Part(85.5, 8.0, EVA),
    # 60 mm across.
    "cushion, heel": Part(28.27, 4.0, CUSHION),
    # 15 × 80 mm, and 20 × 60 mm under three toes of five; a hump holds 0.55 of its box.
    "bar": Part(6.6, 6.0, CUSHION),
    "toe prop": Part(6.6, 6.0, CUSHION),
}
SMALL_PARTS_G = 45.0

PLAIN = a_shoe(upper={"leather": "bovine"})
BUILT = a_shoe(
    upper={"leather": "bovine"},
    insole={"rear_doubled_mm": 3},
    shank={"count": 2, "width_mm": 10},
    carbon_zone={},
    height_raise={"in_shoe_heel_mm": 8, "material": "EVA medium"},
    cushions=(a_cushion("heel"),),
    metatarsal_supports=(a_bar(),),
    toe_prop=a_toe_prop(),
)
PAIR = pytest.mark.parametrize(("shoe", "by_hand"), [(PLAIN, LEFT), (BUILT, RIGHT)], ids=["LEFT", "RIGHT"])


def parts_of(shoe: Shoe) -> dict[str, PartWeight]:
    found = weight_of_shoe(shoe, densities=WORKSHOP.stock.densities, figures=WORKSHOP.weight).parts
    return {part.words: part for part in found if part.material != "allowance"}


@PAIR
def test_each_part_weighs_what_it_does_by_hand(shoe: Shoe, by_hand: dict[str, Part]) -> None:
    """To 3.5 % of each: trapezia over six widths against a hundred and eighty."""
    weighed = {words: part.middle_g for words, part in parts_of(shoe).items()}
    assert weighed == pytest.approx({words: part.grams for words, part in by_hand.items()}, rel=0.035)


@PAIR
def test_a_shoe_of_the_pair_weighs_the_sum_by_hand(shoe: Shoe, by_hand: dict[str, Part]) -> None:
    """LEFT about 464 g, RIGHT 555; to 1 %."""
    total = sum(part.grams for part in by_hand.values()) + SMALL_PARTS_G
    found = weight_of_shoe(shoe, densities=WORKSHOP.stock.densities, figures=WORKSHOP.weight)
    assert found.middle_g == pytest.approx(total, rel=0.01)


def test_by_hand_the_two_shoes_differ_by_what_is_built_into_one() -> None:
    """26.0 + 36.9 + 13.7 + 2.9 + 1.0 + 1.0 and 6.9 of a second shank: 88.5 g."""
    found = [
        weight_of_shoe(shoe, densities=WORKSHOP.stock.densities, figures=WORKSHOP.weight).middle_g
        for shoe in (PLAIN, BUILT)
    ]
    assert found[1] - found[0] == pytest.approx(88.5, abs=1.5)
