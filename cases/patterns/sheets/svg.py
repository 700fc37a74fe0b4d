"""Lines and words in millimetres as SVG: presentation attributes alone, one user unit a millimetre, a group a kind of line."""

import html
from collections.abc import Iterator, Sequence

from cases.patterns.drafting.pieces import LineKind, Piece, Points
from cases.patterns.sheets.board import board_of
from cases.patterns.sheets.marks import STYLES
from cases.patterns.sheets.paper import Group, Heading, Mark, Sheet, Stroke, Word

FONT = "'DejaVu Sans', sans-serif"


def sheet_svg(sheet: Sheet) -> str:
    """A sheet at full size, as large as its paper."""
    return svg_of(sheet.width_mm, sheet.height_mm, sheet.strokes, sheet.words, says=in_words(sheet))


def in_words(sheet: Sheet) -> str:
    """What a sheet shows, for whoever does not see it."""
    part = f", {sheet.tile.label}" if sheet.tile else ""
    return f"{sheet.group.label} at full size: {', '.join(sheet.names)}{part}. Two check bars of 100 mm."


def pieces_svg(pieces: Sequence[Piece], *, heading: Heading, group: Group) -> str:
    """The pieces of a group, whole, as a file. Raises `BadInput` where none is of it."""
    board = board_of(pieces, heading=heading, group=group)
    says = (
        f"{group.label}, pair {heading.pair_number}, at full size: {', '.join(board.names)}. Two check bars of 100 mm."
    )
    return '<?xml version="1.0" encoding="UTF-8"?>\n' + svg_of(
        board.wide, board.high, board.strokes, board.words, says=says
    )


def svg_of(wide: float, high: float, strokes: Sequence[Stroke], words: Sequence[Word], *, says: str) -> str:
    """One drawing of `wide` by `high` mm. `says` is its text alternative."""
    says = html.escape(says)
    return "".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" width="{_n(wide)}mm" height="{_n(high)}mm"',
            f' viewBox="0 0 {_n(wide)} {_n(high)}" role="img" aria-label="{says}"><title>{says}</title>',
            '<g fill="none" stroke="#000" stroke-linejoin="round">',
            *_strokes(strokes),
            f'</g><g fill="#000" text-anchor="middle" font-family="{FONT}">',
            *(_word(word) for word in words),
            "</g></svg>",
        ]
    )


def _strokes(strokes: Sequence[Stroke]) -> Iterator[str]:
    kinds: dict[LineKind | Mark, list[Stroke]] = {}
    for stroke in strokes:
        kinds.setdefault(stroke.kind, []).append(stroke)
    for kind, of_kind in kinds.items():
        style = STYLES[kind]
        dashes = f' stroke-dasharray="{" ".join(_n(each) for each in style.dashes)}"' if style.dashes else ""
        yield f'<g class="{kind.value.replace(" ", "-")}" stroke-width="{_n(style.stroke_mm)}"{dashes}>'
        for stroke in of_kind:
            yield f'<path d="{path_of(stroke.points, closed=stroke.closed)}"/>'
        yield "</g>"


def path_of(points: Points, *, closed: bool) -> str:
    """From point to point, to a thousandth of a millimetre."""
    return "M" + "L".join(f"{_n(x)} {_n(y)}" for x, y in points.tolist()) + ("z" if closed else "")


def _word(word: Word) -> str:
    turned = f' transform="rotate({_n(word.turned_deg)} {_n(word.x)} {_n(word.y)})"' if word.turned_deg else ""
    bold = ' font-weight="700"' if word.is_bold else ""
    return f'<text x="{_n(word.x)}" y="{_n(word.y)}" font-size="{_n(word.size_mm)}"{bold}{turned}>{html.escape(word.says)}</text>'


def _n(value: float) -> str:
    """Without an exponent, which `g` would give a small figure."""
    return f"{value:.3f}".rstrip("0").rstrip(".") if round(value, 3) else "0"
