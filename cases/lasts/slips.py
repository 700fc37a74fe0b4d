"""What had better be measured again: the questions that a set of measures raises.

All values are in mm. No question stops anything: it asks for the tape once more. A figure that one question is about is
not asked about by a weaker one. What is recorded of a foot explains what is unusual about it, and silences the question.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from decimal import Decimal
from hashlib import sha256

from cases.lasts.girths import heel_girth_expected
from cases.lasts.measures import BY_KEY, MEASURES, Group, MeasureKind, Values, label
from cases.patients.conditions import CONDITIONS
from shared.units import INCH_MM

SURVEY = "ANSUR II, NATICK/TR-15/007: so on the right foot of all 6,068 people of the open survey"
REGRESSION = (
    "ANSUR II, NATICK/TR-15/007: further than three standard errors from its regressions, men's and women's; "
    "its people are soldiers"
)
GOLDING = (
    "Golding FY, The Manufacture of Boots and Shoes, 1902, Heel Measures; the 30 mm allowed are from memory, unchecked: "
    "no error of this rule is published"
)
CONVENTION = "common practice, no source"
TYPING = "a slip of the decimal point; the bounds are from memory"
SWAPPED = "a slip of the fingers: two digits exchanged"

LENGTH_DIFFERENCE_MM = Decimal(12)
JOINT_GIRTH_DIFFERENCE_MM = Decimal(15)
SINCE_LAST_TIME_MM = Decimal(8)
AS_GOOD_AS_THE_SAME_MM = Decimal(3)
"""How near a figure with two digits exchanged back must come to be what was meant: what two takes may differ by."""
HEEL_GIRTH_OFF_MM = 30
"""From memory, unchecked. The survey's heel girth errs by about 10 mm against foot length, which is another rule."""

SWELLINGS = frozenset({"oedema", "lymphoedema", "lateral_ankle_swelling", "medial_ankle_swelling", "charcot_active"})
WIDER_THIRD_TAKE = frozenset({"oedema", "lymphoedema"})
LEG_DIFFERENCES = frozenset({"leg_length_true", "leg_length_apparent"})


@dataclass(frozen=True)
class Known:
    """What else is known of one foot. `before` holds what was measured last time under the same load, in mm.

    `short_heel_raised_mm` is the heel height at which the short heel girth was taken.
    """

    before: Values = field(default_factory=dict)
    is_swollen: bool = False
    is_deformed: bool = False
    """Deformed, or a part of it is lost."""
    has_leg_difference: bool = False
    short_heel_raised_mm: Decimal = Decimal(0)

    @property
    def is_regular(self) -> bool:
        return not (self.is_swollen or self.is_deformed)


def known_of(
    conditions: Iterable[str], *, before: Values | None = None, short_heel_raised_mm: Decimal = Decimal(0)
) -> Known:
    """What the recorded conditions of one foot, keys of the closed list, say about its measures."""
    found = frozenset(conditions)
    return Known(
        before=before or {},
        is_swollen=bool(found & SWELLINGS),
        is_deformed=any(key in CONDITIONS and CONDITIONS[key].is_deformity for key in found),
        has_leg_difference=bool(found & LEG_DIFFERENCES),
        short_heel_raised_mm=short_heel_raised_mm,
    )


NOTHING_KNOWN = Known()


@dataclass(frozen=True)
class MeasureAgain:
    """A question about a set. `side` is left or right, or empty where one foot is held against the other."""

    side: str
    keys: tuple[str, ...]
    question: str
    source: str

    @property
    def words(self) -> str:
        """The question with its side, as it is asked and kept."""
        return f"{self.side.upper()}: {self.question}" if self.side else self.question

    @property
    def key(self) -> str:
        """Twelve hexadecimal digits that tell this question, with its figures, from any other."""
        return sha256(self.words.encode()).hexdigest()[:12]


@dataclass(frozen=True)
class _Foot:
    side: str
    values: Values
    known: Known


def measure_slips(
    *, left: Values, right: Values, left_known: Known = NOTHING_KNOWN, right_known: Known = NOTHING_KNOWN
) -> tuple[MeasureAgain, ...]:
    """What had better be measured again, in mm, one question each; nothing where all agrees.

    Order checks and regressions: ANSUR II (NATICK/TR-15/007). Heel girth: Golding 1902. Left against right, against
    last time, slips of typing: common practice, no source. A missing measure raises no question.
    """
    feet = (_Foot("left", left, left_known), _Foot("right", right, right_known))
    asked = _Asked()
    for ask in (_ten_times, _swapped):
        asked.of_each_foot(ask, feet)
    asked.add(_swapped_across(*feet))
    asked.of_each_foot(_out_of_order, feet)
    asked.add(_sides_apart(*feet))
    for ask in (_since_last_time, _beyond_the_survey, _beyond_golding):
        asked.of_each_foot(ask, feet)
    return tuple(sorted(asked.questions, key=lambda each: ("left", "right", "").index(each.side)))


