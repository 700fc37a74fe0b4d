"""Where a piece is skived thin: the lines that show it, and what is left on average. Lengths in mm."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cases.patterns.drafting.pieces import Line, LineKind, Points

SHORTEST_LINE_MM = 3.0
"""A shorter piece of a line is not marked."""
FINE_MM = 0.15
"""How closely lines are followed where only areas are wanted."""
ROUND = 6
"""Points in a quarter of a circle."""


@dataclass(frozen=True)
class Skive:
    """Leather thinned evenly towards an edge, or towards a field that is thin: to `leaves_mm`, over `width_mm`."""

    towards: BaseGeometry
    width_mm: float
    words: str
    leaves_mm: float = 0.0

    def thinner_than(self, level_mm: float, *, whole_mm: float, edge: BaseGeometry) -> BaseGeometry | None:
        """Where less than this is left of a whole sheet."""
        if level_mm <= self.leaves_mm or whole_mm <= self.leaves_mm:
            return None
        part = (level_mm - self.leaves_mm) / (whole_mm - self.leaves_mm)
        return edge.buffer(self.width_mm * part, quad_segs=ROUND)


def skive_lines(body: shapely.Polygon, skives: Sequence[Skive]) -> Iterator[Line]:
    """A line where each skive begins, as far as no other has thinned the leather there before."""
    fields = [each.towards.buffer(each.width_mm, quad_segs=ROUND) for each in skives]
    whole = body.difference(shapely.union_all(fields))
    if whole.is_empty:
        return
    seen = whole.boundary.buffer(0.02, quad_segs=1)
    for skive, field in zip(skives, fields, strict=True):
        for points in marked_within(field.boundary.intersection(seen), body):
            yield Line(LineKind.SKIVE, points, words=skive.words)


def marked_within(line: BaseGeometry, body: shapely.Polygon) -> Iterator[Points]:
    """The pieces of a line that lie on a piece of leather, but for crumbs."""
    laid = line.intersection(body)
    merged = laid if laid.geom_type == "LineString" else shapely.line_merge(_lines_of(laid))
    for each in shapely.get_parts(merged):
        if each.length >= SHORTEST_LINE_MM:
            yield shapely.get_coordinates(each)


def mean_thickness_mm(body: shapely.Polygon, skives: Sequence[Skive], *, thickness_mm: float | None) -> float | None:
    """What is left on average after skiving; None where the thickness is not said.

    The volume is the sum of the areas that are thicker than each level, by Gauss's rule with two levels between each
    thickness that a skive leaves and the next.
    """
    if thickness_mm is None:
        return None
    coarse = body.simplify(FINE_MM)
    edges = [each.towards.simplify(FINE_MM) for each in skives]
    levels = sorted({0.0, thickness_mm, *(each.leaves_mm for each in skives if each.leaves_mm < thickness_mm)})
    places, parts = np.polynomial.legendre.leggauss(2)
    volume = 0.0
    for low, high in pairwise(levels):
        for place, part in zip(places, parts, strict=True):
            level = low + (high - low) * (place + 1) / 2
            thin = [
                field
                for each, edge in zip(skives, edges, strict=True)
                if (field := each.thinner_than(level, whole_mm=thickness_mm, edge=edge)) is not None
            ]
            thicker = coarse.difference(shapely.union_all(thin)) if thin else coarse
            volume += float(thicker.area) * part / 2 * (high - low)
    return volume / float(coarse.area)


def _lines_of(laid: BaseGeometry) -> BaseGeometry:
    """Only the lines of what a line and a field have in common: not the points at which they touch."""
    return shapely.multilinestrings([each for each in shapely.get_parts(laid) if each.geom_type == "LineString"])
