"""A sheet in squares of a millimetre: which of them a line or a word lies on, and where a box of words lies on none."""

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from cases.patterns.drafting.pieces import Points
from cases.patterns.sheets.laid import Window

Squares = NDArray[np.bool_]
EDGE_MM = 8
"""Squares round the window, so that a box at its edge may ask for room beyond it."""


class Raster:
    """The squares of a window that are taken. The first square begins at the window's corner, `EDGE_MM` up and left."""

    def __init__(self, window: Window) -> None:
        self.corner = np.array([window.left - EDGE_MM, window.top - EDGE_MM])
        self._taken: Squares = np.zeros(
            (int(window.high) + 2 * EDGE_MM + 1, int(window.wide) + 2 * EDGE_MM + 1), dtype=bool
        )

    def take_line(self, line: shapely.LineString) -> None:
        """A line is taken at two points a square, so that it passes none unseen."""
        points = shapely.get_coordinates(shapely.segmentize(line, 0.5))
        across, down = self._square_of(points).T
        high, wide = self._taken.shape
        within = (across >= 0) & (down >= 0) & (across < wide) & (down < high)
        self._taken[down[within], across[within]] = True

    def take_box(self, box: shapely.Geometry) -> None:
        left, top, right, bottom = box.bounds
        (x, y), (to_x, to_y) = self._square_of(np.array([(left, top), (right, bottom)])).clip(0)
        self._taken[y : to_y + 1, x : to_x + 1] = True

    def free_on(self, surface: shapely.Geometry) -> "FreeSquares":
        """What is free now of a surface."""
        return FreeSquares(self.corner, _sums(~self._on(surface)), _sums(self._taken))

    def _on(self, surface: shapely.Geometry) -> Squares:
        """Squares whose middle lies on the surface."""
        high, wide = self._taken.shape
        on: Squares = np.zeros((high, wide), dtype=bool)
        if surface.is_empty:
            return on
        shapely.prepare(surface)
        left, top, right, bottom = surface.bounds
        (x, y), (to_x, to_y) = self._square_of(np.array([(left, top), (right, bottom)])).clip(0, (wide - 1, high - 1))
        xs, ys = np.meshgrid(np.arange(x, to_x + 1) + 0.5, np.arange(y, to_y + 1) + 0.5)
        on[y : to_y + 1, x : to_x + 1] = shapely.contains_xy(surface, xs + self.corner[0], ys + self.corner[1])
        return on

    def _square_of(self, points: Points) -> NDArray[np.int64]:
        squares: NDArray[np.int64] = np.floor(points - self.corner).astype(np.int64)
        return squares


@dataclass(frozen=True)
class FreeSquares:
    """Where on a surface boxes may lie: running sums of what is not the surface, and of what is taken."""

    corner: Points
    off_surface: NDArray[np.int64]
    taken: NDArray[np.int64]

    def places(self, *, wide: float, high: float, clear_mm: tuple[float, ...]) -> tuple[Points, NDArray[np.float64]]:
        """The top left corners of boxes on the surface that lie on nothing taken, and how clear of it each is.

        `clear_mm` are the distances asked for, the least first; below that a box is not among the places.
        """
        columns, rows = int(np.ceil(wide)) + 1, int(np.ceil(high)) + 1
        free = _empty(self.off_surface, columns, rows, 0)
        clear = np.zeros(free.shape)
        for step in clear_mm:
            if not free.any():
                break
            free = free & _empty(self.taken, columns, rows, int(np.ceil(step)))
            clear[free] = step
        down, across = np.nonzero(clear)
        return np.column_stack([across, down]) + self.corner + 0.5, clear[down, across]


def _sums(squares: Squares) -> NDArray[np.int64]:
    """How many are set above and left of each corner: four of these give the number within any box."""
    sums: NDArray[np.int64] = np.pad(squares.astype(np.int64).cumsum(axis=0).cumsum(axis=1), ((1, 0), (1, 0)))
    return sums


def _empty(sums: NDArray[np.int64], columns: int, rows: int, beyond: int) -> Squares:
    """For each square as the corner of a box: whether none is set within it, nor `beyond` squares round it."""
    high, wide = sums.shape[0] - 1, sums.shape[1] - 1
    empty: Squares = np.zeros((high, wide), dtype=bool)
    tall, broad = rows + 2 * beyond, columns + 2 * beyond
    if tall > high or broad > wide:
        return empty
    counted = sums[tall:, broad:] - sums[:-tall, broad:] - sums[tall:, :-broad] + sums[:-tall, :-broad]
    empty[beyond : beyond + counted.shape[0], beyond : beyond + counted.shape[1]] = counted == 0
    return empty
