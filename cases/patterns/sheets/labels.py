"""Where words may stand on a sheet: clear of every line that must be read, and of other words.

Words are set along their line where it runs straight enough; else beside it; else at the end of a thin line.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely
from numpy.typing import NDArray

from cases.patterns.drafting.pieces import LineKind, Points
from cases.patterns.sheets.laid import Window, line_of
from cases.patterns.sheets.paper import Mark, Stroke, Word
from cases.patterns.sheets.raster import Raster
from cases.patterns.sheets.typeset import LINE_HIGH, width_of, wrapped

CLEAR_MM = 0.7
"""From a word to the next line or word."""
NEARER_MM = 0.3
"""By how much words lie nearer to their own line than to any other."""
AWAY_MM = 16.0
"""Words hard by a line with one end do not stand farther from it with the other, but where the line is short."""
STEP_MM = 4.0
STRAIGHT_MM = 1.6
"""A line under words may bend by this much away from its chord."""
STEPS_MM = (2.0, 4.0, 6.0)
ENOUGH_MM = STEPS_MM[-1]
"""Room beyond this makes a place no better."""
LONGEST_MM = 44.0
FARTHEST_MM = 60.0
MOST_TRIED = 600
"""Of places anywhere: the longest row, how far from the line, and how many are compared."""
LEADERS_MM = (7.0, 11.0, 16.0, 23.0, 32.0)


@dataclass
class Room:
    """What is free of a window. It fills up as words are placed in it."""

    window: Window
    strokes: Sequence[Stroke]
    _taken: list[shapely.Geometry] = field(default_factory=list)

    def __post_init__(self) -> None:
        # In short pieces: a box round a whole cut line would hold the whole piece.
        pieces = [piece for stroke in self.strokes for piece in _segments(stroke)]
        self._tree = shapely.STRtree(pieces)
        self._lines = shapely.MultiLineString(pieces)
        self._inner = shapely.box(
            self.window.left + 1, self.window.top + 1, self.window.right - 1, self.window.bottom - 1
        )
        shapely.prepare(self._inner)
        shapely.prepare(self._lines)
        self.raster = Raster(self.window)
        for piece in pieces:
            self.raster.take_line(piece)

    def take(self, box: shapely.Geometry) -> None:
        self._taken.append(shapely.buffer(box, CLEAR_MM, join_style="mitre"))
        self.raster.take_box(box)

    def take_leader(self, line: shapely.LineString) -> None:
        """No later word lies on it."""
        self._taken.append(shapely.buffer(line, CLEAR_MM / 2, cap_style="flat"))

    def free(self, boxes: NDArray[np.object_], *, clear_mm: float = CLEAR_MM) -> NDArray[np.float64]:
        """How far, in steps of `STEPS_MM`, each box is from the next line; -1 where that is less than `clear_mm`.

        So it is where a box lies on a word or over the edge.
        """
        found = np.full(len(boxes), -1.0)
        fits = shapely.covers(self._inner, boxes)
        for taken in self._taken:
            fits &= ~shapely.intersects(taken, boxes)
        at = np.flatnonzero(fits)
        # Asked step by step of fewer and fewer: whether a line is nearer than so much is quickly said, how near is not.
        for step_mm in (clear_mm, *(step for step in STEPS_MM if step > clear_mm)):
            if not len(at):
                break
            at = at[~shapely.dwithin(self._lines, boxes[at], step_mm)]
            found[at] = step_mm
        return found

    def hindrances(self, line: shapely.LineString) -> int:
        """How many lines a thin line would cross; a word in its way counts as many."""
        words = sum(bool(shapely.intersects(taken, line)) for taken in self._taken)
        return len(self._tree.query(line, predicate="crosses")) + 20 * words


def _segments(stroke: Stroke) -> list[shapely.LineString]:
    points = np.asarray(line_of(stroke).coords)
    return [shapely.LineString(points[at : at + 5]) for at in range(0, len(points) - 1, 4)]


@dataclass(frozen=True)
class _Places:
    """Places for a word, one a row: the middle of its box, how it is turned, and where a thin line to it begins."""

    middles: Points
    turned_deg: NDArray[np.float64]
    boxes: NDArray[np.object_]
    begins: Points | None = None


def place_along(
    room: Room,
    parts: Sequence[Stroke],
    says: str,
    *,
    sizes_mm: Sequence[float],
    on: shapely.Geometry,
    is_bold: bool = False,
) -> tuple[tuple[Word, ...], Stroke | None]:
    """The words of a line, and the thin line to them where there is one; taken from the room. None without any room.

    `parts` are what of the line lies in the window; a place `on` the piece is better than one beside it; a smaller size
    along the line is better than a larger one away from it.
    """
    shapely.prepare(on)
    line = shapely.MultiLineString([line_of(part) for part in parts]).simplify(0.5)
    others = _others(room, parts)
    shapely.prepare(others)
    for places_of in (_along, _beside, _led):
        for size_mm in sizes_mm:
            wide = width_of(says, size_mm=size_mm, is_bold=is_bold)
            middles, turned, begins = places_of(parts, wide, size_mm)
            if not len(middles):
                continue
            places = _boxed(middles, turned, begins, wide, size_mm)
            best = _best(room, places, on, line, others)
            if best is None:
                continue
            room.take(places.boxes[best])
            word = _word(places.middles[best], float(places.turned_deg[best]), says, size_mm=size_mm, is_bold=is_bold)
            if places.begins is None:
                return (word,), None
            leader = shapely.shortest_line(shapely.Point(places.begins[best]), places.boxes[best])
            return (word,), _leader(room, leader, parts[0])
    return _anywhere(room, parts, says, size_mm=sizes_mm[-1], is_bold=is_bold)


def _others(room: Room, parts: Sequence[Stroke]) -> shapely.MultiLineString:
    """The lines that words might be taken to belong to. A nick lies on the cut line: no word is nearer to it alone."""
    is_nick = parts[0].kind is LineKind.NICK
    return shapely.MultiLineString(
        [
            line_of(each)
            for each in room.strokes
            if all(each is not part for part in parts) and not (is_nick and each.kind in {LineKind.CUT, LineKind.NICK})
        ]
    )


def _leader(room: Room, line: shapely.LineString, part: Stroke) -> Stroke:
    room.take_leader(line)
    return Stroke(Mark.LEADER, np.asarray(line.coords), piece=part.piece)


def _anywhere(
    room: Room, parts: Sequence[Stroke], says: str, *, size_mm: float, is_bold: bool
) -> tuple[tuple[Word, ...], Stroke | None]:
    """In several short lines, wherever in the window there is room, with a thin line that crosses as little as may be."""
    lines = shapely.MultiLineString([line_of(part) for part in parts])
    left, top, right, bottom = lines.bounds
    near = shapely.box(left - FARTHEST_MM, top - FARTHEST_MM, right + FARTHEST_MM, bottom + FARTHEST_MM)
    free = room.raster.free_on(shapely.intersection(room.window.polygon, near))
    for longest in (LONGEST_MM, LONGEST_MM / 2):
        rows = wrapped(says, longest, size_mm=size_mm, is_bold=is_bold)
        wide = max(width_of(row, size_mm=size_mm, is_bold=is_bold) for row in rows)
        high = len(rows) * size_mm * LINE_HIGH
        at, _ = free.places(wide=wide, high=high, clear_mm=(CLEAR_MM,))
        at = at[:: -(-len(at) // MOST_TRIED) or 1]
        boxes = shapely.box(at[:, 0], at[:, 1], at[:, 0] + wide, at[:, 1] + high)
        boxes = boxes[room.free(boxes) >= 0]
        if not len(boxes):
            continue
        leaders = shapely.shortest_line(lines, boxes)
        cost = shapely.length(leaders) + 8 * np.array([room.hindrances(leader) for leader in leaders])
        box = boxes[int(np.argmin(cost))]
        room.take(box)
        left, top, right, _ = box.bounds
        words = tuple(
            Word((left + right) / 2, top + size_mm * (1 + row * LINE_HIGH), says, size_mm, is_bold=is_bold)
            for row, says in enumerate(rows)
        )
        return words, _leader(room, leaders[int(np.argmin(cost))], parts[0])
    return (), None


def _best(
    room: Room, places: _Places, on: shapely.Geometry, line: shapely.Geometry, others: shapely.Geometry
) -> int | None:
    free = room.free(places.boxes)
    # Only of those that are free: the rest is dear to ask.
    at = np.flatnonzero(free >= 0)
    boxes = places.boxes[at]
    if places.begins is None:
        # Words hard by two lines would be read as those of the nearer.
        own = ~shapely.dwithin(others, boxes, shapely.distance(boxes, line) + NEARER_MM)
        at, boxes = at[own], boxes[own]
    if not len(at):
        return None
    worth = free[at] + ENOUGH_MM * shapely.covers(on, boxes)
    if places.begins is None:
        corners = shapely.points(shapely.get_coordinates(boxes)).reshape(len(at), -1)
        farthest = shapely.distance(corners, line).max(axis=1)
        worth -= 0.4 * farthest
        # Words that stand away from a long line, one end at it, are better led to it.
        worth[(farthest > AWAY_MM) & (farthest < line.length)] = -np.inf
        if np.isneginf(worth).all():
            return None
    else:
        leaders = shapely.shortest_line(shapely.points(places.begins[at]), boxes)
        worth -= shapely.length(leaders) + 8 * np.array([room.hindrances(leader) for leader in leaders])
    return int(at[np.argmax(worth)])


def _word(middle: Points, turned_deg: float, says: str, *, size_mm: float, is_bold: bool) -> Word:
    # The foot of the type lies below the middle of its box by about a third of its height.
    turn = np.deg2rad(turned_deg)
    drop = 0.36 * size_mm
    return Word(
        x=float(middle[0] - drop * np.sin(turn)),
        y=float(middle[1] + drop * np.cos(turn)),
        says=says,
        size_mm=size_mm,
        turned_deg=turned_deg,
        is_bold=is_bold,
    )


def _boxed(
    middles: Points, turned_deg: NDArray[np.float64], begins: Points | None, wide: float, high: float
) -> _Places:
    """With their boxes, never upside down: words read from below or from the right."""
    turned = (turned_deg + 90) % 180 - 90
    turned = np.where(turned > 89.9, turned - 180, turned)
    turn = np.deg2rad(turned)
    along = np.column_stack([np.cos(turn), np.sin(turn)]) * wide / 2
    across = np.column_stack([-np.sin(turn), np.cos(turn)]) * high / 2
    corners = np.stack([middles + sx * along + sy * across for sx, sy in _CORNERS], axis=1)
    return _Places(middles, turned, shapely.polygons(corners), begins)


_CORNERS = ((-1, -1), (1, -1), (1, 1), (-1, 1))
_Found = tuple[Points, NDArray[np.float64], Points | None]


def _along(parts: Sequence[Stroke], wide: float, high: float) -> _Found:
    """On either side of the line, wherever it runs straight for the length of the word."""
    middles, turned = [], []
    for part in parts:
        points = np.asarray(line_of(part).coords)
        reached = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
        for middle in np.arange(wide / 2, reached[-1] - wide / 2 + 0.01, STEP_MM):
            at = np.linspace(middle - wide / 2, middle + wide / 2, 9)
            run = np.column_stack([np.interp(at, reached, points[:, axis]) for axis in (0, 1)])
            chord = run[-1] - run[0]
            long = float(np.hypot(*chord))
            across = np.array([-chord[1], chord[0]]) / max(long, 0.01)
            bends = (run - run[0]) @ across
            if long < 0.97 * wide or float(np.abs(bends).max()) > STRAIGHT_MM:
                continue
            for way in (1, -1):
                off = float((way * bends).max()) + CLEAR_MM + 0.2 + high / 2
                middles.append(run[0] + chord / 2 + way * across * off)
                turned.append(float(np.rad2deg(np.arctan2(chord[1], chord[0]))))
    return np.array(middles), np.array(turned), None


def _samples(parts: Sequence[Stroke], apart_mm: float) -> Points:
    lines = [line_of(part) for part in parts]
    on_them = [
        shapely.line_interpolate_point(
            line, np.linspace(0.05, 0.95, max(3, int(line.length / apart_mm))), normalized=True
        )
        for line in lines
    ]
    points: Points = shapely.get_coordinates(np.concatenate(on_them))
    return points


def _beside(parts: Sequence[Stroke], wide: float, high: float) -> _Found:
    """Level or upright, hard by the line."""
    ways = np.array([(sx, sy) for sx in (1, -1, 0) for sy in (1, -1, 0) if sx or sy], dtype=float)
    middles, turned = [], []
    for at in _samples(parts, 2 * STEP_MM):
        for turned_deg, half in ((0.0, (wide / 2, high / 2)), (-90.0, (high / 2, wide / 2))):
            for away in (1.2, 2.5):
                middles.append(at + ways * (np.array(half) + away))
                turned.append(np.full(len(ways), turned_deg))
    return np.concatenate(middles), np.concatenate(turned), None


def _led(parts: Sequence[Stroke], wide: float, high: float) -> _Found:
    """Level, away from the line, at the end of a thin line that begins on it."""
    turns = np.arange(0, 2 * np.pi, np.pi / 8)
    away = np.array(LEADERS_MM)[:, None]
    off = np.stack([np.cos(turns) * (wide / 2 + away), np.sin(turns) * (high / 2 + away)], axis=-1).reshape(-1, 2)
    begins = _samples(parts, 6 * STEP_MM)
    middles = (begins[:, None] + off).reshape(-1, 2)
    return middles, np.zeros(len(middles)), np.repeat(begins, len(off), axis=0)
