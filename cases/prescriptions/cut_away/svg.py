"""A laid sheet as SVG text: one drawing a foot, its patterns named after the page's prefix, numbers to 0.1."""

import html
from collections.abc import Iterator, Sequence
from itertools import groupby

import numpy as np
import shapely

from cases.prescriptions.cut_away.fillings import INK, KINDS, QUIET, short
from cases.prescriptions.cut_away.layout import Frame, Laid, Line, Outlined, Sheet
from shared.sides import Side

NEAR = 0.33
"""A point that lies nearer than this to the line between its neighbours is left out, in mm."""
CHANGED_STROKE = 2.0
ORDINARY_STROKE = 0.6


def svg_of(sheet: Sheet, frame: Frame, *, says: str, prefix: str) -> str:
    """The drawing: the views one under the other, each in the room its frame gives. `says` is its text alternative; `prefix` makes its pattern names unique on a page."""
    turn = sheet.width if sheet.side is Side.RIGHT else None
    tops = [0, *(low for _, low in frame)]
    placed = [(view, top, level - view.level) for view, top, (level, _) in zip(sheet.blocks, tops, frame, strict=False)]
    kinds = dict.fromkeys(each.shape.kind for view in sheet.blocks for each in view.shapes)
    leaders = [_on_page(each, down, turn) for view, _, down in placed for each in view.leaders]
    return "".join(
        [
            f'<svg class="cut-away" id="{prefix}" viewBox="0 0 {sheet.width:g} {tops[-1]}" role="img" aria-label="{html.escape(says)}">',
            f"<title>{sheet.side.label} shoe cut open</title>",
            f'<defs fill="none" stroke="{INK}" stroke-width=".5">',
            *(_pattern(kind, prefix) for kind in kinds),
            f'</defs><g stroke="{INK}" stroke-width=".6" stroke-linejoin="round">',
            *_shapes(placed, prefix, turn=turn),
            f'</g><path fill="none" stroke="{QUIET}" stroke-width=".5" d="',
            *(_dimension(_on_page(each, down, turn)) for view, _, down in placed for each in view.dimensions),
            *map(_line, leaders),
            f'"/><path fill="none" stroke="{INK}" stroke-width="2.4" stroke-linecap="round" d="',
            *(f"M{each[-1][0]:.0f} {each[-1][1]:.0f}h0" for each in leaders),
            f'"/><g font-size="{sheet.font:.4g}" fill="{INK}" font-family="sans-serif">',
            *_texts(placed, turn=turn),
            "</g></svg>",
        ]
    )


Placed = Sequence[tuple[Laid, int, float]]
"""Views, where the room of each begins, and how far down it stands in the drawing."""


def _pattern(kind: str, prefix: str) -> str:
    filling = KINDS[kind]
    if filling.tile is None:
        return ""
    wide, high, drawn = filling.tile
    ground = (
        ""
        if filling.fill == "none"
        else f'<path fill="{filling.fill}" stroke="none" d="M0 0h{wide:g}v{high:g}h-{wide:g}z"/>'
    )
    return (
        f'<pattern id="{prefix}-{_name(kind)}" width="{wide:g}" height="{high:g}" patternUnits="userSpaceOnUse">'
        f"{ground}{drawn}</pattern>"
    )


def _filled(kind: str, prefix: str, *, stroke: float | None = None) -> str:
    filling = KINDS[kind]
    fill = f"url(#{prefix}-{_name(kind)})" if filling.tile else filling.fill
    dashes = f' stroke-dasharray="{filling.dashes}"' if filling.dashes else ""
    broad = stroke or filling.stroke
    stroked = "" if broad == ORDINARY_STROKE else f' stroke-width="{short(broad)}"'
    return f' fill="{fill}"{stroked}{dashes}'


def _shapes(placed: Placed, prefix: str, *, turn: float | None) -> Iterator[str]:
    """In the order in which they lie on one another; neighbours filled alike share what fills them."""
    shapes = [each for view, _, _ in placed for each in view.shapes]
    down = [each.at[1] + down for view, _, down in placed for each in view.shapes]
    paths = iter(paths_of(shapes, down, turn=turn))
    for (kind, is_changed), same in groupby(shapes, key=lambda each: (each.shape.kind, each.is_changed)):
        stroke = CHANGED_STROKE if is_changed else None
        way = "".join(next(paths) for _ in same)
        yield f'<path{_filled(kind, prefix, stroke=stroke)} d="{way}"/>'