class _Asked:
    """The questions so far, and the figures they are about."""

    def __init__(self) -> None:
        self.questions: list[MeasureAgain] = []
        self._figures: set[tuple[str, str]] = set()

    def of_each_foot(self, ask: "Ask", feet: tuple[_Foot, _Foot]) -> None:
        for foot in feet:
            self.add(ask(foot))

    def add(self, questions: Iterable[MeasureAgain]) -> None:
        for each in questions:
            figures = {(side, key) for key in each.keys for side in ((each.side,) if each.side else ("left", "right"))}
            if not figures & self._figures:
                self.questions.append(each)
                self._figures |= figures


Ask = Callable[[_Foot], Iterator[MeasureAgain]]


# Typing ------------------------------------------------------------------------------------------------------


def _ten_times(foot: _Foot) -> Iterator[MeasureAgain]:
    for kind, value in _measured(foot):
        if kind.lowest_mm <= value <= kind.highest_mm:
            continue
        meant = [_mm(each) for each in (value / 10, value * 10) if _is_of_a_foot(kind, each)]
        if _is_of_a_foot(kind, value * INCH_MM):
            meant.append(f"{_plain(value)} in, which is {_mm(value * INCH_MM)},")
        if meant:
            question = f"{_start(kind.key)} is {_mm(value)}: was {' or '.join(meant)} meant?"
            yield MeasureAgain(foot.side, (kind.key,), question, TYPING)


def _is_of_a_foot(kind: MeasureKind, value_mm: Decimal) -> bool:
    return kind.lowest_mm <= value_mm <= kind.highest_mm


def _swapped(foot: _Foot) -> Iterator[MeasureAgain]:
    """Two neighbouring digits exchanged, seen against last time."""
    for kind, value in _measured(foot):
        before = foot.known.before.get(kind.key)
        if before is None:
            continue
        meant = _exchanged_to(value, before)
        if meant is not None:
            question = f"{_start(kind.key)} is {_mm(value)}, last time {_mm(before)}: was {_mm(meant)} meant?"
            yield MeasureAgain(foot.side, (kind.key,), question, SWAPPED)


def _swapped_across(left: _Foot, right: _Foot) -> Iterator[MeasureAgain]:
    """The same seen against the other foot, where both are whole and neither has a last time to be held against."""
    if left.known.is_deformed or right.known.is_deformed:
        return
    for kind, value in _measured(left):
        key, other = kind.key, right.values.get(kind.key)
        if other is None or key in left.known.before or key in right.known.before:
            continue
        if _exchanged_to(value, other) is not None or _exchanged_to(other, value) is not None:
            question = f"{_start(key)}, LEFT {_mm(value)} and RIGHT {_mm(other)}: are two digits of one exchanged?"
            yield MeasureAgain("", (key,), question, SWAPPED)


def _exchanged_to(value: Decimal, against: Decimal) -> Decimal | None:
    """The figure that two exchanged digits would make of `value`, where it is as good as `against` and `value` is not."""
    if abs(value - against) <= SINCE_LAST_TIME_MM:
        return None
    return next((each for each in _exchanged(value) if abs(each - against) <= AS_GOOD_AS_THE_SAME_MM), None)


def _exchanged(value: Decimal) -> Iterator[Decimal]:
    """The same figure with each two neighbouring digits before the point exchanged."""
    whole, point, tenths = f"{value:f}".partition(".")
    for place in range(len(whole) - 1):
        digits = whole[:place] + whole[place + 1] + whole[place] + whole[place + 2 :]
        yield Decimal(f"{digits}{point}{tenths}")


# One measure against another ---------------------------------------------------------------------------------

ORDER_CHECKS: tuple[tuple[str, int, str, str], ...] = (
    ("heel_to_joint", 1, "foot_length", "Heel to joint is not shorter than the foot"),
    ("joint_width", 2, "joint_girth", "Joint girth is not more than twice the joint width"),
    ("joint_girth", 1, "short_heel_girth", "Short heel girth is not more than the joint girth"),
)
"""Smaller measure, how many times it is taken, greater measure, and what is said where the order is broken."""


def _out_of_order(foot: _Foot) -> Iterator[MeasureAgain]:
    values = foot.values
    for smaller, times, greater, what in ORDER_CHECKS:
        if smaller in values and greater in values and values[smaller] * times >= values[greater]:
            figures = f"{label(smaller)} {_mm(values[smaller])}, {label(greater)} {_mm(values[greater])}"
            yield MeasureAgain(foot.side, (smaller, greater), f"{what} ({figures}).", SURVEY)


def _sides_apart(left: _Foot, right: _Foot) -> Iterator[MeasureAgain]:
    knowns = (left.known, right.known)
    silenced = {
        "foot_length": any(known.has_leg_difference or known.is_deformed for known in knowns),
        "joint_girth": not all(known.is_regular for known in knowns),
    }
    for key, most in (("foot_length", LENGTH_DIFFERENCE_MM), ("joint_girth", JOINT_GIRTH_DIFFERENCE_MM)):
        if silenced[key] or key not in left.values or key not in right.values:
            continue
        if abs(left.values[key] - right.values[key]) > most:
            figures = f"LEFT {_mm(left.values[key])} and RIGHT {_mm(right.values[key])}"
            yield MeasureAgain("", (key,), f"{_start(key)}, {figures}: more than {_mm(most)} apart.", CONVENTION)


