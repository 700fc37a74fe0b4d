"""What a view is made of: shapes with a filling, dimension lines, calls with a leader; all in mm of the shoe.

A view is worked out for a LEFT shoe: u runs right, v up. A RIGHT shoe's is turned about only where it is laid on a page,
so that both feet are drawn alike.
"""

from dataclasses import dataclass, field
from enum import Enum
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

Points = NDArray[np.float64]
At = tuple[float, float]


class Zone(Enum):
    """Where a call's words stand: in rows over or under a view, or beside it on its left or right."""

    ABOVE = "above"
    BELOW = "below"
    BESIDE = "beside"


class Shape(NamedTuple):
    """One part in one view. `kind` decides its filling, `part` names it as the prescription does."""

    kind: str
    part: str
    points: Points
    is_open: bool = False


class Dimension(NamedTuple):
    """A measured line with a tick across each end, and its figure in mm beside its middle or, so asked, over its upper end."""

    part: str
    start: At
    end: At
    says: str
    at_end: bool = False


class Call(NamedTuple):
    """What a part is, with its measures; a leader runs from the words to `at`. `part` may name several, spaced.

    A part that lies on both sides of a view may be called on its other side, at `also`, where there is more room.
    """

    part: str
    at: At
    says: str
    zone: Zone
    also: At | None = None


@dataclass(frozen=True)
class View:
    """One view. `left` and `right` are the words at its upper corners."""

    title: str
    shapes: tuple[Shape, ...]
    dimensions: tuple[Dimension, ...]
    calls: tuple[Call, ...]
    left: str = ""
    right: str = ""
    lines: tuple[Shape, ...] = field(default=())

    @cached_property
    def box(self) -> tuple[float, float, float, float]:
        """Least u and v, most u and v of what is drawn; dimension lines stand in the room beside it."""
        points = np.concatenate([shape.points for shape in (*self.shapes, *self.lines)])
        (least_u, least_v), (most_u, most_v) = points.min(axis=0), points.max(axis=0)
        return float(least_u), float(least_v), float(most_u), float(most_v)

    def shape(self, kind: str) -> tuple[Shape, ...]:
        """The shapes of a kind."""
        return tuple(each for each in self.shapes if each.kind == kind)


def band(x: Points, upper: Points, lower: Points) -> Points:
    """The closed line round what lies between two lines over the same x."""
    return np.concatenate([np.column_stack([x, upper]), np.column_stack([x, lower])[::-1]])


def box(u: tuple[float, float], v: tuple[float, float]) -> Points:
    return np.array([(u[0], v[0]), (u[1], v[0]), (u[1], v[1]), (u[0], v[1])], dtype=np.float64)


def ellipse(u: float, v: float, half_u: float, half_v: float, *, points: int = 20) -> Points:
    turn = np.linspace(0, 2 * np.pi, points, endpoint=False)
    return np.column_stack([u + half_u * np.cos(turn), v + half_v * np.sin(turn)])


def figure(value: float) -> str:
    """Whole or half millimetres, as the bench reads them; a thickness under 10 mm to a tenth."""
    return f"{round(value, 1):g}" if abs(value) < 10 else f"{round(2 * value) / 2:g}"


def mm(value: float) -> str:
    return f"{figure(value)} mm"


def said(*words: str) -> str:
    """Words that are there, joined by commas."""
    return ", ".join(word for word in words if word)


def along_edge(edge: Points, reach_mm: float) -> At:
    """The place on an edge that lies so far along it from its beginning."""
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(edge, axis=0).T))])
    return float(np.interp(reach_mm, gone, edge[:, 0])), float(np.interp(reach_mm, gone, edge[:, 1]))
