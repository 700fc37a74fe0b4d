"""The measures of a foot, where the tape or stick lies for each, and the questions that a set of them raises.

All values are in mm. No question here stops anything: it asks for the tape once more.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from statistics import median

SURVEY = "ANSUR II, NATICK/TR-15/007: so on the right foot of all 6,068 people of the open survey"
CONVENTION = "common practice, no source"
TYPING = "a slip of the decimal point; the bounds are from memory"

LENGTH_DIFFERENCE_MM = Decimal(12)
JOINT_GIRTH_DIFFERENCE_MM = Decimal(15)
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


@dataclass(frozen=True)
class MeasureAgain:
    """A question about a set. `side` is left or right, or empty where one foot is held against the other."""

    side: str
    keys: tuple[str, ...]
    question: str
    source: str


def measure_slips(*, left: Values, right: Values) -> tuple[MeasureAgain, ...]:
    """What had better be measured again, in mm, one question each; nothing where all agrees.

    Order checks: ANSUR II (NATICK/TR-15/007), in which they held for everybody. Left against right and slips of ten
    times: common practice, no source. A missing measure raises no question.
    """
    questions: list[MeasureAgain] = []
    for side, values in (("left", left), ("right", right)):
        questions.extend(_ten_times(side, values))
        questions.extend(_out_of_order(side, values))
    questions.extend(_sides_apart(left, right))
    return tuple(questions)


def _ten_times(side: str, values: Values) -> list[MeasureAgain]:
    found = []
    for kind in MEASURES:
        value = values.get(kind.key)
        if value is None or kind.lowest_mm <= value <= kind.highest_mm:
            continue
        meant = next((each for each in (value / 10, value * 10) if kind.lowest_mm <= each <= kind.highest_mm), None)
        if meant is not None:
            question = f"{_start(kind.key)} is {_mm(value)}: was {_mm(meant)} meant?"
            found.append(MeasureAgain(side, (kind.key,), question, TYPING))
    return found


ORDER_CHECKS: tuple[tuple[str, int, str, str], ...] = (
    ("heel_to_joint", 1, "foot_length", "Heel to joint is not shorter than the foot"),
    ("joint_width", 2, "joint_girth", "Joint girth is not more than twice the joint width"),
    ("joint_girth", 1, "short_heel_girth", "Short heel girth is not more than the joint girth"),
)
"""Smaller measure, how many times it is taken, greater measure, and what is said where the order is broken."""


def _out_of_order(side: str, values: Values) -> list[MeasureAgain]:
    found = []
    for smaller, times, greater, what in ORDER_CHECKS:
        if smaller in values and greater in values and values[smaller] * times >= values[greater]:
            figures = f"{label(smaller)} {_mm(values[smaller])}, {label(greater)} {_mm(values[greater])}"
            found.append(MeasureAgain(side, (smaller, greater), f"{what} ({figures}).", SURVEY))
    return found


def _sides_apart(left: Values, right: Values) -> list[MeasureAgain]:
    found = []
    for key, most in (("foot_length", LENGTH_DIFFERENCE_MM), ("joint_girth", JOINT_GIRTH_DIFFERENCE_MM)):
        if key in left and key in right and abs(left[key] - right[key]) > most:
            question = f"{_start(key)}, LEFT {_mm(left[key])} and RIGHT {_mm(right[key])}: more than {_mm(most)} apart."
            found.append(MeasureAgain("", (key,), question, CONVENTION))
    return found


def _start(key: str) -> str:
    words = label(key)
    return words[:1].upper() + words[1:]


def _mm(value: Decimal) -> str:
    return f"{value.normalize():f} mm"
