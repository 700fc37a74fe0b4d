"""The pieces of a group as DXF R2010 in millimetres, a layer for each kind of line: what a cutting table reads.

y runs up, as a drawing program has it. The same pieces give the same lines and words, not the same bytes: the format
carries times and numbers of its own.
"""

import io
from collections.abc import Sequence

from cases.patterns.drafting.pieces import LineKind, Piece
from cases.patterns.sheets.board import board_of
from cases.patterns.sheets.marks import STYLES
from cases.patterns.sheets.paper import Group, Heading, Mark

WORDS_LAYER = "WORDS"


def layer_of(kind: LineKind | Mark) -> str:
    return str(kind.value).upper().replace(" ", "_")


def pieces_dxf(pieces: Sequence[Piece], *, heading: Heading, group: Group) -> bytes:
    """The pieces of a group, whole, as a file. Raises `BadInput` where none is of it."""
    from ezdxf import units
    from ezdxf.enums import TextEntityAlignment
    from ezdxf.filemanagement import new

    board = board_of(pieces, heading=heading, group=group)
    document = new("R2010", units=units.MM)
    space = document.modelspace()
    for kind, style in STYLES.items():
        if style.dashes:
            lines = [length * (1 if place % 2 == 0 else -1) for place, length in enumerate(style.dashes)]
            document.linetypes.add(layer_of(kind), [sum(style.dashes), *lines], description=kind.value)
        linetype = layer_of(kind) if style.dashes else "CONTINUOUS"
        document.layers.add(layer_of(kind), linetype=linetype, lineweight=round(100 * style.stroke_mm))
    document.layers.add(WORDS_LAYER)
    for stroke in board.strokes:
        points = [(x, board.high - y) for x, y in stroke.points.tolist()]
        space.add_lwpolyline(points, close=stroke.closed, dxfattribs={"layer": layer_of(stroke.kind)})
    for word in board.words:
        text = space.add_text(
            word.says, height=0.72 * word.size_mm, rotation=-word.turned_deg, dxfattribs={"layer": WORDS_LAYER}
        )
        text.set_placement((word.x, board.high - word.y), align=TextEntityAlignment.CENTER)
    file = io.StringIO()
    document.write(file)
    return file.getvalue().encode("utf-8")
