"""What stands on each piece in words, and where: within its cut line where it finds room, else beside it.

What a piece is stands before what else is to be said of it: where there is no room for all, that much goes on the piece,
so that it is on it still when it is cut out, and the rest beside.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from cases.patterns.drafting.pieces import Piece
from cases.patterns.sheets.labels import Room
from cases.patterns.sheets.laid import Laid, Window
from cases.patterns.sheets.paper import Group, Heading, Word
from cases.patterns.sheets.typeset import LINE_HIGH, width_of, wrapped

STARTING_PIECE = "Starting piece: cut full, trim on the last."

TITLE_OVER_TEXT = 1.45
ALL_WITHIN = ((3.2, 88.0), (3.2, 62.0), (3.2, 46.0), (2.7, 62.0), (2.7, 40.0))
FIRST_WITHIN = ((3.2, 62.0), (3.2, 46.0), (2.7, 62.0), (2.7, 46.0), (2.7, 34.0), (2.4, 62.0), (2.4, 40.0), (2.4, 28.0))
REST_WITHIN = ((2.7, 62.0), (2.7, 40.0), (2.4, 34.0))
BESIDE = ((2.7, 62.0), (2.7, 88.0), (2.7, 46.0), (2.4, 40.0), (2.4, 28.0))
"""Height of the type and longest line in mm, in the order in which they are tried."""
BESIDE_GAP_MM = 3.0
CLEAR_MM = (2.0, 4.0, 6.0)
"""From the words of a piece to the next line: the words of the lines want some of it."""
MOST_ASKED = 800
"""Of more places than this that are free, some are passed over."""


@dataclass(frozen=True)
class Said:
    """One thing that is said of a piece."""

    says: str
    is_title: bool = False
    is_bold: bool = False


@dataclass(frozen=True)
class Block:
    """Words, set: each line with the height of its type in mm, and whether it is bold."""

    lines: tuple[tuple[str, float, bool], ...]

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


def set_in(said: Sequence[Said], *, size_mm: float, wide: float) -> Block:
    """What is said, in lines of at most `wide` mm; a single long word may be longer."""
    lines = []
    for each in said:
        size, bold = size_mm * (TITLE_OVER_TEXT if each.is_title else 1), each.is_title or each.is_bold
        lines += [(line, size, bold) for line in wrapped(each.says, wide, size_mm=size, is_bold=bold)]
    return Block(tuple(lines))


def version_words(heading: Heading) -> str:
    return f"version {heading.version}, signed {heading.signed_on.day} {heading.signed_on:%b %Y}"


def first_said(piece: Piece, group: Group, heading: Heading, *, tile: str = "") -> tuple[Said, ...]:
    """What a piece is: what it is cut by, and for whom."""
    sheet = [piece.material] if piece.material else []
    if piece.thickness_mm is not None:
        sheet.append(f"{piece.thickness_mm:g} mm")
    if piece.split_to_mm is not None:
        sheet.append(f"split to {piece.split_to_mm:g} mm")
    said = [Said(piece.name, is_title=True), Said(group.label, is_title=True)]
    if tile:
        said.append(Said(tile, is_bold=True))
    if sheet:
        said.append(Said(", ".join(sheet)))
    if group is Group.EITHER:
        said.append(Said(f"serves either foot: cut {piece.count} for each foot"))
    elif piece.count > 1:
        said.append(Said(f"cut {piece.count}"))
    said.append(Said(f"pair {heading.pair_number} · record {heading.record_number} · {version_words(heading)}"))
    said.append(Said(STARTING_PIECE, is_bold=True))
    return tuple(said)


def rest_said(piece: Piece) -> tuple[Said, ...]:
    """What else is said of it: the figures it was drafted to, and how it is worked."""
    figures = " · ".join(f"{name} {_in_halves(figure)} mm" for name, figure in piece.facts)
    return tuple(Said(each) for each in (figures, *piece.words) if each)


def _in_halves(figure_mm: float) -> str:
    """To whole or half millimetres; what is less than 10 mm, a thickness or a depth, to tenths."""
    return f"{round(2 * figure_mm) / 2:g}" if figure_mm >= 10 else f"{figure_mm:.1f}".removesuffix(".0")


@dataclass(frozen=True)
class Within:
    """What of a piece's words stands within its cut line, and what of the first and of the rest must stand beside it."""

    found: tuple[tuple[Block, Window], ...]
    first: tuple[Said, ...] = ()
    rest: tuple[Said, ...] = ()

    @property
    def beside(self) -> tuple[Said, ...]:
        """What stands beside, in its order: that it is a starting piece is said last."""
        return (*self.first[:-1], *self.rest, *self.first[-1:])


