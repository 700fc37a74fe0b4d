"""The side profile of a last: the line of its bottom over the ground, and the line of its top.

Lengths in mm. x runs forward from the back of the heel along the ground, z up from the ground. Medial and lateral
differ in where the joint lies, so a profile is one of an edge. What lies between the figures is from memory.
"""

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from shared.calculations import BadInput, check_within

Points = NDArray[np.float64]
"""Shape (n, 2): x forward, z up, in mm."""

SEAT_TO = 0.20
"""Of the length: how far the heel seat lies level. From memory."""
TREAD_FROM, TREAD_TO = 0.10, 0.05
"""The tread lies on the ground from this far behind the joint to this far ahead of it, of the length. From memory."""
INSTEP_AT = 0.50
"""Of the length: the bone on the instep, where nobody measured. From memory."""
TOE_DEPTH_AT = 0.90
"""Of the length: the highest toe. From memory."""
CONE_AT = 0.30
"""Of the length: the front of the cone's top. From memory."""
CONE_OVER_INSTEP = 1.30
"""How high the cone stands over the bottom, of the instep's height. From memory."""
BACK_LEANS = 0.03
"""Of the length: how far the back of the heel curves in at seat and top. From memory."""
BACK_WIDEST_AT = 0.4
"""Of the height of the heel over its seat: where it stands out furthest. From memory."""
BACK_POINTS = 25
JOINT_OVER_TOE = 0.45
"""How far between toe depth and instep height the top lies at the joint. From memory."""
POINTS = 120


@dataclass(frozen=True)
class SideShape:
    """The figures of one edge of a last. `instep_height_mm` and `toe_depth_mm` are over its bottom."""

    length_mm: float
    heel_to_joint_mm: float
    heel_height_mm: float
    toe_spring_mm: float
    toe_depth_mm: float
    instep_height_mm: float


@dataclass(frozen=True)
class Profile:
    """`bottom` and `top` run from the heel to the tip, `back` down the heel; `points` is the closed line round all."""

    bottom: Points
    top: Points
    back: Points
    pitch_degrees: float
    """Of the waist: how steeply the bottom falls from the seat to the tread."""

    @cached_property
    def points(self) -> Points:
        return np.concatenate([self.bottom, self.top[-2:0:-1], self.back[:-1]])

    @cached_property
    def polygon(self) -> shapely.Polygon:
        return shapely.Polygon(self.points)

    def bottom_at(self, x: float) -> float:
        """How high over the ground the bottom lies at x, in mm."""
        return float(np.interp(x, self.bottom[:, 0], self.bottom[:, 1]))

    def depth_at(self, x: float) -> float:
        """How deep the last is over its bottom at x, in mm."""
        return float(np.interp(x, self.top[:, 0], self.top[:, 1])) - self.bottom_at(x)


def profile_of(shape: SideShape) -> Profile:
    """The side profile. Raises `BadInput` for a figure that no last has."""
    _check(shape)
    bottom = _bottom(shape)
    x = bottom[:, 0]
    top = np.column_stack([x, bottom[:, 1] + _depth(shape, x)])
    seat, tread = SEAT_TO * shape.length_mm, shape.heel_to_joint_mm - TREAD_FROM * shape.length_mm
    pitch = math.degrees(math.atan2(shape.heel_height_mm, tread - seat))
    return Profile(bottom=bottom, top=top, back=_back(shape, top=top[0, 1], seat=bottom[0, 1]), pitch_degrees=pitch)


def _back(shape: SideShape, *, top: float, seat: float) -> Points:
    """Down the back of the heel, which stands out furthest at x = 0, a little below the middle."""
    z = np.linspace(top, seat, BACK_POINTS)
    widest = seat + BACK_WIDEST_AT * (top - seat)
    part = np.where(z > widest, (z - widest) / (top - widest), (widest - z) / (widest - seat))
    return np.column_stack([BACK_LEANS * shape.length_mm * part**2, z])


