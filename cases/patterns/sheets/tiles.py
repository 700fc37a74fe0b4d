"""A piece larger than the paper, in parts that overlap; register crosses lie the same on both neighbours."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from cases.patterns.drafting.pieces import Points
from cases.patterns.sheets.laid import Laid, Window, line_of
from cases.patterns.sheets.marks import CROSS_MM, cross
from cases.patterns.sheets.paper import Stroke, Tile, Word

OVERLAP_MM = 15.0
BEYOND_MM = 25.0
"""Register crosses of a narrow piece may lie this far beyond it: the farther apart they are, the truer the parts lie."""
CROSS_CLEAR_MM = 6.0
"""A register cross lies this far from the piece's lines where there is such a place."""
CROSS_STEP_MM = 4.0

_Seam = tuple[tuple[int, int], tuple[int, int]]


@dataclass(frozen=True)
class TileDraft:
    """One part: the piece moved so that what the sheet `shows` of it lies on the paper, with its register crosses."""

    laid: Laid
    shows: Window
    tile: Tile
    marks: tuple[Stroke, ...]
    words: tuple[Word, ...]


@dataclass(frozen=True)
class _Grid:
    """How a piece is parted: parts of one size, each overlapping the next; `beyond_*` is paper left round them."""

    rows: int
    columns: int
    wide: float
    high: float
    beyond_x: float
    beyond_y: float

    def part(self, row: int, column: int) -> Window:
        left, top = column * (self.wide - OVERLAP_MM), row * (self.high - OVERLAP_MM)
        return Window(left, top, left + self.wide, top + self.high)


def tiles_of(laid: Laid, paper: Window) -> tuple[TileDraft, ...]:
    """The parts of a piece whose corner is at 0, 0, row by row; a part that shows nothing of it is left out."""
    grid = _grid(laid, paper)
    places = [(row, column) for row in range(grid.rows) for column in range(grid.columns)]
    shown = [place for place in places if shapely.intersects(grid.part(*place).polygon, laid.polygon)]
    crosses = _crosses(laid, grid, shown)
    tiles = []
    for row, column in shown:
        part = grid.part(row, column)
        right_mm, down_mm = paper.left + grid.beyond_x - part.left, paper.top + grid.beyond_y - part.top
        here = [(arms, word) for seam, arms, word in crosses if (row, column) in seam]
        tiles.append(
            TileDraft(
                laid=laid.moved(right_mm=right_mm, down_mm=down_mm),
                shows=Window(part.left + right_mm, part.top + down_mm, part.right + right_mm, part.bottom + down_mm),
                tile=Tile(row + 1, column + 1, grid.rows, grid.columns),
                marks=tuple(
                    replace(arm, points=arm.points + np.array([right_mm, down_mm])) for arms, _ in here for arm in arms
                ),
                words=tuple(replace(word, x=word.x + right_mm, y=word.y + down_mm) for _, word in here),
            )
        )
    return tuple(tiles)


def _grid(laid: Laid, paper: Window) -> _Grid:
    columns, wide = _parts(laid.window.wide, paper.wide)
    rows, high = _parts(laid.window.high, paper.high)
    return _Grid(
        rows=rows,
        columns=columns,
        wide=wide,
        high=high,
        beyond_x=min(BEYOND_MM, (paper.wide - wide) / 2) if columns == 1 else 0.0,
        beyond_y=min(BEYOND_MM, (paper.high - high) / 2) if rows == 1 else 0.0,
    )


def _parts(long_mm: float, paper_mm: float) -> tuple[int, float]:
    """Into how many parts a length goes, and how long each is."""
    parts = max(1, math.ceil((long_mm - OVERLAP_MM) / (paper_mm - OVERLAP_MM)))
    return parts, (long_mm + (parts - 1) * OVERLAP_MM) / parts


def _crosses(laid: Laid, grid: _Grid, shown: Sequence[tuple[int, int]]) -> list[tuple[_Seam, tuple[Stroke, ...], Word]]:
    """Two on each seam, far apart, numbered through the piece: two hold a sheet against turning."""
    lines = shapely.MultiLineString([line_of(stroke) for stroke in laid.strokes])
    crosses: list[tuple[_Seam, tuple[Stroke, ...], Word]] = []
    for row, column in shown:
        for beside in ((row, column + 1), (row + 1, column)):
            if beside not in shown:
                continue
            for at in _on_seam(grid, (row, column), beside, lines):
                arms, word = cross(len(crosses) + 1, at, piece=laid.piece.key, lines=lines)
                crosses.append((((row, column), beside), arms, word))
    return crosses


def _on_seam(
    grid: _Grid, one: tuple[int, int], other: tuple[int, int], lines: shapely.Geometry
) -> tuple[Points, Points]:
    """Where the two crosses of a seam lie, in the middle of the overlap: in its first and in its last third."""
    part, beside = grid.part(*one), grid.part(*other)
    is_upright = one[0] == other[0]
    middle = (beside.left + part.right) / 2 if is_upright else (beside.top + part.bottom) / 2
    at, parts = (one[0], grid.rows) if is_upright else (one[1], grid.columns)
    low, high = (part.top, part.bottom) if is_upright else (part.left, part.right)
    beyond = grid.beyond_y if is_upright else grid.beyond_x
    low += CROSS_MM + 2 - beyond + (OVERLAP_MM if at > 0 else 0)
    high -= CROSS_MM + 2 - beyond + (OVERLAP_MM if at < parts - 1 else 0)
    along = np.arange(low, high + 0.01, CROSS_STEP_MM)
    points = np.column_stack(
        [np.full(along.shape, middle), along] if is_upright else [along, np.full(along.shape, middle)]
    )
    free = np.minimum(shapely.distance(shapely.points(points), lines), CROSS_CLEAR_MM)
    third = max(1, len(along) // 3)
    first = int(np.argmax(free[:third]))
    last = len(along) - 1 - int(np.argmax(free[::-1][:third]))
    return points[first], points[last]
