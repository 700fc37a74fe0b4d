"""The outline and the profile of a foot or a last, from what was measured on it."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from cases.lasts.drawings.plans import Drawing, plan_drawings, profile_drawing
from cases.lasts.models import Last, MeasureSet, OutlineDeviation
from cases.lasts.outline import Bulge, Outline, PlanShape, ToeShape, outline_of
from cases.lasts.profile import Profile, SideShape, profile_of
from cases.lasts.queries.measuring import values_of
from shared.calculations import BadInput
from shared.sides import SIDES, Edge, Side

NEEDED = {"foot_length": "foot length", "joint_width": "joint width", "heel_width": "heel width"}
ROOM_AT_THE_TIP_MM = 8.0


@dataclass(frozen=True)
class FootDrawn:
    """The plan of one foot or last; `cannot` says why there is none."""

    side: Side
    outline: Outline | None
    drawing: Drawing | None = None
    cannot: str = ""


def feet_drawn(measure_set: MeasureSet) -> tuple[FootDrawn, FootDrawn]:
    """LEFT and RIGHT from above at one scale. No query where measures and deviations were fetched."""
    left, right = (_foot(measure_set, side) for side in SIDES)
    drawings = plan_drawings(left.outline, right.outline)
    return (
        FootDrawn(Side.LEFT, left.outline, drawings[0], left.cannot),
        FootDrawn(Side.RIGHT, right.outline, drawings[1], right.cannot),
    )


def _foot(measure_set: MeasureSet, side: Side) -> FootDrawn:
    values = values_of(measure_set, side)
    if missing := [words for name, words in NEEDED.items() if name not in values]:
        return FootDrawn(side, None, cannot=f"Not drawn: {' and '.join(missing)} not taken.")
    bulges = tuple(_bulge(each) for each in measure_set.deviations.all() if each.side == side)
    try:
        return FootDrawn(side, outline_of(_plan_of_foot(values, bulges)))
    except BadInput as error:
        return FootDrawn(side, None, cannot=f"Not drawn: {error}.")


def _plan_of_foot(values: Mapping[str, Decimal], bulges: tuple[Bulge, ...]) -> PlanShape:
    """A foot whose joints lie at its end, or were not to be found, has lost its toes: it is drawn as a stump."""
    length = float(values["foot_length"])
    joints = {name: _before_the_tip(values.get(name), length) for name in ("heel_to_joint", "heel_to_fifth")}
    return PlanShape(
        length_mm=length,
        joint_width_mm=float(values["joint_width"]),
        heel_width_mm=float(values["heel_width"]),
        heel_to_joint_mm=joints["heel_to_joint"],
        heel_to_fifth_mm=joints["heel_to_fifth"],
        bulges=bulges,
        is_partial="heel_to_joint" in values and joints["heel_to_joint"] is None,
    )


def _before_the_tip(value: Decimal | None, length_mm: float) -> float | None:
    return None if value is None or float(value) > length_mm - ROOM_AT_THE_TIP_MM else float(value)


def _bulge(deviation: OutlineDeviation) -> Bulge:
    return Bulge(
        is_medial=deviation.edge == Edge.MEDIAL,
        from_heel_mm=float(deviation.from_heel_mm),
        extent_mm=float(deviation.extent_mm),
        beyond_mm=float(deviation.beyond_mm),
    )


@dataclass(frozen=True)
class LastDrawn:
    """A last from above and from its lateral side; each None where too little was measured."""

    plan: Drawing | None
    profile: Drawing | None


def last_drawn(last: Last) -> LastDrawn:
    """The drawings of one last from its own figures. No query."""
    side, outline, profile = Side(last.side), _outline_of_last(last), _profile_of_last(last)
    plans = plan_drawings(outline if side is Side.LEFT else None, outline if side is Side.RIGHT else None)
    return LastDrawn(
        plan=plans[0] or plans[1],
        profile=None if profile is None else profile_drawing(profile, side),
    )


def _outline_of_last(last: Last) -> Outline | None:
    if last.joint_width_mm is None or last.heel_width_mm is None:
        return None
    shape = PlanShape(
        length_mm=float(last.length_mm),
        joint_width_mm=float(last.joint_width_mm),
        heel_width_mm=float(last.heel_width_mm),
        heel_to_joint_mm=None if last.heel_to_joint_mm is None else float(last.heel_to_joint_mm),
        heel_to_fifth_mm=None if last.heel_to_fifth_mm is None else float(last.heel_to_fifth_mm),
        toe_shape=toe_shape_of(last.toe_shape),
    )
    try:
        return outline_of(shape)
    except BadInput:
        return None


INSTEP_OF_LENGTH = 0.24
"""How high the instep of a last stands over its bottom, of its length, where nobody measured. From memory."""
TOE_DEPTH_OF_LENGTH = 0.10
"""The same for the depth at the highest toe. From memory."""


def _profile_of_last(last: Last) -> Profile | None:
    length = float(last.length_mm)
    shape = SideShape(
        length_mm=length,
        heel_to_joint_mm=0.72 * length if last.heel_to_joint_mm is None else float(last.heel_to_joint_mm),
        heel_height_mm=float(last.heel_height_mm),
        toe_spring_mm=float(last.toe_spring_mm),
        toe_depth_mm=TOE_DEPTH_OF_LENGTH * length if last.toe_depth_mm is None else float(last.toe_depth_mm),
        instep_height_mm=INSTEP_OF_LENGTH * length,
    )
    try:
        return profile_of(shape)
    except BadInput:
        return None


WORDS_OF_TOES = {
    ToeShape.POINTED: ("point", "almond"),
    ToeShape.SQUARE: ("square", "chisel"),
    ToeShape.NATURAL: ("natural", "oblique", "anatomic"),
}


def toe_shape_of(words: str) -> ToeShape:
    """The toe shape that a maker's words mean; round where they say nothing known."""
    said = words.casefold()
    return next(
        (shape for shape, known in WORDS_OF_TOES.items() if any(each in said for each in known)), ToeShape.ROUND
    )