def _bottom(shape: SideShape) -> Points:
    """Level at the seat, falling to the tread, and rising to the toe spring at the tip, without a corner."""
    from scipy.interpolate import PchipInterpolator

    length, joint = shape.length_mm, shape.heel_to_joint_mm
    seat = SEAT_TO * length
    # Rounded far below anything that can be made: the spline divides by the steps between its knots.
    heel, spring = round(shape.heel_height_mm, 6), round(shape.toe_spring_mm, 6)
    knots = [
        (0.0, heel),
        (seat, heel),
        (joint - TREAD_FROM * length, 0.0),
        (_tread_to(shape), 0.0),
        (length, spring),
    ]
    x, z = zip(*knots, strict=True)
    places = [*x[1:], joint, CONE_AT * length, INSTEP_AT * length, max(TOE_DEPTH_AT * length, 0.5 * (joint + length))]
    at = np.unique(np.concatenate([np.linspace(BACK_LEANS * length, length, POINTS), places]))
    return np.column_stack([at, PchipInterpolator(x, z)(at)])


def raised_bottom(
    shape: SideShape, x: NDArray[np.float64], *, heel_mm: float = 0.0, toe_mm: float = 0.0
) -> NDArray[np.float64]:
    """How much higher the bottom lies at places x, in mm, where its heel and its tip stand so much higher or lower.

    What the bottom of a last that was made so has over this one: its line is linear in both figures.
    """
    length, joint = shape.length_mm, shape.heel_to_joint_mm
    seat, tread, fore = SEAT_TO * length, joint - TREAD_FROM * length, _tread_to(shape)
    behind = np.clip((tread - x) / (tread - seat), 0.0, 1.0)
    ahead = np.clip((x - fore) / (length - fore), 0.0, 1.0)
    # The spline leaves the tread level, and rises at the tip by a slope of its last three knots.
    end = 1 + (length - fore) / (length - tread)
    rise: NDArray[np.float64] = heel_mm * behind**2 * (3 - 2 * behind)
    return rise + toe_mm * ahead**2 * (3 - end + (end - 2) * ahead)


def _tread_to(shape: SideShape) -> float:
    return min(shape.heel_to_joint_mm + TREAD_TO * shape.length_mm, 0.5 * (shape.heel_to_joint_mm + shape.length_mm))


def _depth(shape: SideShape, x: NDArray[np.float64]) -> NDArray[np.float64]:
    """The depth over the bottom: the cone, falling over instep and joint to the toe, and closed round the tip."""
    from scipy.interpolate import PchipInterpolator

    length, joint = shape.length_mm, shape.heel_to_joint_mm
    toe_x = max(TOE_DEPTH_AT * length, 0.5 * (joint + length))
    cone = CONE_OVER_INSTEP * shape.instep_height_mm
    at_joint = shape.toe_depth_mm + JOINT_OVER_TOE * (shape.instep_height_mm - shape.toe_depth_mm)
    knots = [
        (0.0, cone),
        (CONE_AT * length, cone),
        (INSTEP_AT * length, shape.instep_height_mm),
        (joint, at_joint),
        (toe_x, shape.toe_depth_mm),
        (length, 0.8 * shape.toe_depth_mm),
    ]
    depth = PchipInterpolator(*zip(*knots, strict=True))(x)
    # The tip is round: a quarter of an ellipse from the highest toe on.
    ahead = np.clip((x - toe_x) / (length - toe_x), 0.0, 1.0)
    round_tip = np.sqrt(1 - ahead**2)
    return np.where(x > toe_x, shape.toe_depth_mm * round_tip, depth)


def _check(shape: SideShape) -> None:
    for name, least, most in (
        ("length_mm", 60.0, 420.0),
        ("heel_height_mm", 0.0, 120.0),
        ("toe_spring_mm", 0.0, 60.0),
        ("toe_depth_mm", 5.0, 120.0),
        ("instep_height_mm", 20.0, 180.0),
    ):
        check_within(name, getattr(shape, name), least, most)
    check_within("heel_to_joint_mm", shape.heel_to_joint_mm, 0.55 * shape.length_mm, 0.95 * shape.length_mm)
    if shape.instep_height_mm <= shape.toe_depth_mm:
        raise BadInput(
            "instep_height_mm", shape.instep_height_mm, allowed=f"more than the toe depth {shape.toe_depth_mm:g}"
        )
