"""Pieces on sheets of paper at full size: small ones share a sheet, large ones run over several.

A piece lies upright, or turned by a quarter where that saves paper; it is never turned over. LEFT pieces, RIGHT pieces
and those that serve either foot have sheets of their own. The order is the same for the same pieces.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from cases.patterns.drafting.pieces import Piece
from cases.patterns.sheets import marks
from cases.patterns.sheets.blocks import BESIDE, BESIDE_GAP_MM, set_in, words_within
from cases.patterns.sheets.labels import Room
from cases.patterns.sheets.laid import Laid, Window, lay
from cases.patterns.sheets.paper import (
    MARGIN_MM,
    Group,
    Heading,
    PaperSize,
    Sheet,
    Stroke,
    Tile,
    Word,
    group_of,
    groups_in,
)
from cases.patterns.sheets.tiles import tiles_of

HEAD_MM = 21.0
FOOT_MM = 9.0
BAR_MM = 6.0
"""Kept for the heading, for the level check bar, and for the upright one at the left."""
GAP_MM = 8.0
BAR_DOWN_MM = 4.0
"""From the lowest that a piece may reach to the level check bar."""


@dataclass(frozen=True)
class _Cell:
    """A piece with the room beside it that its words want, its corner at 0, 0."""

    laid: Laid
    wide: float
    high: float
    is_landscape: bool = False

    def put(self, left: float, top: float) -> Laid:
        """The piece with its cell's corner there."""
        home = Window(left, top, left + self.wide, top + self.high)
        return replace(self.laid.moved(right_mm=left, down_mm=top), home=home)


@dataclass(frozen=True)
class SheetDraft:
    """A sheet before it has its number and its words. `shows` is what of its pieces it shows."""

    group: Group
    is_landscape: bool
    pieces: tuple[Laid, ...]
    shows: Window
    tile: Tile | None = None
    marks: tuple[Stroke, ...] = ()
    words: tuple[Word, ...] = ()


def sheets_of(pieces: Sequence[Piece], *, heading: Heading, size: PaperSize) -> tuple[Sheet, ...]:
    """All sheets of these pieces. Every point of every piece is on at least one of them."""
    drafts = drafts_of(pieces, heading=heading, size=size)
    return tuple(
        _sheet(draft, number=number, of=len(drafts), heading=heading, size=size)
        for number, draft in enumerate(drafts, start=1)
    )


def drafts_of(pieces: Sequence[Piece], *, heading: Heading, size: PaperSize) -> list[SheetDraft]:
    """Where the pieces lie: for each group those that are whole, then those that run over several sheets."""
    return [draft for group in groups_in(pieces) for draft in _of_group(group, pieces, heading, size)]


def free_window(size: PaperSize, *, is_landscape: bool) -> Window:
    """Where pieces may lie on a sheet: within its margin, below its heading, clear of its check bars."""
    wide, high = size.upright_mm[::-1] if is_landscape else size.upright_mm
    return Window(MARGIN_MM + BAR_MM, MARGIN_MM + HEAD_MM, wide - MARGIN_MM, high - MARGIN_MM - FOOT_MM)


def packed(cells: Sequence[_Cell], window: Window) -> Iterator[tuple[Laid, ...]]:
    """The cells in shelves, sheet by sheet, each in the first place that takes it: the highest come first, of two alike
    the one that was given first.
    """
    sheets: list[list[tuple[float, float, float, list[Laid]]]] = []  # shelves: top, height, used width, pieces
    for cell in sorted(cells, key=lambda each: (-each.high, -each.wide)):
        _put(cell, sheets, window)
    for shelves in sheets:
        yield tuple(laid for *_, on_it in shelves for laid in on_it)


def _put(cell: _Cell, sheets: list[list[tuple[float, float, float, list[Laid]]]], window: Window) -> None:
    for shelves in sheets:
        for place, (top, high, used, on_it) in enumerate(shelves):
            if cell.high <= high and used + GAP_MM + cell.wide <= window.wide:
                on_it.append(cell.put(window.left + used + GAP_MM, window.top + top))
                shelves[place] = (top, high, used + GAP_MM + cell.wide, on_it)
                return
        top, high, *_ = shelves[-1]
        below = top + high + GAP_MM
        if below + cell.high <= window.high:
            shelves.append(_shelf(cell, below, window))
            return
    sheets.append([_shelf(cell, 0.0, window)])


def _shelf(cell: _Cell, top: float, window: Window) -> tuple[float, float, float, list[Laid]]:
    return top, cell.high, cell.wide, [cell.put(window.left, window.top + top)]