def _since_last_time(foot: _Foot) -> Iterator[MeasureAgain]:
    """More than 8 mm from last time; a swollen foot changes its girths from day to day, and is not asked about them."""
    for kind, value in _measured(foot):
        before = foot.known.before.get(kind.key)
        if before is None or abs(value - before) <= SINCE_LAST_TIME_MM:
            continue
        if foot.known.is_swollen and kind.group in {Group.GIRTHS, Group.LEG}:
            continue
        question = f"{_start(kind.key)} is {_mm(value)}, last time {_mm(before)}: more than 8 mm apart."
        yield MeasureAgain(foot.side, (kind.key,), question, CONVENTION)


# Against the survey ------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Regression:
    """One measure expected from another, both in mm: `slope` and `intercept_mm`, and the standard error in mm."""

    of: str
    from_: str
    slope: float
    intercept_mm: float
    see_mm: float

    def bounds_mm(self, value_mm: float) -> tuple[float, float]:
        expected = self.slope * value_mm + self.intercept_mm
        return expected - 3 * self.see_mm, expected + 3 * self.see_mm


SHORTEST_OF_THE_SURVEY_MM, LONGEST_OF_THE_SURVEY_MM = 198, 323
MEN = (
    Regression("heel_to_joint", "foot_length", 0.7393, 0.46, 3.98),
    Regression("joint_width", "foot_length", 0.2352, 38.09, 4.23),
    Regression("joint_girth", "joint_width", 2.1450, 33.53, 6.43),
    Regression("joint_girth", "foot_length", 0.5895, 92.15, 10.38),
    Regression("short_heel_girth", "foot_length", 1.0067, 70.49, 10.11),
)
WOMEN = (
    Regression("heel_to_joint", "foot_length", 0.7286, 2.61, 3.30),
    Regression("joint_width", "foot_length", 0.2134, 40.16, 3.98),
    Regression("joint_girth", "joint_width", 2.1153, 32.00, 6.03),
    Regression("joint_girth", "foot_length", 0.5732, 86.94, 9.37),
    Regression("short_heel_girth", "foot_length", 0.9883, 66.90, 9.13),
)


def _beyond_the_survey(foot: _Foot) -> Iterator[MeasureAgain]:
    """Further than three standard errors from what men's and women's regressions give: silent for feet not regular."""
    length = foot.values.get("foot_length")
    if not foot.known.is_regular or length is None:
        return
    if not SHORTEST_OF_THE_SURVEY_MM <= length <= LONGEST_OF_THE_SURVEY_MM:
        return
    for of_men, of_women in zip(MEN, WOMEN, strict=True):
        of, from_ = of_men.of, of_men.from_
        if of not in foot.values or from_ not in foot.values:
            continue
        bounds = [each.bounds_mm(float(foot.values[from_])) for each in (of_men, of_women)]
        least, most = min(low for low, _ in bounds), max(high for _, high in bounds)
        if not least <= foot.values[of] <= most:
            question = (
                f"{_start(of)} is {_mm(foot.values[of])}; with {label(from_)} {_mm(foot.values[from_])} "
                f"it is mostly {least:.0f} to {most:.0f} mm."
            )
            yield MeasureAgain(foot.side, (of, from_), question, REGRESSION)


def _beyond_golding(foot: _Foot) -> Iterator[MeasureAgain]:
    instep, heel = foot.values.get("instep_girth"), foot.values.get("short_heel_girth")
    if not foot.known.is_regular or instep is None or heel is None or not _is_of_a_foot(BY_KEY["instep_girth"], instep):
        return
    raised_mm = foot.known.short_heel_raised_mm
    expected_mm = heel_girth_expected(instep_girth_mm=float(instep), heel_height_mm=float(raised_mm)).heel_girth_mm
    if abs(float(heel) - expected_mm) > HEEL_GIRTH_OFF_MM:
        question = (
            f"Short heel girth is {_mm(heel)}; with instep girth {_mm(instep)} and the heel at {_mm(raised_mm)} "
            f"it is mostly about {expected_mm:.0f} mm."
        )
        yield MeasureAgain(foot.side, ("short_heel_girth", "instep_girth"), question, GOLDING)


def _measured(foot: _Foot) -> Iterator[tuple[MeasureKind, Decimal]]:
    return ((kind, foot.values[kind.key]) for kind in MEASURES if kind.key in foot.values)


def _start(key: str) -> str:
    words = label(key)
    return words[:1].upper() + words[1:]


def _plain(value: Decimal) -> str:
    return f"{value.quantize(Decimal('0.1')).normalize():f}"


def _mm(value: Decimal) -> str:
    return f"{_plain(value)} mm"