def places_of_words(
    room: Room, laid: Laid, heading: Heading, *, shows: Window, tile: str = ""
) -> list[tuple[Block, Window]]:
    """Where the words of a piece stand, taken from the room. What finds no room at all is left out."""
    within = words_within(room, laid, heading, shows=shows, tile=tile)
    if not within.beside:
        return list(within.found)
    outside = shapely.difference(room.window.polygon, laid.polygon)
    at_home = shapely.intersection(outside, laid.home.polygon) if laid.home else outside
    together = _place(room, at_home, laid, within.beside, BESIDE) or _place(room, outside, laid, within.beside, BESIDE)
    if together:
        return [*within.found, together]
    rest = (_title(laid), *within.rest) if within.first and within.rest else within.rest
    apart = [_place(room, outside, laid, said, BESIDE) for said in (within.first, rest) if said]
    return [*within.found, *(each for each in apart if each)]


def words_within(room: Room, laid: Laid, heading: Heading, *, shows: Window, tile: str = "") -> Within:
    """What of its words stands within its cut line, taken from the room, and what must stand beside it."""
    surface = shapely.intersection(laid.polygon, shows.polygon)
    first, rest = first_said(laid.piece, laid.group, heading, tile=tile), rest_said(laid.piece)
    whole = _place(room, surface, laid, Within((), first, rest).beside, ALL_WITHIN)
    if whole:
        return Within((whole,))
    head = _place(room, surface, laid, first, FIRST_WITHIN)
    if not head:
        return Within((), first, rest)
    tail = _place(room, surface, laid, rest, REST_WITHIN) if rest else None
    if tail or not rest:
        return Within((head, tail) if tail else (head,))
    return Within((head,), rest=(_title(laid), *rest))


def _title(laid: Laid) -> Said:
    return Said(f"{laid.piece.name} {laid.group.label}", is_bold=True)


def _place(
    room: Room, surface: shapely.Geometry, laid: Laid, said: Sequence[Said], ways: Sequence[tuple[float, float]]
) -> tuple[Block, Window] | None:
    free = room.raster.free_on(shapely.buffer(surface, -1.5))
    for size_mm, wide in ways:
        block = set_in(said, size_mm=size_mm, wide=wide)
        at, clear = free.places(wide=block.wide, high=block.high, clear_mm=CLEAR_MM)
        if not len(at):
            continue
        every = -(-len(at) // MOST_ASKED)
        at, clear = at[::every], clear[::every]
        boxes = shapely.box(at[:, 0], at[:, 1], at[:, 0] + block.wide, at[:, 1] + block.high)
        middles = at + np.array([block.wide / 2, block.high / 2])
        # Within it: where there is most room, near its middle. Beside it: near enough that nobody asks whose they are.
        worth = (
            clear
            - 0.5 * shapely.distance(laid.polygon, boxes)
            - 0.02 * shapely.distance(laid.polygon.centroid, shapely.points(middles))
        )
        x, y = at[int(np.argmax(worth))].tolist()
        there = Window(x, y, x + block.wide, y + block.high)
        room.take(there.polygon)
        return block, there
    return None
