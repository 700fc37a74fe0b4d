"""The plan outline of one foot or of its last: what the figures say, drawn as one closed smooth line.

Lengths in mm. The origin lies at the back of the heel on the long axis, x runs forward, y towards medial: left and
right are worked out alike, and turned into left and right only where they are drawn.

The measured lengths and widths are honoured exactly. What lies between them (how full a waist is, how a toe is rounded)
is a workshop's eye put into figures, from memory: the drawing serves the work, the tape and the last decide.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from shared.calculations import BadInput, check_within

Points = NDArray[np.float64]
"""Shape (n, 2): x forward, y towards medial, in mm."""


class ToeShape(Enum):
    """How the line runs round the toes."""

    NATURAL = "natural, as the toes lie"
    ROUND = "round"
    POINTED = "pointed"
    SQUARE = "square"


@dataclass(frozen=True)
class _Toe:
    """Where the tip lies, as a part of the medial half-width, and how full each side runs to it: 2 is an ellipse."""

    tip: float
    medial_fullness: float
    lateral_fullness: float


_TOES = {
    ToeShape.NATURAL: _Toe(tip=0.45, medial_fullness=2.6, lateral_fullness=1.85),
    ToeShape.ROUND: _Toe(tip=0.15, medial_fullness=2.1, lateral_fullness=2.0),
    ToeShape.POINTED: _Toe(tip=0.10, medial_fullness=1.85, lateral_fullness=1.8),
    ToeShape.SQUARE: _Toe(tip=0.06, medial_fullness=3.2, lateral_fullness=2.8),
}
HEEL_FULLNESS = 2.15
STUMP_FULLNESS = 2.4

MEDIAL_PART_OF_WIDTH = 0.44
"""Of the joint width, how much lies medial of the axis from the heel to the second toe. From memory."""
HEEL_WIDEST_AT = 0.16
"""Of the length: where the heel is widest. From memory."""
JOINT_AT = 0.74
"""Of the length: heel to 1st joint where it was not measured. ANSUR II, NATICK/TR-15/007: mean .741 and .739."""
FIFTH_AT = 0.64
"""Of the length: heel to 5th joint where it was not measured. From memory."""
STUMP_WIDEST_AT = 0.82
"""Of the length: where a foot without its toes is widest, if nobody measured. From memory."""
MEDIAL_WAIST = 0.86
"""How far the waist lies in on the medial side, as a part of the narrower of heel and joint. From memory."""
WAIST_AT = 0.5
"""Of the way from the widest of the heel to the 1st joint. From memory."""
LEAST_AHEAD_MM = 4.0
"""No joint is drawn closer to the tip than this."""
MOST_OF_A_WIDTH = 0.5
"""A bulge is not more of a width than this: the rest of the foot must lie somewhere."""

POINTS_A_PIECE = 48
"""Of the heel, of the waist and of the forepart of each edge."""
FINE = 480
"""Steps in which a piece is worked out before it is laid in equal ones."""


@dataclass(frozen=True)
class Bulge:
    """Where a foot stands out beyond a regular outline: its middle from the heel, its length, how far out, in mm."""

    is_medial: bool
    from_heel_mm: float
    extent_mm: float
    beyond_mm: float


@dataclass(frozen=True)
class PlanShape:
    """The figures of one foot, or of one last, that its outline goes through.

    A width that was measured holds with a bulge at its place: the caliper lay on the bulge. A joint that was not
    measured, or that a partial foot no longer has, is None. `is_partial` says that the toes are missing.
    """

    length_mm: float
    joint_width_mm: float
    heel_width_mm: float
    heel_to_joint_mm: float | None = None
    heel_to_fifth_mm: float | None = None
    toe_shape: ToeShape = ToeShape.NATURAL
    bulges: tuple[Bulge, ...] = ()
    is_partial: bool = False


@dataclass(frozen=True)
class Outline:
    """A closed line: `points` go from the back of the heel along medial to the tip and back along lateral.

    `medial_joint` and `lateral_joint` are the points at which the joint width lies.
    """

    points: Points
    medial_joint: tuple[float, float]
    lateral_joint: tuple[float, float]
    tip: tuple[float, float]

    @cached_property
    def polygon(self) -> shapely.Polygon:
        return shapely.Polygon(self.points)

    @property
    def area_cm2(self) -> float:
        return float(self.polygon.area) / 100

    @property
    def perimeter_mm(self) -> float:
        return float(self.polygon.exterior.length)


def outline_of(shape: PlanShape) -> Outline:
    """The outline of one foot or last. Raises `BadInput` for a figure that no foot has or that contradicts another."""
    _check(shape)
    lines = []
    for is_medial in (True, False):
        pieces = _edge(shape, is_medial=is_medial)
        for piece in pieces:
            piece[:, 1] += _bulge_at(shape, piece[:, 0], is_medial=is_medial)
        even = [_evenly(piece) for piece in pieces]
        lines.append(np.concatenate([*(piece[:-1] for piece in even[:-1]), even[-1]]))
    medial, lateral = lines
    lateral[:, 1] *= -1
    joint = 2 * POINTS_A_PIECE
    return Outline(
        points=np.concatenate([medial, lateral[-2:0:-1]]),
        medial_joint=_point(medial[joint]),
        lateral_joint=_point(lateral[joint]),
        tip=_point(medial[-1]),
    )


def _edge(shape: PlanShape, *, is_medial: bool) -> tuple[Points, Points, Points]:
    """Heel, waist and forepart of one edge without bulges, y away from the axis on its own side.

    The heel and the forepart are quarters of superellipses, upright at back and tip and lengthwise at the widest; the
    waist between them is a cubic that leaves and arrives lengthwise. So no place is wider than the measured ones.
    """
    toe = _TOES[shape.toe_shape]
    heel_x, joint_x = _heel_x(shape, is_medial=is_medial), _joint_x(shape, is_medial=is_medial)
    heel_half = _regular(shape, "heel_width_mm", _heel_x) / 2
    joint_width = _regular(shape, "joint_width_mm", _joint_x)
    joint_half = joint_width * (MEDIAL_PART_OF_WIDTH if is_medial else 1 - MEDIAL_PART_OF_WIDTH)
    tip = toe.tip * joint_width * MEDIAL_PART_OF_WIDTH * (1 if is_medial else -1)
    fullness = STUMP_FULLNESS if shape.is_partial else toe.medial_fullness if is_medial else toe.lateral_fullness
    up, along = _quarter(HEEL_FULLNESS)
    back = np.column_stack([heel_x * (1 - along[::-1]), heel_half * up[::-1]])
    waist = _waist((heel_x, heel_half), (joint_x, joint_half), is_hollow=is_medial)
    up, along = _quarter(fullness)
    fore = np.column_stack([joint_x + (shape.length_mm - joint_x) * along, tip + (joint_half - tip) * up])
    return back, waist, fore


def _evenly(piece: Points) -> Points:
    """The same line in equal steps; its ends stay."""
    reached = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(piece, axis=0).T))])
    at = np.linspace(0, reached[-1], POINTS_A_PIECE + 1)
    return np.column_stack([np.interp(at, reached, piece[:, axis]) for axis in (0, 1)])


def _quarter(fullness: float) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """A quarter of a superellipse of half-axes 1: from its top to its end, both ends exact."""
    turn = np.linspace(0, math.pi / 2, FINE + 1)
    up, along = np.cos(turn) ** (2 / fullness), np.sin(turn) ** (2 / fullness)
    up[-1], along[-1] = 0.0, 1.0
    return up, along


def _waist(heel: tuple[float, float], joint: tuple[float, float], *, is_hollow: bool) -> Points:
    """From the widest of the heel to the joint; a hollow one passes a narrowest place between."""
    from scipy.interpolate import CubicHermiteSpline

    knots = [heel, joint]
    if is_hollow:
        knots.insert(1, (heel[0] + WAIST_AT * (joint[0] - heel[0]), MEDIAL_WAIST * min(heel[1], joint[1])))
    x, y = zip(*knots, strict=True)
    at = np.linspace(heel[0], joint[0], FINE + 1)
    return np.column_stack([at, CubicHermiteSpline(x, y, np.zeros(len(x)))(at)])


def _regular(shape: PlanShape, name: str, place: Callable[..., float]) -> float:
    """A measured width less what its bulges take of it. Raises `BadInput` where little of the foot is left."""
    width: float = getattr(shape, name)
    taken: float = sum(
        float(_bulge_at(shape, np.array([place(shape, is_medial=is_medial)]), is_medial=is_medial)[0])
        for is_medial in (True, False)
    )
    if taken > MOST_OF_A_WIDTH * width:
        raise BadInput("bulges", f"{taken:g} mm of a {name} of {width:g}", allowed="not more than half of the width")
    return width - taken


def _bulge_at(shape: PlanShape, x: NDArray[np.float64], *, is_medial: bool) -> NDArray[np.float64]:
    """How far one edge stands out at each x: a hump that begins and ends without a corner, none at heel and tip."""
    out = np.zeros(x.shape)
    for bulge in shape.bulges:
        if bulge.is_medial is not is_medial:
            continue
        behind = min(bulge.extent_mm / 2, bulge.from_heel_mm)
        ahead = min(bulge.extent_mm / 2, shape.length_mm - bulge.from_heel_mm)
        away = x - bulge.from_heel_mm
        part = np.where(away < 0, away / behind, away / ahead)
        out += np.where(np.abs(part) < 1, bulge.beyond_mm * np.cos(part * math.pi / 2) ** 2, 0.0)
    return out


def _joint_x(shape: PlanShape, *, is_medial: bool) -> float:
    measured = shape.heel_to_joint_mm if is_medial else shape.heel_to_fifth_mm
    if measured is None:
        usual = STUMP_WIDEST_AT if shape.is_partial else JOINT_AT if is_medial else FIFTH_AT
        return usual * shape.length_mm
    return measured


def _heel_x(shape: PlanShape, *, is_medial: bool) -> float:
    return min(HEEL_WIDEST_AT * shape.length_mm, 0.5 * _joint_x(shape, is_medial=is_medial))


def _point(at: NDArray[np.float64]) -> tuple[float, float]:
    return float(at[0]), float(at[1])


def _check(shape: PlanShape) -> None:
    check_within("length_mm", shape.length_mm, 60, 420)
    check_within("joint_width_mm", shape.joint_width_mm, 30, 220)
    check_within("heel_width_mm", shape.heel_width_mm, 20, 180)
    for name, at in (("heel_to_joint_mm", shape.heel_to_joint_mm), ("heel_to_fifth_mm", shape.heel_to_fifth_mm)):
        if at is not None:
            check_within(name, at, 0.35 * shape.length_mm, shape.length_mm - LEAST_AHEAD_MM)
    for bulge in shape.bulges:
        check_within("bulge from_heel_mm", bulge.from_heel_mm, 1, shape.length_mm - 1)
        check_within("bulge extent_mm", bulge.extent_mm, 2, shape.length_mm)
        check_within("bulge beyond_mm", bulge.beyond_mm, 0.1, 80)
