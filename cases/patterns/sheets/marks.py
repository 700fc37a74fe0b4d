"""What a sheet carries besides the lines of its pieces: check bars, register crosses, and words."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from cases.patterns.drafting.pieces import LineKind, Points
from cases.patterns.sheets.blocks import places_of_words
from cases.patterns.sheets.labels import Room, place_along
from cases.patterns.sheets.laid import Laid, Window, within
from cases.patterns.sheets.paper import Heading, Mark, Stroke, Word
from cases.patterns.sheets.typeset import width_of

CHECK_MM = 100.0
CHECK_WORDS = "Print at actual size. Measure both bars: 100 mm."
CAUTION = "The prescriber's prescription and the check at the bench decide."

WORD_MM = 2.7
SMALL_WORD_MM = 2.3
"""Height of the type along lines: 7.7 and 6.5 points."""

CROSS_MM = 4.0
"""Half of a register cross."""
NUMBER_MM = 3.6


@dataclass(frozen=True)
class Style:
    """How a kind of line is drawn, black on white: its stroke, and its dashes in mm."""

    stroke_mm: float
    dashes: tuple[float, ...] = ()


STYLES: dict[LineKind | Mark, Style] = {
    LineKind.CUT: Style(0.5),
    LineKind.NICK: Style(0.5),
    LineKind.FINISHED: Style(0.35, (7, 1.5)),
    LineKind.FEATHER: Style(0.35, (4, 1.2)),
    LineKind.SKIVE: Style(0.3, (0.6, 1.2)),
    LineKind.THIN: Style(0.3, (1.4, 0.8)),
    LineKind.ZONE: Style(0.3, (5, 1.2, 0.8, 1.2)),
    LineKind.JOINT: Style(0.35, (7, 1.2, 0.8, 1.2, 0.8, 1.2)),
    LineKind.CENTRE_BACK: Style(0.35, (10, 1.5, 2.5, 1.5)),
    LineKind.CENTRE: Style(0.25, (10, 1.5, 2.5, 1.5, 2.5, 1.5)),
    LineKind.GRAIN: Style(0.25),
    LineKind.PLACE: Style(0.3, (2.4, 1)),
    Mark.CHECK_BAR: Style(0.3),
    Mark.REGISTER: Style(0.2),
    Mark.LEADER: Style(0.15),
}


def worded(
    window: Window,
    pieces: Sequence[Laid],
    heading: Heading,
    *,
    shows: Window,
    marks: Sequence[Stroke] = (),
    marked: Sequence[Word] = (),
    tile: str = "",
) -> tuple[tuple[Stroke, ...], tuple[Word, ...]]:
    """The lines and words of a sheet: what of the pieces it shows, its marks, and words wherever its window has room."""
    shown = [(laid, stroke, within([stroke], shows)) for laid in pieces for stroke in laid.strokes]
    strokes = [*(part for _, _, parts in shown for part in parts), *marks]
    room = Room(window, strokes)
    words = list(marked)
    for word in marked:
        room.take(_box_of(word))
    for laid in pieces:
        for block, there in places_of_words(room, laid, heading, shows=shows, tile=tile):
            words += block.at(there)
    # What has least choice comes first: short lines, and the cut line, which can say so anywhere, last.
    for laid, stroke, parts in sorted(shown, key=lambda each: (each[1].kind is LineKind.CUT, _longest(each[2]))):
        if not stroke.says or not parts:
            continue
        found, leader = place_along(
            room,
            parts,
            stroke.says,
            sizes_mm=(WORD_MM, SMALL_WORD_MM),
            on=shapely.intersection(laid.polygon, shows.polygon),
            is_bold=stroke.kind is LineKind.NICK,
        )
        words += found
        strokes += [leader] if leader else []
    return tuple(strokes), tuple(words)


def _longest(parts: Sequence[Stroke]) -> float:
    return max((float(np.hypot(*np.diff(part.points, axis=0).T).sum()) for part in parts), default=0.0)


def _box_of(word: Word) -> shapely.Polygon:
    half = width_of(word.says, size_mm=word.size_mm, is_bold=word.is_bold) / 2
    return shapely.box(word.x - half, word.y - word.size_mm, word.x + half, word.y)


def check_bars(corner_x: float, corner_y: float) -> tuple[tuple[Stroke, ...], tuple[Word, ...]]:
    """Two bars of 100 mm from a corner at the left of the foot, to the right and up, with what to do with them."""

    def bar(*points: tuple[float, float]) -> Stroke:
        return Stroke(Mark.CHECK_BAR, np.array(points))

    right, top, tick = corner_x + CHECK_MM, corner_y - CHECK_MM, 1.5
    return (
        bar((corner_x, corner_y), (right, corner_y)),
        bar((corner_x, corner_y), (corner_x, top)),
        bar((right, corner_y - tick), (right, corner_y + tick)),
        bar((corner_x - tick, top), (corner_x + tick, top)),
    ), (
        Word(corner_x + CHECK_MM / 2, corner_y + 3.2, CHECK_WORDS, 2.5),
        Word(corner_x + 3.2, corner_y - CHECK_MM / 2, "100 mm", 2.5, turned_deg=-90.0),
    )


def cross(number: int, at: Points, *, piece: str, lines: shapely.Geometry) -> tuple[tuple[Stroke, ...], Word]:
    """A register cross and its number, which stands in the quarter that is freest of the piece's lines."""
    x, y = float(at[0]), float(at[1])
    arms = (
        Stroke(Mark.REGISTER, np.array([(x - CROSS_MM, y), (x + CROSS_MM, y)]), piece=piece),
        Stroke(Mark.REGISTER, np.array([(x, y - CROSS_MM), (x, y + CROSS_MM)]), piece=piece),
    )
    says = str(number)
    half = width_of(says, size_mm=NUMBER_MM, is_bold=True) / 2
    quarters = [(sx * (half + 0.9), sy * 2.4 + 0.36 * NUMBER_MM) for sx in (1, -1) for sy in (-1, 1)]
    words = [Word(x + dx, y + dy, says, NUMBER_MM, is_bold=True) for dx, dy in quarters]
    return arms, max(words, key=lambda word: min(float(shapely.distance(_box_of(word), lines)), 2.0))
