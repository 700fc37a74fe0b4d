"""A laid sheet as SVG text: one drawing a foot, its patterns named after the page's prefix, numbers to 0.1."""

import html
from collections.abc import Iterator
from itertools import groupby

import numpy as np

from cases.prescriptions.cut_away.fillings import INK, KINDS, QUIET
from cases.prescriptions.cut_away.labels import FONT
from cases.prescriptions.cut_away.layout import Laid, Swatch, depth
from cases.prescriptions.cut_away.sheet import Points
from shared.sides import Side

NEAR = 0.2
"""A point that lies nearer than this to the line between its neighbours is left out, in mm."""
CHANGED_STROKE = 2.0
ORDINARY_STROKE = 0.6


def svg_of(laid: Laid, *, side: Side, width: float, says: str, prefix: str) -> str:
    """The drawing. `says` is its text alternative; `prefix` makes its pattern names unique on a page."""
    turned = side is Side.RIGHT
    height = depth(laid) + 3
    says = html.escape(says)
    kinds = dict.fromkeys([*(each.kind for each in laid.shapes), *(each.kind for each in laid.swatches)])
    return "".join(
        [
            f'<svg class="cut-away" viewBox="0 0 {width:g} {height:.0f}" role="img" aria-label="{says}"><title>{side.label} shoe cut open</title>',
            f'<defs fill="none" stroke="{INK}" stroke-width=".5">',
            *(_pattern(kind, prefix) for kind in kinds),
            f'</defs><g stroke="{INK}" stroke-width=".6" stroke-linejoin="round">',
            *_shapes(laid, prefix, turned=turned, width=width),
            *(_swatch(each, prefix) for each in laid.swatches),
            f'</g><path fill="none" stroke="{QUIET}" stroke-width=".5" d="{"".join(_strokes(laid, turned=turned, width=width))}"/>',
            f'<path fill="none" stroke="{INK}" stroke-width="2.4" stroke-linecap="round" d="{_dots(laid, width if turned else None)}"/>',
            f'<g font-size="{FONT:g}" fill="{INK}" font-family="sans-serif">',
            *_texts(laid, turned=turned, width=width),
            "</g></svg>",
        ]
    )


def _swatch(swatch: Swatch, prefix: str) -> str:
    """A box filled as the part is; for a line, a piece of it."""
    filled = _filled(swatch.kind, prefix)
    path = (
        f"M{_n(swatch.x)} {_n(swatch.y + 4)}h16"
        if KINDS[swatch.kind].fill == "none"
        else f"M{_n(swatch.x)} {_n(swatch.y)}h16v8h-16z"
    )
    return f'<path d="{path}"{filled}/>'


def _pattern(kind: str, prefix: str) -> str:
    filling = KINDS[kind]
    if filling.tile is None:
        return ""
    wide, high, drawn = filling.tile
    return (
        f'<pattern id="{prefix}-{_name(kind)}" width="{wide:g}" height="{high:g}" patternUnits="userSpaceOnUse">'
        f'<rect width="{wide:g}" height="{high:g}" fill="{filling.fill}" stroke="none"/>{drawn}</pattern>'
    )


def _filled(kind: str, prefix: str, *, stroke: float | None = None) -> str:
    filling = KINDS[kind]
    fill = f"url(#{prefix}-{_name(kind)})" if filling.tile else filling.fill
    dashes = f' stroke-dasharray="{filling.dashes}"' if filling.dashes else ""
    broad = stroke or filling.stroke
    stroked = "" if broad == ORDINARY_STROKE else f' stroke-width="{broad:g}"'
    return f' fill="{fill}"{stroked}{dashes}'


def _shapes(laid: Laid, prefix: str, *, turned: bool, width: float) -> Iterator[str]:
    """In the order in which they lie on one another; neighbours filled alike share what fills them."""
    for (kind, is_changed), shapes in groupby(laid.shapes, key=lambda each: (each.kind, each.is_changed)):
        stroke = CHANGED_STROKE if is_changed else None
        yield f'<g class="{_name(kind)}"{_filled(kind, prefix, stroke=stroke)}>'
        for shape in shapes:
            points = _simpler(shape.points, is_open=shape.is_open)
            if turned:
                points = points * [-1, 1] + [width, 0]
            yield f'<path d="{path_of(points, is_open=shape.is_open)}"/>'
        yield "</g>"


def path_of(points: Points, *, is_open: bool) -> str:
    """Steps of whole tenths of a millimetre from point to point."""
    tenths = np.rint(10 * points).astype(int)
    steps = np.diff(tenths, axis=0)
    start = f"M{_tenths(tenths[0, 0])} {_tenths(tenths[0, 1])}l"
    way = " ".join(f"{_tenths(du)} {_tenths(dv)}" for du, dv in steps.tolist() if du or dv)
    return start + way.replace(" -", "-") + ("" if is_open else "z")


def _simpler(points: Points, *, is_open: bool) -> Points:
    """Without points that lie on the way from one to the next; before it is turned about, so that both feet keep alike."""
    import shapely

    if len(points) < 4:
        return points
    ring = points if is_open else np.concatenate([points, points[:1]])
    kept: Points = np.asarray(shapely.LineString(ring).simplify(NEAR, preserve_topology=False).coords)
    return kept if is_open else kept[:-1]


def _strokes(laid: Laid, *, turned: bool, width: float) -> Iterator[str]:
    """Dimension lines with a tick across each end, and leaders."""
    for x1, y1, x2, y2 in laid.lines:
        at = [(width - x1 if turned else x1, y1), (width - x2 if turned else x2, y2)]
        yield f"M{_n(at[0][0])} {_n(at[0][1])}L{_n(at[1][0])} {_n(at[1][1])}"
        upright = abs(x1 - x2) < abs(y1 - y2)
        for x, y in at:
            yield f"M{_n(x - 2)} {_n(y)}h4" if upright else f"M{_n(x)} {_n(y - 2)}v4"
    for each in laid.leaders:
        x1, x2 = (width - each.x1, width - each.x2) if turned else (each.x1, each.x2)
        yield f"M{_n(x1)} {_n(each.y1)}L{_n(x2)} {_n(each.y2)}"


def _dots(laid: Laid, width: float | None) -> str:
    """Where leaders end; `width` where they are turned about on it."""
    at = ((each.x2 if width is None else width - each.x2, each.y2) for each in laid.leaders)
    return "".join(f"M{_n(x)} {_n(y)}h0" for x, y in at)


def _texts(laid: Laid, *, turned: bool, width: float) -> Iterator[str]:
    other = {"start": "end", "end": "start", "middle": "middle"}
    together: dict[str, list[str]] = {"start": [], "end": [], "middle": []}
    for text in laid.texts:
        x, anchor = text.x, text.anchor
        if turned and not text.is_key:
            x, anchor = width - x, other[anchor]
        bold = ' font-weight="700"' if text.is_bold else ""
        together[anchor].append(f'<text x="{_n(x)}" y="{_n(text.y)}"{bold}>{html.escape(text.says)}</text>')
    for anchor, texts in together.items():
        yield f'<g text-anchor="{anchor}">{"".join(texts)}</g>'


def _name(kind: str) -> str:
    return kind.replace(" ", "-")


def _n(value: float) -> str:
    return f"{round(value, 1):g}"


def _tenths(value: int) -> str:
    return f"{value / 10:g}".replace("0.", ".") if -10 < value < 10 else f"{value / 10:g}"
