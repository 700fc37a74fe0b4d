"""Where a piece is skived thin: the lines that show it, and what is left on average. Lengths in mm."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from cases.patterns.drafting.pieces import Line, LineKind, Points

SHORTEST_LINE_MM = 3.0
"""A shorter piece of a line is not marked."""
FINE_MM = 0.15
"""How closely lines are followed where only areas are wanted."""
SAMPLED_MM = 4.0
ROUND = 6
"""Points in a quarter of a circle."""


@dataclass(frozen=True)
class Skive:
    """Leather thinned evenly towards an edge, or towards a field that is thin: to `leaves_mm`, over `width_mm`."""

    towards: BaseGeometry
    width_mm: float
    words: str
    leaves_mm: float = 0.0


def skive_lines(body: shapely.Polygon, skives: Sequence[Skive]) -> Iterator[Line]:
    """A line where each skive begins, as far as no other has thinned the leather there before."""
    fields = [each.towards.buffer(each.width_mm, quad_segs=ROUND) for each in skives]
    whole = body.difference(shapely.union_all(fields))
    edges = [each.towards.simplify(FINE_MM / 3) for each in skives]
    for ring in (part for each in shapely.get_parts(whole) if not each.is_empty for part in _rings(each)):
        middles = shapely.points((ring[:-1] + ring[1:]) / 2)
        is_within = shapely.distance(middles, body.boundary) > FINE_MM / 10
        for skive, edge in zip(skives, edges, strict=True):
            # Between two points of a rounded line its chord lies a little nearer to the edge than the line itself.
            begins = np.abs(shapely.distance(middles, edge) - skive.width_mm) < 0.01 * skive.width_mm
            for points in _runs(ring, begins & is_within):
                if np.hypot(*np.diff(points, axis=0).T).sum() >= SHORTEST_LINE_MM:
                    yield Line(LineKind.SKIVE, points, words=skive.words)


def _rings(polygon: shapely.Polygon) -> Iterator[Points]:
    for ring in (polygon.exterior, *polygon.interiors):
        yield shapely.get_coordinates(ring)


def _runs(ring: Points, chosen: NDArray[np.bool_]) -> Iterator[Points]:
    """The stretches of a closed ring whose sides are chosen, each from its first point to its last."""
    if chosen.all():
        yield ring
        return
    first = int(np.argmin(chosen))
    sides = np.roll(chosen, -first)
    points = np.concatenate([ring[first:-1], ring[: first + 1]])
    steps = np.flatnonzero(np.diff(np.concatenate([[0], sides.astype(np.int8), [0]])))
    for start, end in zip(steps[::2], steps[1::2], strict=True):
        yield points[start : end + 1]


def marked_within(line: BaseGeometry, body: shapely.Polygon) -> Iterator[Points]:
    """The pieces of a line that lie on a piece of leather, but for crumbs."""
    laid = line.intersection(body)
    merged = laid if laid.geom_type == "LineString" else shapely.line_merge(_lines_of(laid))
    for each in shapely.get_parts(merged):
        if each.length >= SHORTEST_LINE_MM:
            yield shapely.get_coordinates(each)


def mean_thickness_mm(body: shapely.Polygon, skives: Sequence[Skive], *, thickness_mm: float | None) -> float | None:
    """What is left on average after skiving; None where the thickness is not said. Sampled every 4 mm or less."""
    if thickness_mm is None:
        return None
    low_u, low_v, high_u, high_v = body.bounds
    u, v = np.meshgrid(_middles(low_u, high_u), _middles(low_v, high_v))
    shapely.prepare(body)
    inside = shapely.contains_xy(body, u.ravel(), v.ravel())
    points = shapely.points(u.ravel()[inside], v.ravel()[inside])
    left = np.full(points.shape, thickness_mm)
    for skive in skives:
        if skive.leaves_mm < thickness_mm:
            part = np.minimum(shapely.distance(points, skive.towards.simplify(FINE_MM)) / skive.width_mm, 1)
            left = np.minimum(left, skive.leaves_mm + (thickness_mm - skive.leaves_mm) * part)
    return float(left.mean()) if len(left) else thickness_mm


def _middles(low: float, high: float) -> NDArray[np.float64]:
    """The middles of equal steps from one end to the other."""
    count = math.ceil((high - low) / SAMPLED_MM)
    return low + (np.arange(count) + 0.5) * (high - low) / count


def _lines_of(laid: BaseGeometry) -> BaseGeometry:
    """Only the lines of what a line and a field have in common: not the points at which they touch."""
    return shapely.MultiLineString([each for each in shapely.get_parts(laid) if each.geom_type == "LineString"])
