"""The measures of a foot, and where the tape or stick lies for each. All values are in mm."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from statistics import median

LEAST_MM = Decimal(0)
"""A measure is more than this."""
MOST_MM = Decimal(1500)
"""A measure is less than this."""
MOST_TAKES = 3


class Group(Enum):
    """What kind of measure it is, in the order in which they are taken."""

    LENGTHS = "lengths and widths"
    GIRTHS = "girths"
    HEIGHTS = "heights"
    LEG = "for a boot"


@dataclass(frozen=True)
class MeasureKind:
    """One measure. `lowest_mm` to `highest_mm` hold for feet of any age: beyond them ten times is likelier."""

    key: str
    label: str
    touches: str
    group: Group
    lowest_mm: int
    highest_mm: int
    second_take: bool = False


MEASURES: tuple[MeasureKind, ...] = (
    MeasureKind("foot_length", "foot length", "stick: back of the heel to the longest toe", Group.LENGTHS, 90, 400),
    MeasureKind(
        "heel_to_joint", "heel to joint, medial", "stick: back of the heel to the 1st joint", Group.LENGTHS, 60, 300
    ),
    MeasureKind(
        "heel_to_fifth", "heel to joint, lateral", "stick: back of the heel to the 5th joint", Group.LENGTHS, 50, 290
    ),
    MeasureKind(
        "joint_width", "joint width", "caliper: 1st joint to 5th joint, square to the foot", Group.LENGTHS, 35, 180
    ),
    MeasureKind("heel_width", "heel width", "caliper: widest part of the heel", Group.LENGTHS, 25, 150),
    MeasureKind(
        "joint_girth", "joint girth", "tape: over the 1st and 5th joints", Group.GIRTHS, 90, 450, second_take=True
    ),
    MeasureKind("waist_girth", "waist girth", "tape: the narrowest, behind the joints", Group.GIRTHS, 90, 450),
    MeasureKind(
        "instep_girth",
        "instep girth",
        "tape: over the bone on the instep, under the arch",
        Group.GIRTHS,
        90,
        480,
        second_take=True,
    ),
    MeasureKind(
        "short_heel_girth",
        "short heel girth",
        "tape: round the heel and the bend of the ankle",
        Group.GIRTHS,
        120,
        650,
        second_take=True,
    ),
    MeasureKind(
        "long_heel_girth", "long heel girth", "tape: round the heel and the bone on the instep", Group.GIRTHS, 120, 680
    ),
    MeasureKind("ankle_girth", "ankle girth", "tape: the narrowest, above both malleoli", Group.GIRTHS, 80, 600),
    MeasureKind("toe_depth", "toe depth", "stick: floor to the top of the highest toe", Group.HEIGHTS, 8, 75),
    MeasureKind("instep_height", "instep height", "stick: floor to the bone on the instep", Group.HEIGHTS, 25, 150),
    MeasureKind(
        "medial_malleolus_height",
        "medial malleolus height",
        "stick: floor to the lowest point of the medial malleolus",
        Group.HEIGHTS,
        25,
        150,
    ),
    MeasureKind(
        "lateral_malleolus_height",
        "lateral malleolus height",
        "stick: floor to the lowest point of the lateral malleolus",
        Group.HEIGHTS,
        20,
        150,
    ),
    MeasureKind("calf_girth", "calf girth", "tape: the widest of the calf", Group.LEG, 120, 900),
)

BY_KEY: Mapping[str, MeasureKind] = {kind.key: kind for kind in MEASURES}

Values = Mapping[str, Decimal]
"""One value in mm for each measure that was taken, by its key."""


def label(key: str) -> str:
    """The words of a measure; a key of an older list is shown as it stands."""
    return BY_KEY[key].label if key in BY_KEY else key


def value_of(takes: Sequence[Decimal]) -> Decimal:
    """The value in mm that several takes of one measure stand for: the middle one, or the mean of two.

    One take that slipped does not move it. Raises `StatisticsError` without a take.
    """
    return median(takes)


def asks_third_take(takes: Sequence[Decimal], *, above_mm: Decimal) -> bool:
    """Whether two takes lie further apart than the workshop's setting, and no third has been made."""
    return len(takes) == 2 and abs(takes[0] - takes[1]) > above_mm
