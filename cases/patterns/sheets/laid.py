"""A piece laid flat on paper: turned into left and right, moved, turned by a quarter, cut by the edge of a sheet."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
import shapely

from cases.patterns.drafting.pieces import Line, LineKind, Piece, Points, on_paper
from cases.patterns.sheets.paper import Group, Stroke, group_of

ARROW_LONG_MM = 5.0
ARROW_HALF_MM = 1.8


@dataclass(frozen=True)
class Window:
    """A rectangle of the sheet, in mm: x to the right, y down."""

    left: float
    top: float
    right: float
    bottom: float

    @property
    def wide(self) -> float:
        return self.right - self.left

    @property
    def high(self) -> float:
        return self.bottom - self.top

    @property
    def polygon(self) -> shapely.Polygon:
        return shapely.box(self.left, self.top, self.right, self.bottom)


@dataclass(frozen=True)
class Laid:
    """A piece on paper: its lines and its surface, x to the right and y down.

    `home` is the room that was kept for it and for its words, where it shares a sheet.
    """

    piece: Piece
    group: Group
    strokes: tuple[Stroke, ...]
    polygon: shapely.Polygon
    home: Window | None = None

    @cached_property
    def window(self) -> Window:
        """The smallest rectangle round all its lines."""
        points = np.concatenate([stroke.points for stroke in self.strokes])
        (left, top), (right, bottom) = points.min(axis=0), points.max(axis=0)
        return Window(float(left), float(top), float(right), float(bottom))

    def moved(self, *, right_mm: float, down_mm: float) -> "Laid":
        by = np.array([right_mm, down_mm])
        return replace(
            self,
            strokes=tuple(replace(stroke, points=stroke.points + by) for stroke in self.strokes),
            polygon=shapely.transform(self.polygon, lambda points: points + by),
        )


def lay(piece: Piece, *, turned: bool = False) -> Laid:
    """The piece as it lies in its group, its corner at 0, 0; `turned` by a quarter clockwise, never turned over."""
    group = group_of(piece)

    def put(points: Points) -> Points:
        x, y = (on_paper(points, group.lies_as) * [1.0, -1.0]).T
        return np.column_stack([-y, x]) if turned else np.column_stack([x, y])

    lines = piece.marked(group.lies_as)
    said = [*zip(lines, _said(lines, group), strict=True), *((head, "") for head in _arrow_heads(lines))]
    laid = Laid(
        piece=piece,
        group=group,
        strokes=tuple(
            Stroke(line.kind, put(line.points), closed=line.closed, piece=piece.key, says=says) for line, says in said
        ),
        polygon=shapely.Polygon(put(piece.outline), [put(hole) for hole in piece.holes]),
    )
    return laid.moved(right_mm=-laid.window.left, down_mm=-laid.window.top)


def _said(lines: Sequence[Line], group: Group) -> list[str]:
    """What stands beside each line. The nicks of the medial edge say it once for all, the cut line for its holes."""
    said: list[str] = []
    for line in lines:
        if line.kind is LineKind.CUT:
            said.append("cut out" if said else "cut")
        elif line.kind is LineKind.NICK:
            says = f"{line.kind.value}: {_NICKS[group]}"
            said.append("" if says in said else says)
        else:
            said.append(f"{line.kind.value}: {line.words}" if line.words else line.kind.value)
    return said


_NICKS = {Group.LEFT: "1 nick LEFT", Group.RIGHT: "2 nicks RIGHT", Group.EITHER: ""}


def _arrow_heads(lines: Sequence[Line]) -> list[Line]:
    """The barbs at the end of each line along which the grain runs."""
    heads = []
    for line in lines:
        if line.kind is not LineKind.GRAIN:
            continue
        tip = line.points[-1]
        along = tip - line.points[-2]
        along = along / np.hypot(*along)
        across = np.array([-along[1], along[0]])
        foot = tip - ARROW_LONG_MM * along
        heads.append(
            Line(LineKind.GRAIN, np.array([foot + ARROW_HALF_MM * across, tip, foot - ARROW_HALF_MM * across]))
        )
    return heads


def line_of(stroke: Stroke) -> shapely.LineString:
    return shapely.LineString(np.concatenate([stroke.points, stroke.points[:1]]) if stroke.closed else stroke.points)


def within(strokes: Sequence[Stroke], window: Window) -> tuple[Stroke, ...]:
    """What of the lines lies in the window. A line that leaves it and comes back is there in several parts."""
    return tuple(part for stroke in strokes for part in _parts(stroke, window))


def _parts(stroke: Stroke, window: Window) -> list[Stroke]:
    points = stroke.points
    (left, top), (right, bottom) = points.min(axis=0), points.max(axis=0)
    if left >= window.left and right <= window.right and top >= window.top and bottom <= window.bottom:
        return [stroke]
    inside = shapely.intersection(line_of(stroke), window.polygon)
    # A closed line begins somewhere: what is drawn on both sides of its first point is one line again.
    joined = shapely.line_merge(shapely.multilinestrings(_lines_of(inside)))
    return [
        replace(stroke, points=np.asarray(part.coords), closed=False) for part in _lines_of(joined) if part.length > 0
    ]


def _lines_of(shape: shapely.Geometry) -> list[shapely.LineString]:
    return [each for each in shapely.get_parts(shape) if isinstance(each, shapely.LineString)]
