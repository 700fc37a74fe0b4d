"""A piece drawn on a page, to scale: its lines told apart by dash and word, its points numbered to be chosen.

All pieces of a page have the same scale, and each has a bar of 50 mm.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from cases.patterns.drafting.pieces import LineKind, Piece, Points, on_paper
from cases.patterns.sheets.laid import Laid, lay
from cases.patterns.sheets.marks import STYLES
from cases.patterns.sheets.paper import Group, Mark, group_of
from shared.sides import Side

ROUND_IT_MM = 8.0
BAR_MM = 50.0
BAR_ROOM_MM = 10.0
FINE_MM = 0.1
"""Points that lie nearer to the line between their neighbours are left out on a screen."""
BAR_WORD_PX = 56.0
STROKE_PX = 2.2
"""Of a line that is 0.5 mm on paper."""
DOT_PX = 15.0


@dataclass(frozen=True)
class ScreenLine:
    """One line: the `d` of a path, and how it is dashed and how thick it is."""

    kind: str
    d: str
    dashes: str
    width: str


@dataclass(frozen=True)
class ScreenPoint:
    """A point that may be chosen."""

    number: int
    key: str
    words: str
    x: str
    y: str
    is_chosen: bool


@dataclass(frozen=True)
class Legend:
    """What a kind of line is, in words."""

    dashes: str
    width: str
    words: str


@dataclass(frozen=True)
class ScreenPiece:
    """A piece on a page: `wide_px` by `high_px` of the screen show `wide` by `high` mm."""

    says: str
    wide: str
    high: str
    wide_px: int
    high_px: int
    lines: tuple[ScreenLine, ...]
    points: tuple[ScreenPoint, ...]
    legend: tuple[Legend, ...]
    bar_y: str
    bar_end: str
    text: str
    dot: str
    """Height of the type, and the radius of a numbered point, in mm of the drawing."""
    medial: str
    """Which edge of the drawing is medial: right, left, or neither where it serves either foot."""


def drawn_piece(piece: Piece, *, px_a_mm: float, chosen: str = "", choosable: bool = False) -> ScreenPiece:
    """The piece as it lies on paper, LEFT with medial to the right. `choosable` numbers its points."""
    laid = lay(piece)
    window = laid.window
    wide = max(window.right, BAR_MM + BAR_WORD_PX / px_a_mm) + 2 * ROUND_IT_MM
    aside = (wide - window.right) / 2
    put = laid.moved(right_mm=aside, down_mm=ROUND_IT_MM)
    high = window.bottom + 2 * ROUND_IT_MM + BAR_ROOM_MM
    group = group_of(piece)
    return ScreenPiece(
        says=f"{piece.name}, {group.label}, to scale",
        wide=_n(wide),
        high=_n(high),
        wide_px=round(wide * px_a_mm),
        high_px=round(high * px_a_mm),
        lines=tuple(_lines(put, px_a_mm)),
        points=tuple(_points(piece, put, chosen)) if choosable else (),
        legend=_legend(put, px_a_mm),
        bar_y=_n(high - ROUND_IT_MM / 2),
        bar_end=_n(ROUND_IT_MM + BAR_MM),
        text=_n(14 / px_a_mm),
        dot=_n(DOT_PX / px_a_mm),
        medial={Group.LEFT: "right", Group.RIGHT: "left", Group.EITHER: ""}[group],
    )


def _lines(laid: Laid, px_a_mm: float) -> Iterator[ScreenLine]:
    for stroke in laid.strokes:
        style = _style(stroke.kind, px_a_mm)
        yield ScreenLine(stroke.kind.value, _path(stroke.points, closed=stroke.closed), style.dashes, style.width)


def _legend(laid: Laid, px_a_mm: float) -> tuple[Legend, ...]:
    found: dict[str, Legend] = {}
    for stroke in laid.strokes:
        if stroke.says:
            style = _style(stroke.kind, px_a_mm)
            found.setdefault(stroke.says, Legend(style.dashes, style.width, stroke.says))
    return tuple(found.values())


def _style(kind: LineKind | Mark, px_a_mm: float) -> Legend:
    style = STYLES[kind]
    return Legend(
        " ".join(_n(each) for each in style.dashes or ()), _n(style.stroke_mm * STROKE_PX / (0.5 * px_a_mm)), kind.value
    )


def _points(piece: Piece, put: Laid, chosen: str) -> Iterator[ScreenPoint]:
    """Its points where they came to lie: the first point of the cut line says how far all was moved."""
    side = group_of(piece).lies_as
    moved = put.strokes[0].points[0] - _flat(piece.outline[:1], side)[0]
    for number, handle in enumerate(piece.handles, start=1):
        x, y = _flat(np.array([handle.at]), side)[0] + moved
        yield ScreenPoint(number, handle.key, handle.words, _n(x), _n(y), handle.key == chosen)


def _flat(points: Points, side: Side) -> Points:
    flat: Points = on_paper(points, side) * np.array([1.0, -1.0])
    return flat


def _path(points: Points, *, closed: bool) -> str:
    line = shapely.LineString(np.concatenate([points, points[:1]]) if closed else points).simplify(FINE_MM)
    drawn: Sequence[Sequence[float]] = list(line.coords)[: -1 if closed else None]
    return "M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in drawn) + ("z" if closed else "")


def _n(value: float) -> str:
    """To a tenth of a millimetre, or finer where it is small."""
    digits = 1 if abs(value) >= 10 else 2
    return f"{value:.{digits}f}".rstrip("0").rstrip(".") if round(value, digits) else "0"
