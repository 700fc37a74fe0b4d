"""The cut line of a piece: one plain ring, without slivers. Lengths in mm."""

from collections.abc import Sequence

import numpy as np
import shapely

from cases.patterns.drafting.pieces import Points
from shared.calculations import BadInput

LEAST_LEFT_MM = 3.0
"""Narrower than this nothing is left of a piece: it would tear or curl."""
SAME_MM = 1e-6


def plain(points: Points) -> Points:
    """A ring without points that lie on their neighbours."""
    ahead = np.roll(points, -1, axis=0)
    kept: Points = points[np.hypot(*(ahead - points).T) > SAME_MM]
    return kept


def ring_of(polygon: shapely.Polygon, *, through: Sequence[tuple[float, float]] = ()) -> Points:
    """The cut line of a polygon, anticlockwise, with a point of its own for each place that lies on it."""
    ring = shapely.get_coordinates(shapely.orient_polygons(polygon).exterior)[:-1]
    for place in through:
        ring = _with(ring, np.array(place))
    return plain(ring)


def nearest_of(points: Points, place: tuple[float, float]) -> tuple[float, float]:
    """The point of a ring that lies nearest to a place."""
    found = points[np.hypot(*(points - np.array(place)).T).argmin()]
    return float(found[0]), float(found[1])


def check_one_piece(name: str, body: shapely.geometry.base.BaseGeometry, *, because: str) -> shapely.Polygon:
    """The body as one plain piece of leather that is nowhere too narrow. Raises `BadInput`."""
    core = body.buffer(-LEAST_LEFT_MM / 2, quad_segs=2) if body.is_valid else None
    if core is None or core.is_empty or body.geom_type != "Polygon" or core.geom_type != "Polygon":
        raise BadInput(name, because, allowed=f"one plain piece, nowhere under {LEAST_LEFT_MM:g} mm broad")
    return body


def _with(ring: Points, place: Points) -> Points:
    """The ring with a place put into the side that it lies on; the ring itself where it has it, or it lies on none."""
    if np.abs(ring - place).sum(axis=1).min() < SAME_MM:
        return ring
    ahead = np.roll(ring, -1, axis=0)
    side = ahead - ring
    part = np.einsum("ij,ij->i", place - ring, side) / np.maximum(np.einsum("ij,ij->i", side, side), SAME_MM**2)
    away = np.hypot(*(ring + np.clip(part, 0, 1)[:, None] * side - place).T)
    at = int(away.argmin())
    if away[at] > LEAST_LEFT_MM:
        return ring
    foot = ring[at] + np.clip(part[at], 0, 1) * side[at]
    return np.insert(ring, at + 1, foot, axis=0)
