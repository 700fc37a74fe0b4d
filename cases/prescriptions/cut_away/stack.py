"""What lies under the last, layer by layer, seen from one side: heights in mm over the ground.

The last is given: its seat stands as high over its joint as the heel is prescribed and as a raise on the sole is higher
there, its toe is lifted by the spring that is added. Insole, raise, sole and heel are laid under it, a lift in the shoe
on its insole, and the whole is set on the ground. A layer that is not prescribed has no thickness.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from cases.lasts.profile import raised_bottom
from cases.prescriptions.rocker import rocker_lift
from cases.prescriptions.shoe import Shoe
from shared.sides import Edge

Line = NDArray[np.float64]

BREAST_AT = 0.25
"""Of the length: the front of the heel. From memory."""
SEAT_TO = 0.15
"""Of the length: how far what lies under the heel keeps its whole height. From memory."""
ORDINARY_SOLE_MM = 5.0
ORDINARY_INSOLE_MM = 4.0
"""What stands in for the thickness of a prescribed part while nobody said it. From memory."""


@dataclass(frozen=True)
class Stack:
    """Lines over the same `x`, heights over the ground. Where there is no raise, `over_sole` is `under_insole`."""

    x: Line
    under_foot: Line
    """What the foot stands on: the insole, or a lift on it."""
    last_bottom: Line
    """Upper face of the insole: the feather edge, where upper and stiffener begin."""
    last_top: Line
    back: NDArray[np.float64]
    under_insole: Line
    over_sole: Line
    under_sole: Line
    breast_mm: float

    def at(self, x: float, line: Line) -> float:
        return float(np.interp(x, self.x, line))


@lru_cache(maxsize=64)
def stack_of(shoe: Shoe, edge: Edge) -> Stack:
    """The layers under one edge of a shoe, worked out once for drawing, heights and weight. Raises `BadInput` where the form cannot be drawn."""
    profile = shoe.form.profile(edge)
    x = profile.bottom[:, 0]
    on_sole = raise_on_sole(shoe, x)
    raised = _raised(shoe, edge, x, on_sole)
    bottom = profile.bottom[:, 1] + raised
    under_insole = bottom - insole_thickness(shoe, x)
    over_sole = under_insole - on_sole
    breast = BREAST_AT * shoe.form.length_mm + extended_heel(shoe, edge)
    under_sole = _under_sole(shoe, x, over_sole, breast=breast)
    ground = float(under_sole.min())
    bottom -= ground
    return Stack(
        x=x,
        under_foot=bottom + in_shoe_raise(shoe, x),
        last_bottom=bottom,
        last_top=profile.top[:, 1] + (raised - ground),
        back=profile.back - [0, ground - raised[0]],
        under_insole=under_insole - ground,
        over_sole=over_sole - ground,
        under_sole=under_sole - ground,
        breast_mm=breast,
    )


def toe_spring_added(shoe: Shoe) -> float:
    return (shoe.sole.toe_spring_extra_mm if shoe.sole else None) or 0.0


def _raised(shoe: Shoe, edge: Edge, x: Line, on_sole: Line) -> Line:
    """How much higher the last stands than it was made, over its joint.

    Behind the joint it stands on the raise; ahead of it the foot keeps its line, and the raise thins under it.
    """
    form, heel = shoe.form, shoe.heel.height_mm if shoe.heel else None
    of_heel = 0.0 if heel is None else heel - form.heel_height_mm
    spring = toe_spring_added(shoe)
    raised = raised_bottom(form.side_shape(edge), x, heel_mm=of_heel, toe_mm=spring)
    if shoe.height_raise is None:
        return raised
    at_joint = shoe.height_raise.on_sole_ball_mm or 0.0
    return raised + np.where(x < form.heel_to_joint_mm, on_sole - at_joint, 0.0)


def insole_thickness(shoe: Shoe, x: Line) -> Line:
    """Along the foot: as finished where said, else as cut."""
    insole, length = shoe.insole, shoe.form.length_mm
    if insole is None:
        return np.zeros_like(x)
    nominal = insole.thickness_mm or ORDINARY_INSOLE_MM
    finished = (insole.finished_heel_mm, insole.finished_waist_mm, insole.finished_forepart_mm)
    return np.interp(x / length, [0.15, 0.45, 0.72], [nominal if each is None else each for each in finished])


def in_shoe_raise(shoe: Shoe, x: Line) -> Line:
    """A lift in the shoe: whole under the heel, to nothing at the joint."""
    lift = shoe.height_raise.in_shoe_heel_mm if shoe.height_raise else None
    return np.interp(x, [SEAT_TO * shoe.form.length_mm, shoe.form.heel_to_joint_mm], [lift or 0.0, 0.0])


def lifted_at(shoe: Shoe, x: float) -> float:
    """How much higher than the insole a foot stands at a place, on a lift in the shoe."""
    if shoe.height_raise is None or not shoe.height_raise.in_shoe_heel_mm:
        return 0.0
    return float(in_shoe_raise(shoe, np.array([x]))[0])


def raise_on_sole(shoe: Shoe, x: Line) -> Line:
    raised, form = shoe.height_raise, shoe.form
    if raised is None:
        return np.zeros_like(x)
    heights = (raised.on_sole_heel_mm, raised.on_sole_ball_mm, raised.on_sole_toe_mm)
    return np.interp(
        x, [SEAT_TO * form.length_mm, form.heel_to_joint_mm, form.length_mm], [each or 0.0 for each in heights]
    )


def extended_heel(shoe: Shoe, edge: Edge) -> float:
    if shoe.heel is None:
        return 0.0
    more = shoe.heel.extended_medial_mm if edge == Edge.MEDIAL else shoe.heel.extended_lateral_mm
    return more or 0.0


def sole_thickness(shoe: Shoe) -> float:
    if shoe.sole is None:
        return 0.0
    return shoe.sole.thickness_mm or ORDINARY_SOLE_MM


def _under_sole(shoe: Shoe, x: Line, over_sole: Line, *, breast: float) -> Line:
    """The underside: the sole's thickness, a rocker's curve ahead of its apex, a heel down to the ground."""
    sole, length = sole_thickness(shoe), shoe.form.length_mm
    under = over_sole - sole
    fore = x >= breast
    if shoe.rocker:
        apex = shoe.rocker.apex_percent / 100 * length
        lift = rocker_lift(
            sole_length_mm=length, apex_fraction=apex / length, rocker_angle_deg=shoe.rocker.angle_deg
        ).lift_mm
        ahead = np.clip((x - apex) / (length - apex), 0, 1)
        curve = lift * (ahead**2 if shoe.rocker.curved else ahead)
        down = float((curve - over_sole + sole)[fore].max())
        under = np.where(fore, curve - down, under)
    if shoe.heel is None:
        return under
    # Whether its height suits the pitch that the last was made at is a question for the notes.
    return np.where(x < breast, float(under[fore].min()), under)
