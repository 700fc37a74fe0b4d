"""Reliefs in a stiffener: what is cut out of it, and where it is thinned. Lengths in mm, flat.

A relief keeps its size on the leather: it is laid out as a flat ellipse about its own middle. One that is cut out is a
hole where enough is left round it; nearer to an edge than that, it opens the edge, so that no strip is left that tears.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.affinity import translate

from cases.patterns.drafting.heel_band import HeelBand
from cases.patterns.drafting.pieces import Points
from cases.patterns.drafting.rings import LEAST_LEFT_MM, check_one_piece
from cases.prescriptions.cut_away.shell import relief_ahead, relief_edge, relief_height
from cases.prescriptions.shoe import Relief
from shared.calculations import check_within
from shared.sides import Edge

POINTS = 48
MOST_MM = 150.0
FAR_MM = 400.0
CUT_OUT = "cut out"
MOST_LOST, MOST_CRUMBS = 0.35, 0.02
"""Of the piece: more than this is no relief of a stiffener, and what falls off beside one. From memory."""
SPARE_MM = 0.2
"""More than the least that is left, so that rounding does not decide."""
ROUND = 6
"""Points in a quarter of a circle."""


@dataclass(frozen=True)
class LaidRelief:
    """A relief where it lies flat; `up` is the direction up the leather there."""

    relief: Relief
    middle: tuple[float, float]
    up: tuple[float, float]
    field: shapely.Polygon

    @property
    def is_cut_out(self) -> bool:
        return self.relief.way == CUT_OUT

    @property
    def words(self) -> str:
        relief = self.relief
        return f"relief {relief.place}, {relief.width_mm:g} × {relief.height_mm:g} mm"


def laid_reliefs(band: HeelBand) -> tuple[LaidRelief, ...]:
    """Every relief of the shoe on its own side of the heel. Raises `BadInput` for a size that none has."""
    return tuple(_laid(band, relief) for relief in band.shoe.reliefs)


def _laid(band: HeelBand, relief: Relief) -> LaidRelief:
    check_within("relief width", relief.width_mm, 2, MOST_MM)
    check_within("relief height", relief.height_mm, 2, MOST_MM)
    along, high = along_of(band, relief), relief_height(band.shoe, relief)
    middle, up = np.array(band.place(along, high)), np.array(band.cone.upwards(along))
    beside = np.array([up[1], -up[0]])
    turn = np.linspace(0, 2 * np.pi, POINTS, endpoint=False)
    ring = (
        middle
        + np.outer(np.cos(turn) * relief.width_mm / 2, beside)
        + np.outer(np.sin(turn) * relief.height_mm / 2, up)
    )
    return LaidRelief(relief, (float(middle[0]), float(middle[1])), (float(up[0]), float(up[1])), shapely.Polygon(ring))


def along_of(band: HeelBand, relief: Relief) -> float:
    """How far along the feather edge the middle of a relief lies: medial more, lateral less than 0."""
    edge = relief_edge(relief)
    if edge is None:
        return 0.0
    half = band.half(edge) or band.halves[0]
    return half.along_at(relief_ahead(band.shoe, relief)) * (1 if edge == Edge.MEDIAL else -1)


def without(body: shapely.Polygon, reliefs: Sequence[LaidRelief]) -> shapely.Polygon:
    """The body without what is cut out of it. Raises `BadInput` where that would part it or leave a sliver."""
    for cut in _joined([each for each in reliefs if each.is_cut_out]):
        body = _cut(body, cut)
    return body


def _joined(cuts: Sequence[LaidRelief]) -> Sequence[LaidRelief]:
    """Cuts with less than a strip between them are one."""
    apart: list[LaidRelief] = []
    for cut in cuts:
        near = [each for each in apart if each.field.distance(cut.field) < LEAST_LEFT_MM + 0.5]
        apart = [each for each in apart if each not in near]
        field = shapely.union_all([cut.field, *(each.field for each in near)]).convex_hull
        apart.append(LaidRelief(cut.relief, cut.middle, cut.up, field))
    return apart


def _cut(body: shapely.Polygon, cut: LaidRelief) -> shapely.Polygon:
    whole = shapely.Polygon(body.exterior)
    if not cut.field.intersects(whole):
        return body
    if whole.contains(cut.field) and whole.exterior.distance(cut.field) >= LEAST_LEFT_MM + SPARE_MM:
        return check_one_piece("relief", body.difference(cut.field), because=cut.words)
    away = FAR_MM * _outwards(whole, np.array(cut.middle))
    opened = shapely.union_all([cut.field, translate(cut.field, *away)]).convex_hull
    # A tongue beside the opening that is too narrow goes with it.
    thin = LEAST_LEFT_MM / 2 + SPARE_MM
    firm = body.difference(opened).buffer(-thin, quad_segs=ROUND).buffer(thin, quad_segs=ROUND)
    largest = max(shapely.get_parts(firm), key=lambda each: each.area, default=firm)
    lost = 1 - largest.area / body.area
    crumbs = (firm.area - largest.area) / body.area
    return check_one_piece("relief", firm if lost > MOST_LOST or crumbs > MOST_CRUMBS else largest, because=cut.words)


def _outwards(whole: shapely.Polygon, middle: Points) -> Points:
    """The direction from the middle of a cut out of the piece, over the edge that it lies nearest to."""
    ring = whole.exterior
    edge = shapely.get_coordinates(ring.interpolate(ring.project(shapely.Point(middle))))[0]
    out = edge - middle if whole.contains(shapely.Point(middle)) else middle - edge
    direction: Points = out / max(float(np.hypot(*out)), 1e-9)
    return direction
