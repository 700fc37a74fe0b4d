"""What a sheet carries besides the lines of its pieces: check bars, register crosses, and words."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from cases.patterns.drafting.pieces import LineKind, Piece, Points
from cases.patterns.sheets.labels import Room, place_along, width_of
from cases.patterns.sheets.laid import Laid, Window, within
from cases.patterns.sheets.paper import Group, Heading, Mark, Stroke, Word

CHECK_MM = 100.0
CHECK_WORDS = "Print at actual size. Measure both bars: 100 mm."
STARTING_PIECE = "Starting piece: cut full, trim on the last."
CAUTION = "The prescriber's prescription and the check at the bench decide."

WORD_MM = 2.7
SMALL_WORD_MM = 2.3
"""Height of the type along lines: 7.7 and 6.5 points."""
TITLE_OVER_TEXT = 1.45
LINE_HIGH = 1.3
_BLOCKS = ((3.2, 88.0), (3.2, 62.0), (3.2, 46.0), (2.7, 62.0), (2.7, 40.0), (2.4, 34.0), (2.4, 26.0))
"""Height of the type and longest line, in the order in which they are tried."""
BESIDE = (2.7, 46.0)
"""The same for words that stand beside their piece."""
BESIDE_GAP_MM = 3.0
GRID_MM = 3.0

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


@dataclass(frozen=True)
class Block:
    """The words of a piece, set: its lines with their type, and how much room they take."""

    lines: tuple[tuple[str, float, bool], ...]
    """Words, height of the type in mm, bold."""

    @property
    def wide(self) -> float:
        return max(width_of(says, size_mm=size, is_bold=bold) for says, size, bold in self.lines)

    @property
    def high(self) -> float:
        return sum(size for _, size, _ in self.lines) * LINE_HIGH

    def at(self, window: Window) -> Iterator[Word]:
        """Its words in the middle of a window."""
        middle = (window.left + window.right) / 2
        down = (window.top + window.bottom) / 2 - self.high / 2
        for says, size, bold in self.lines:
            yield Word(x=middle, y=down + size, says=says, size_mm=size, is_bold=bold)
            down += size * LINE_HIGH


def block_of(piece: Piece, group: Group, heading: Heading, *, size_mm: float, wide: float, tile: str = "") -> Block:
    """The words that every piece carries, in lines of at most `wide` mm; a single long word may be longer."""
    title = size_mm * TITLE_OVER_TEXT
    said = [(piece.name, title, True), (group.label, title, True)]
    if tile:
        said.append((tile, size_mm, True))
    said += [(says, size_mm, False) for says in _facts_of(piece, group, heading)]
    said += [(STARTING_PIECE, size_mm, True)]
    return Block(
        tuple(
            (line, size, bold) for says, size, bold in said for line in _wrapped(says, wide, size_mm=size, is_bold=bold)
        )
    )


def _facts_of(piece: Piece, group: Group, heading: Heading) -> Iterator[str]:
    sheet = piece.material
    if piece.thickness_mm is not None:
        sheet += f", {piece.thickness_mm:g} mm"
    if piece.split_to_mm is not None:
        sheet += f", split to {piece.split_to_mm:g} mm"
    yield sheet
    if group is Group.EITHER:
        yield f"serves either foot: cut {piece.count} for each foot"
    elif piece.count > 1:
        yield f"cut {piece.count}"
    if piece.facts:
        yield " · ".join(f"{name} {figure:.0f} mm" for name, figure in piece.facts)
    yield from piece.words
    yield f"pair {heading.pair_number} · record {heading.record_number} · {version_words(heading)}"


def version_words(heading: Heading) -> str:
    return f"version {heading.version}, signed {heading.signed_on.day} {heading.signed_on:%b %Y}"


def _wrapped(says: str, wide: float, *, size_mm: float, is_bold: bool) -> Iterator[str]:
    line = ""
    for word in says.split():
        longer = f"{line} {word}" if line else word
        if line and width_of(longer, size_mm=size_mm, is_bold=is_bold) > wide:
            yield line
            line = word
        else:
            line = longer
    if line:
        yield line


def place_of_words(
    room: Room, laid: Laid, heading: Heading, *, shows: Window, tile: str = ""
) -> tuple[Block, Window] | None:
    """Where the words of a piece stand: within its cut line where it is shown, else beside it; None without room."""
    return words_within(room, laid, heading, shows=shows, tile=tile) or _in(
        room, shapely.difference(room.window.polygon, laid.polygon), laid, heading, tile=tile
    )


def words_within(
    room: Room, laid: Laid, heading: Heading, *, shows: Window, tile: str = ""
) -> tuple[Block, Window] | None:
    """Where they stand within its cut line, clear of all lines."""
    return _in(room, shapely.intersection(laid.polygon, shows.polygon), laid, heading, tile=tile)


def _in(
    room: Room, surface: shapely.Geometry, laid: Laid, heading: Heading, *, tile: str
) -> tuple[Block, Window] | None:
    inner = shapely.buffer(surface, -1.5)
    if inner.is_empty:
        return None
    shapely.prepare(inner)
    for size_mm, wide in _BLOCKS:
        block = block_of(laid.piece, laid.group, heading, size_mm=size_mm, wide=wide, tile=tile)
        left, top, right, bottom = inner.bounds
        xs = np.arange(left, right - block.wide + 0.01, GRID_MM)
        ys = np.arange(top, bottom - block.high + 0.01, GRID_MM)
        if not len(xs) or not len(ys):
            continue
        at = np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)
        boxes = shapely.box(at[:, 0], at[:, 1], at[:, 0] + block.wide, at[:, 1] + block.high)
        at, boxes = at[held := shapely.contains_properly(inner, boxes)], boxes[held]
        if not len(boxes):
            continue
        # Room round them first, as the words of the lines want some too; then near to the middle of the piece.
        free = room.free(boxes, clear_mm=2.0)
        worth = free - 0.02 * shapely.distance(shapely.centroid(boxes), laid.polygon.centroid)
        best = int(np.argmax(np.where(free < 0, -np.inf, worth)))
        if free[best] >= 0:
            x, y = float(at[best, 0]), float(at[best, 1])
            return block, Window(x, y, x + block.wide, y + block.high)
    return None


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
        found = place_of_words(room, laid, heading, shows=shows, tile=tile)
        if found:
            block, there = found
            room.take(there.polygon)
            words += block.at(there)
    # What has least choice comes first: short lines, and the cut line, which can say so anywhere, last.
    for laid, stroke, parts in sorted(shown, key=lambda each: (each[1].kind is LineKind.CUT, _longest(each[2]))):
        if not stroke.says or not parts:
            continue
        found_word, leader = place_along(
            room,
            parts,
            stroke.says,
            sizes_mm=(WORD_MM, SMALL_WORD_MM),
            on=laid.polygon,
            is_bold=stroke.kind is LineKind.NICK,
        )
        words += [found_word] if found_word else []
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