def paths_of(shapes: Sequence[Outlined], down: Sequence[float], *, turn: float | None = None) -> list[str]:
    """Each shape in steps of tenths of a millimetre from point to point, all worked out together.

    Points that lie on the way from one to the next are left out before a drawing is turned about, so that both feet keep
    the same ones. `down` is how far down the origin of each lies, `turn` the width of the sheet on which it is turned.
    """
    rings = [_ring(each) for each in shapes]
    numbers = np.repeat(np.arange(len(rings)), [len(each) for each in rings])
    lines = shapely.linestrings(np.concatenate(rings), indices=numbers)
    kept, number = shapely.get_coordinates(shapely.simplify(lines, NEAR, preserve_topology=False), return_index=True)
    x = np.array([each.at[0] for each in shapes])[number] + kept[:, 0]
    y = np.array(down)[number] - kept[:, 1]
    tenths = np.rint(10 * np.column_stack([x if turn is None else turn - x, y])).astype(int)
    steps = np.diff(tenths, axis=0, append=0).ravel().tolist()
    ends = np.cumsum(np.bincount(number, minlength=len(rings))).tolist()
    starts = [0, *ends[:-1]]
    written = []
    for each, begin, end, (u, v) in zip(shapes, starts, ends, tenths[starts].tolist(), strict=True):
        # The last step of a closed line is its `z`.
        last, close = (end - 1, "") if each.shape.is_open else (end - 2, "z")
        way = "".join(map(TENTHS.__getitem__, steps[2 * begin : 2 * last]))
        written.append(f"M{TENTHS[u]}{TENTHS[v]}l{way}{close}")
    return written


def _ring(each: Outlined) -> "np.ndarray[tuple[int, int], np.dtype[np.float64]]":
    points = each.shape.points
    return points if each.shape.is_open else np.concatenate([points, points[:1]])


class _Tenths(dict[int, str]):
    """Whole tenths as a path says them: with a space before, or a minus that needs none. A drawing has a few hundred."""

    def __missing__(self, value: int) -> str:
        says = f"{value / 10:g}"
        says = says.replace("0.", ".", 1) if -10 < value < 10 else says
        self[value] = says if value < 0 else f" {says}"
        return self[value]


TENTHS = _Tenths()


def _on_page(line: Line, down: float, turn: float | None) -> Line:
    return tuple((x if turn is None else turn - x, y + down) for x, y in line)


def _line(line: Line) -> str:
    return "M" + " ".join(f"{x:.0f} {y:.0f}" for x, y in line)


def _dimension(line: Line) -> str:
    """With a tick across each end."""
    (x1, y1), (x2, y2) = line
    upright = abs(x1 - x2) < abs(y1 - y2)
    ticks = (f"M{x - 2:.0f} {y:.0f}h4" if upright else f"M{x:.0f} {y - 2:.0f}v4" for x, y in line)
    return _line(line) + "".join(ticks)


OTHER = {"start": "end", "end": "start", "middle": "middle"}


def _texts(placed: Placed, *, turn: float | None) -> Iterator[str]:
    """Words that stand alike share what says how."""
    together: dict[tuple[str, bool], list[str]] = {}
    for text, down in ((text, top if text.is_title else down) for view, top, down in placed for text in view.texts):
        x, anchor = (text.x, text.anchor) if turn is None else (turn - text.x, OTHER[text.anchor])
        alike = together.setdefault((anchor, text.is_bold), [])
        alike.append(f'<text x="{x:.0f}" y="{text.y + down:.0f}">{html.escape(text.says)}</text>')
    for (anchor, is_bold), texts in together.items():
        bold = ' font-weight="700"' if is_bold else ""
        yield f'<g text-anchor="{anchor}"{bold}>{"".join(texts)}</g>'


def _name(kind: str) -> str:
    return kind.replace(" ", "-")
