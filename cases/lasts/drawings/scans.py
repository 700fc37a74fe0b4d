"""A scan as three drawings: from above, from its medial side and from its lateral side, with the places measured at.

From above the toes are up, as the wearer looks down. From the side the drawing is what somebody sees who stands there:
the medial side of a RIGHT foot has its toes at the left, of a LEFT foot at the right. One unit is 1 mm.
"""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from cases.lasts.drawings.plans import Drawing, Stroke, Word, path_of
from cases.lasts.outline import Points
from shared.sides import Edge, Side

FOR_WORDS_MM = 64.0
"""Room beside a drawing from above for the name of a station."""
MARGIN_MM = 16.0
ROW_MM = 13.0
"""From one row of words to the next."""

WORDS: Mapping[str, str] = {
    "joint_girth": "joint",
    "waist_girth": "waist",
    "instep_girth": "instep",
    "long_heel_girth": "long heel",
    "short_heel_girth": "short heel",
}
ACROSS = ("joint_girth", "waist_girth", "instep_girth")
"""What is seen as a line from above."""


def scan_drawings(measured: Mapping[str, Any], side: Side) -> tuple[Drawing, Drawing, Drawing]:
    """From above, from the medial side and from the lateral side, of what `meshes.measuring.measure` found."""
    return _above(measured, side), _from(Edge.MEDIAL, measured, side), _from(Edge.LATERAL, measured, side)


def _above(measured: Mapping[str, Any], side: Side) -> Drawing:
    outline = np.array(measured["views"]["above"])
    left, right = float(outline[:, 1].max()), float(outline[:, 1].min())
    width, height = left - right + 2 * FOR_WORDS_MM, float(np.ptp(outline[:, 0])) + 2 * ROW_MM + 2 * MARGIN_MM
    top = float(outline[:, 0].max()) + MARGIN_MM + ROW_MM

    def on_page(points: Any) -> Points:
        places = np.array(points)
        return np.column_stack([FOR_WORDS_MM + left - places[:, 1], top - places[:, 0]])

    medial_left = side is Side.RIGHT
    strokes, words = [], []
    for key in ACROSS:
        if girth := measured["girths"].get(key):
            ends = sorted(on_page(girth["above"]).tolist())
            strokes.append(_stroke(*ends))
            # The line over the joints is named at its medial end: at the lateral one the waist is too near.
            at_left = medial_left if key == "joint_girth" else not medial_left
            words.append(_beside(ends, WORDS[key], at_left=at_left))
    return Drawing(
        says=f"{side.label} scan from above, toes up, to scale, with the lines of the girths",
        width=round(width),
        height=round(height),
        path=path_of(on_page(outline)),
        strokes=tuple(strokes),
        words=(
            *words,
            Word(round(width / 2, 1), round(height - 4, 1), side.label),
            Word(4, 12, "MEDIAL" if medial_left else "LATERAL", "start"),
            Word(round(width - 4), 12, "LATERAL" if medial_left else "MEDIAL", "end"),
        ),
    )


def _beside(ends: Sequence[Sequence[float]], says: str, *, at_left: bool) -> Word:
    x, y = ends[0] if at_left else ends[-1]
    return Word(round(x - 4 if at_left else x + 4, 1), round(y + 4, 1), says, "end" if at_left else "start")


def _from(edge: Edge, measured: Mapping[str, Any], side: Side) -> Drawing:
    outline = np.array(measured["views"]["side"])
    length, high = float(outline[:, 0].max()), float(outline[:, 1].max())
    named = [key for key in WORDS if key in measured["girths"]]
    forefoot_high = max((end[1] for key in named for end in measured["girths"][key]["side"]), default=0.0)
    top = max(high, forefoot_high + ROW_MM * (len(named) + 0.5)) + ROW_MM
    width, height = length + 2 * MARGIN_MM, top + MARGIN_MM + ROW_MM
    toes_left = (side is Side.RIGHT) == (edge is Edge.MEDIAL)

    def on_page(points: Any) -> Points:
        places = np.array(points)
        x = length + MARGIN_MM - places[:, 0] if toes_left else MARGIN_MM + places[:, 0]
        return np.column_stack([x, top - places[:, 1]])

    strokes, words = [], []
    # Each name stands over the upper end of its line, higher the nearer to the heel: none crosses another's line.
    by_place = sorted(named, key=lambda key: _upper_end(measured, key)[0], reverse=True)
    for row, key in enumerate(by_place):
        line = on_page(measured["girths"][key]["side"])
        strokes.append(_stroke(*line.tolist()))
        x, y = on_page([_upper_end(measured, key)])[0].tolist()
        word_y = top - forefoot_high - ROW_MM * (row + 0.5)
        strokes.append(_stroke((x, y), (x, word_y + 2)))
        words.append(
            Word(round(x - 3 if toes_left else x + 3, 1), round(word_y, 1), WORDS[key], "end" if toes_left else "start")
        )
    ground = round(top, 1)
    return Drawing(
        says=f"{side.label} scan from its {edge.label} side, to scale, with the lines of the girths",
        width=round(width),
        height=round(height),
        path=path_of(on_page(outline)),
        strokes=(*strokes, Stroke(4, ground, round(width) - 4, ground)),
        words=(*words, Word(round(width / 2, 1), round(height - 5, 1), f"{side.label}, {edge.label.upper()} side")),
    )


def _upper_end(measured: Mapping[str, Any], key: str) -> Sequence[float]:
    ends: list[list[float]] = measured["girths"][key]["side"]
    return max(ends, key=lambda end: end[1])


def _stroke(one: Sequence[float], other: Sequence[float]) -> Stroke:
    return Stroke(round(one[0], 1), round(one[1], 1), round(other[0], 1), round(other[1], 1))