def cells_of(laid: Laid, heading: Heading) -> tuple[_Cell, ...]:
    """The piece alone where its words stand within it; else with room for them at its right or below, the least first."""
    wide, high = laid.window.wide, laid.window.high
    left = words_within(Room(laid.window, laid.strokes), laid, heading, shows=laid.window).beside
    if not left:
        return (_Cell(laid, wide, high),)
    size_mm, longest = BESIDE[0]
    block = set_in(left, size_mm=size_mm, wide=longest)
    more_wide, more_high = block.wide + 2 * BESIDE_GAP_MM, block.high + 2 * BESIDE_GAP_MM
    right = _Cell(laid, wide + more_wide, max(high, more_high))
    below = _Cell(laid, max(wide, more_wide), high + more_high)
    return tuple(sorted((right, below), key=lambda cell: cell.wide * cell.high))


def _of_group(group: Group, pieces: Sequence[Piece], heading: Heading, size: PaperSize) -> Iterator[SheetDraft]:
    found = [(piece, whole_cells(piece, heading, size)) for piece in pieces if group_of(piece) is group]
    lying = [cells for _, cells in found if cells]
    for is_landscape, on_it in min((_sheets_by(way, lying, size) for way in _WAYS), key=len) if lying else []:
        yield SheetDraft(group, is_landscape, on_it, shows=free_window(size, is_landscape=is_landscape))
    for piece, cells in found:
        if not cells:
            yield from _over_several(piece, group, size)


_WAYS: tuple[Callable[[_Cell], float], ...] = (
    lambda cell: cell.wide * cell.high,
    lambda cell: cell.wide,
    lambda cell: cell.high,
)
"""By what the ways in which a piece may lie are chosen: whichever gives the fewest sheets."""


def _sheets_by(
    least: Callable[[_Cell], float], lying: Sequence[Sequence[_Cell]], size: PaperSize
) -> list[tuple[bool, tuple[Laid, ...]]]:
    chosen = [min(cells, key=lambda cell: (cell.is_landscape, least(cell))) for cells in lying]
    return [
        (is_landscape, on_it)
        for is_landscape in (False, True)
        for on_it in packed(
            [cell for cell in chosen if cell.is_landscape is is_landscape], free_window(size, is_landscape=is_landscape)
        )
    ]


def _over_several(piece: Piece, group: Group, size: PaperSize) -> Iterator[SheetDraft]:
    ways = [(is_landscape, lay(piece, turned=turned)) for is_landscape in (False, True) for turned in (False, True)]
    papers = [free_window(size, is_landscape=is_landscape) for is_landscape, _ in ways]
    found = [tiles_of(laid, paper) for (_, laid), paper in zip(ways, papers, strict=True)]
    (is_landscape, _), tiles = min(zip(ways, found, strict=True), key=lambda each: len(each[1]))
    for each in tiles:
        yield SheetDraft(
            group, is_landscape, (each.laid,), shows=each.shows, tile=each.tile, marks=each.marks, words=each.words
        )


def _sheet(draft: SheetDraft, *, number: int, of: int, heading: Heading, size: PaperSize) -> Sheet:
    window = free_window(size, is_landscape=draft.is_landscape)
    strokes, words = marks.worded(
        window,
        draft.pieces,
        heading,
        shows=draft.shows,
        marks=draft.marks,
        marked=draft.words,
        tile=draft.tile.label if draft.tile else "",
    )
    bars, bar_words = marks.check_bars(MARGIN_MM + 1.5, window.bottom + BAR_DOWN_MM)
    return Sheet(
        number=number,
        of=of,
        group=draft.group,
        size=size,
        is_landscape=draft.is_landscape,
        heading=heading,
        names=tuple(dict.fromkeys(laid.piece.name for laid in draft.pieces)),
        strokes=(*strokes, *bars),
        words=(*words, *bar_words),
        tile=draft.tile,
    )


def whole_cells(piece: Piece, heading: Heading, size: PaperSize) -> tuple[_Cell, ...]:
    """The ways in which a piece lies whole on one sheet: with room for its words where there is such a way.

    On a sheet that stands, where there is such a way; else on one laid across.
    """
    bare: list[_Cell] = []
    for is_landscape in (False, True):
        laid = [lay(piece, turned=turned) for turned in (False, True)]
        cells = [_Cell(each, each.window.wide, each.window.high, is_landscape) for each in laid]
        fitting = [cell for cell in cells if _fits(cell, size)]
        worded = [replace(each, is_landscape=is_landscape) for cell in fitting for each in cells_of(cell.laid, heading)]
        with_words = tuple(cell for cell in worded if _fits(cell, size))
        if with_words:
            return with_words
        bare += fitting
    return tuple(bare)


def _fits(cell: _Cell, size: PaperSize) -> bool:
    window = free_window(size, is_landscape=cell.is_landscape)
    return cell.wide <= window.wide and cell.high <= window.high
