"""Outlines and profiles as drawings: millimetres of a page, left as left and right as right.

Seen as the wearer looks down at their own feet: toes up the page, medial towards the other foot. One unit is 1 mm.
"""

from dataclasses import dataclass

import numpy as np

from cases.lasts.outline import Outline, Points
from cases.lasts.profile import Profile
from shared.sides import Side

MARGIN_MM = 12.0
"""Room round a drawing for its words."""
UNDER_GROUND_MM = 14.0
"""Of a profile: room for a line of words of 12 under the ground."""
LEAST_WIDTH_MM = 128.0
"""Of a plan: MEDIAL and LATERAL stand beside each other over the narrowest foot, in type of 13."""


@dataclass(frozen=True)
class Word:
    """A word of a drawing, at the middle of its foot."""

    x: float
    y: float
    says: str
    anchor: str = "middle"


@dataclass(frozen=True)
class Stroke:
    """A straight line of a drawing."""

    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True)
class Drawing:
    """A closed line with strokes and words, in a frame of `width` by `height` mm. `says` is the same in words."""

    says: str
    width: float
    height: float
    path: str
    strokes: tuple[Stroke, ...]
    words: tuple[Word, ...]

    @property
    def view_box(self) -> str:
        return f"0 0 {self.width:g} {self.height:g}"


def plan_drawings(left: Outline | None, right: Outline | None) -> tuple[Drawing | None, Drawing | None]:
    """Both feet from above at one scale, in frames of one size. A foot that cannot be drawn stays None."""
    outlines = [each for each in (left, right) if each is not None]
    if not outlines:
        return None, None
    long = max(float(each.points[:, 0].max()) for each in outlines)
    half = max(float(np.abs(each.points[:, 1]).max()) for each in outlines)
    width, height = _up(max(2 * (half + MARGIN_MM), LEAST_WIDTH_MM)), _up(long + 2 * MARGIN_MM)
    return (
        None if left is None else _plan(left, Side.LEFT, width=width, height=height),
        None if right is None else _plan(right, Side.RIGHT, width=width, height=height),
    )


def on_page(points: Points, side: Side, *, width: float, height: float) -> Points:
    """Places of a plan in the frame of its drawing: toes up, medial of LEFT to the right and of RIGHT to the left."""
    towards_medial = 1.0 if side is Side.LEFT else -1.0
    return np.column_stack([width / 2 + towards_medial * points[:, 1], height - MARGIN_MM - points[:, 0]])


def _plan(outline: Outline, side: Side, *, width: float, height: float) -> Drawing:
    drawn = on_page(outline.points, side, width=width, height=height)
    marks = on_page(np.array([outline.medial_joint, outline.lateral_joint]), side, width=width, height=height)
    middle = width / 2
    medial_right = side is Side.LEFT
    return Drawing(
        says=f"{side.label} from above, toes up, to scale; the joint line is dashed",
        width=width,
        height=height,
        path=path_of(drawn),
        strokes=(
            Stroke(*_rounded(marks[0]), *_rounded(marks[1])),
            Stroke(_to_tenth(middle), MARGIN_MM, _to_tenth(middle), _to_tenth(height - MARGIN_MM)),
        ),
        words=(
            Word(_to_tenth(middle), _to_tenth(height - 2), side.label),
            Word(width - 2 if medial_right else 2, 10.5, "MEDIAL", "end" if medial_right else "start"),
            Word(2 if medial_right else width - 2, 10.5, "LATERAL", "start" if medial_right else "end"),
        ),
    )


def profile_drawing(profile: Profile, side: Side) -> Drawing:
    """A last from its lateral side, to scale: the toe of LEFT points left on the page, of RIGHT right.

    So it stands as the wearer would set it down beside the other.
    """
    length, high = float(profile.points[:, 0].max()), float(profile.points[:, 1].max())
    width, height = _up(length + 2 * MARGIN_MM), _up(high + MARGIN_MM + UNDER_GROUND_MM)
    ground = _to_tenth(height - UNDER_GROUND_MM)
    x, z = profile.points[:, 0], profile.points[:, 1]
    across = MARGIN_MM + (x if side is Side.RIGHT else length - x)
    return Drawing(
        says=f"{side.label} from the lateral side, to scale, over the ground",
        width=width,
        height=height,
        path=path_of(np.column_stack([across, ground - z])),
        strokes=(Stroke(2, ground, width - 2, ground),),
        words=(Word(_to_tenth(width / 2), height - 2, f"{side.label}, LATERAL"),),
    )


def path_of(points: Points) -> str:
    """A closed path through places of a page, to the tenth of a millimetre."""
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points) + "Z"


def _rounded(place: Points) -> tuple[float, float]:
    return _to_tenth(float(place[0])), _to_tenth(float(place[1]))


def _to_tenth(value: float) -> float:
    return round(value, 1)


def _up(value: float) -> float:
    """To the next whole millimetre: frames of one size for small differences."""
    return float(np.ceil(value))
