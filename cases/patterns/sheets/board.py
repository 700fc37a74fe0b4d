"""The pieces of a group side by side on one surface without end, for a file that a cutting table or a screen takes."""

from collections.abc import Sequence
from dataclasses import dataclass

from cases.patterns.drafting.pieces import Piece
from cases.patterns.sheets.blocks import STARTING_PIECE, version_words
from cases.patterns.sheets.laid import Window, lay
from cases.patterns.sheets.layout import cells_of, packed
from cases.patterns.sheets.marks import CAUTION, CHECK_MM, check_bars, worded
from cases.patterns.sheets.paper import Group, Heading, Stroke, Word, group_of
from cases.patterns.sheets.typeset import width_of
from shared.calculations import BadInput

WIDE_MM = 900.0
"""Pieces lie in rows of at most this, but where one alone is longer."""
EDGE_MM = 12.0
HEADING_MM = 5.0
"""Height of the type of the heading."""


@dataclass(frozen=True)
class Board:
    """A surface of `wide` by `high` mm: x to the right, y down."""

    wide: float
    high: float
    names: tuple[str, ...]
    strokes: tuple[Stroke, ...]
    words: tuple[Word, ...]


def board_of(pieces: Sequence[Piece], *, heading: Heading, group: Group) -> Board:
    """All pieces of a group, whole, with their words. Raises `BadInput` where none is of it."""
    chosen = [piece for piece in pieces if group_of(piece) is group]
    if not chosen:
        raise BadInput("group", group.label, allowed="a side that there are pieces of")
    said = _heading(heading, group)
    cells = [cells_of(lay(piece), heading)[0] for piece in chosen]
    wide = max(WIDE_MM, *(cell.wide for cell in cells))
    left, top = EDGE_MM + 8, EDGE_MM + len(said) * HEADING_MM * 1.5
    (laid,) = packed(cells, Window(left, top, left + wide, top + sum(cell.high + EDGE_MM for cell in cells)))
    right = max([left + CHECK_MM, *(each.window.right for each in laid), *(left + cell.wide for cell in cells)])
    bottom = max([top + CHECK_MM, *(each.window.bottom for each in laid), top + max(cell.high for cell in cells)])
    window = Window(left, top, right, bottom)
    strokes, words = worded(window, laid, heading, shows=window)
    bars, bar_words = check_bars(EDGE_MM, bottom + 6)
    headings = [
        Word(EDGE_MM + width_of(says, size_mm=HEADING_MM) / 2, EDGE_MM + line * HEADING_MM * 1.4, says, HEADING_MM)
        for line, says in enumerate(said)
    ]
    return Board(
        wide=max(right + EDGE_MM, 2 * EDGE_MM + max(width_of(says, size_mm=HEADING_MM) for says in said)),
        high=bottom + 6 + EDGE_MM,
        names=tuple(each.piece.name for each in laid),
        strokes=(*strokes, *bars),
        words=(*headings, *words, *bar_words),
    )


def _heading(heading: Heading, group: Group) -> tuple[str, ...]:
    return (
        f"{group.label} · pair {heading.pair_number} · record {heading.record_number} · {version_words(heading)}",
        f"{STARTING_PIECE} {CAUTION}",
    )
