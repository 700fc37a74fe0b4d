"""What a view is made of: shapes with a filling, measured lines, words; and the way from millimetres to a page."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shared.sides import Side

Points = NDArray[np.float64]
MARGIN_MM = 16.0


@dataclass(frozen=True)
class Shape:
    """One part in one view. `kind` decides its filling; `says` is what it is, with its measures."""

    kind: str
    path: str
    says: str


@dataclass(frozen=True)
class Measure:
    """A line with ticks at its ends, and what it measures."""

    x1: float
    y1: float
    x2: float
    y2: float
    says: str

    @property
    def is_upright(self) -> bool:
        return abs(self.x1 - self.x2) < abs(self.y1 - self.y2)

    @property
    def ticks(self) -> tuple[tuple[float, float, float, float], ...]:
        """A short stroke across each end."""
        dx, dy = (2.0, 0.0) if self.is_upright else (0.0, 2.0)
        ends = ((self.x1, self.y1), (self.x2, self.y2))
        return tuple((round(x - dx, 1), round(y - dy, 1), round(x + dx, 1), round(y + dy, 1)) for x, y in ends)

    @property
    def middle(self) -> tuple[float, float]:
        return round((self.x1 + self.x2) / 2, 1), round((self.y1 + self.y2) / 2, 1)


@dataclass(frozen=True)
class Word:
    x: float
    y: float
    says: str
    anchor: str = "middle"


@dataclass(frozen=True)
class View:
    """One view in its frame. `title` names foot and side; `says` tells all shapes in words."""

    title: str
    width: float
    height: float
    shapes: tuple[Shape, ...]
    measures: tuple[Measure, ...]
    words: tuple[Word, ...]

    @property
    def view_box(self) -> str:
        return f"0 0 {self.width:g} {self.height:g}"

    @property
    def says(self) -> str:
        told = dict.fromkeys(shape.says for shape in self.shapes if shape.says)
        return f"{self.title}: {'; '.join(told)}" if told else self.title


@dataclass(frozen=True)
class CutAway:
    """The four views of one shoe, and what its form was drawn from."""

    side: Side
    drawn_from: str
    medial: View
    lateral: View
    above: View
    behind: View

    @property
    def views(self) -> tuple[View, ...]:
        return (self.medial, self.lateral, self.above, self.behind)


@dataclass(frozen=True)
class Page:
    """From millimetres of the shoe to the frame of a view: u across, v up. `is_mirrored` turns u about."""

    width: float
    height: float
    zero_u: float
    zero_v: float
    is_mirrored: bool = False

    def at(self, u: float, v: float) -> tuple[float, float]:
        across = self.zero_u - u if self.is_mirrored else self.zero_u + u
        return round(across, 1), round(self.zero_v - v, 1)

    def path(self, points: Points) -> str:
        return "M" + "L".join("{:.1f} {:.1f}".format(*self.at(float(u), float(v))) for u, v in points) + "Z"

    def line(self, points: Points) -> str:
        """A path that stays open."""
        return self.path(points).removesuffix("Z")

    def measure(self, start: tuple[float, float], end: tuple[float, float], says: str) -> Measure:
        return Measure(*self.at(*start), *self.at(*end), says)


def band(x: Points, upper: Points, lower: Points) -> Points:
    """The closed line round what lies between two lines over the same x."""
    return np.concatenate([np.column_stack([x, upper]), np.column_stack([x, lower])[::-1]])


def box(u: tuple[float, float], v: tuple[float, float]) -> Points:
    return np.array([(u[0], v[0]), (u[1], v[0]), (u[1], v[1]), (u[0], v[1])], dtype=np.float64)


def mm(value: float) -> str:
    """Whole or half millimetres, as the bench reads them."""
    return f"{round(2 * value) / 2:g} mm"


def said(*words: str) -> str:
    """Words that are there, joined by commas."""
    return ", ".join(word for word in words if word)


def along_edge(edge: Sequence[tuple[float, float]] | Points, reach_mm: float) -> tuple[float, float]:
    """The place on an edge that lies so far along it from its beginning."""
    points = np.asarray(edge, dtype=np.float64)
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    return float(np.interp(reach_mm, gone, points[:, 0])), float(np.interp(reach_mm, gone, points[:, 1]))
