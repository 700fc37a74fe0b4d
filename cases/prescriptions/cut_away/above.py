"""The shoe from above, toes up, as the wearer looks down: reaches along the feather edge, zones, shanks, carbon.

LEFT's medial side lies right. u is across towards medial, v forward from the back of the heel.
"""

from collections.abc import Iterator

import numpy as np
import shapely

from cases.prescriptions.cut_away import plan
from cases.prescriptions.cut_away.bottom import (
    WEDGE_FROM_TO,
    carbon_zone,
    filler_length,
    turned_up_mm,
)
from cases.prescriptions.cut_away.called_above import calls_above
from cases.prescriptions.cut_away.edges import (
    POSTED_FROM_TO,
    SIGNS,
    apex_line,
    edge_band,
    edge_of_outline,
    posted,
    ring,
    sock_ends,
    way_at,
)
from cases.prescriptions.cut_away.sheet import (
    Dimension,
    Points,
    Shape,
    View,
    box,
    figure,
)
from cases.prescriptions.cut_away.shell import puff_length, reach_of
from cases.prescriptions.cut_away.stack import BREAST_AT, extended_heel
from cases.prescriptions.shoe import Shoe
from shared.sides import Edge

STIFFENER_BAND_MM = 6.0
"""How broad the stiffener's edge is drawn."""
TURN_UP_BAND_MM = 9.0


def view_from_above(shoe: Shoe) -> View:
    """The plan of a shoe on the outline of its form. Raises `BadInput` where that cannot be drawn."""
    return View(
        title="from above, toes up",
        shapes=tuple(_shapes(shoe)),
        dimensions=tuple(_dimensions(shoe)),
        calls=tuple(calls_above(shoe)),
        left="LATERAL",
        right="MEDIAL",
        lines=tuple(_lines(shoe)),
    )


def _up(points: Points) -> Points:
    """From x forward, y towards medial to the view's u and v."""
    return points[:, ::-1]


def _shapes(shoe: Shoe) -> Iterator[Shape]:
    for flare in shoe.flares:
        yield Shape("flare", "flares", _up(_flared(shoe, Edge(flare.edge), flare.width_mm)))
    yield Shape("form", "", _up(shoe.form.outline.points))
    for wedge in shoe.wedges:
        yield Shape("wedge", "wedges", _up(_half_zone(shoe, Edge(wedge.edge), WEDGE_FROM_TO[wedge.place])))
    if long := puff_length(shoe):
        length = shoe.form.length_mm
        yield Shape("puff", "toe_puff", _up(_cut(shoe.form.outline.polygon, length - long, length)))
    for kind, part, polygon in _zones(shoe):
        if not polygon.is_empty:
            yield Shape(kind, part, _up(ring(polygon)))
    yield from _along_the_edges(shoe)
    if shoe.carbon_zone:
        yield Shape("carbon", "carbon_zone", _up(ring(plan.carbon(shoe))))
    for shank in plan.shanks(shoe):
        yield Shape("shank", "shank", _up(ring(shank)))
    for edge, place, _ in posted(shoe):
        yield Shape("posting", "insole", _up(_half_zone(shoe, edge, POSTED_FROM_TO[place], inside=8.0)))


def _along_the_edges(shoe: Shoe) -> Iterator[Shape]:
    for edge in Edge:
        if turned_up_mm(shoe, edge):
            start, end = (way_at(shoe, edge, x) for x in plan.turned_up(shoe, edge))
            yield Shape("turned up", "insole", _up(edge_band(shoe, edge, start, end, broad=TURN_UP_BAND_MM)))
        if (reach := reach_of(shoe, edge)) > 0:
            yield Shape("stiffener", "stiffener", _up(edge_band(shoe, edge, 0.0, reach, broad=STIFFENER_BAND_MM)))


def _zones(shoe: Shoe) -> Iterator[tuple[str, str, shapely.Polygon]]:
    """What lies in and on the insole, by its filling and its part: as it is cut, where it will lie."""
    insole, length = shoe.insole, shoe.form.length_mm
    if shoe.toe_filler:
        yield "toe filler", "toe_filler", plan.across(plan.inside(shoe, 4.0), length - filler_length(shoe), length)
    if insole and insole.rear_doubled_mm:
        yield "doubled", "insole", plan.doubled(shoe)
    fore = any(each.place == "forepart" for each in shoe.cushions)
    if fore:
        yield "cushion", "cushions", plan.scoured(shoe)
    elif insole and insole.scoured_to_mm:
        yield "scoured", "insole", plan.scoured(shoe)
    for cushion in shoe.cushions:
        if cushion.place != "forepart":
            yield "cushion", "cushions", (plan.heel_cushion if cushion.place == "heel" else plan.full_cushion)(shoe)
    for support in shoe.metatarsal_supports:
        yield "support", "metatarsal_supports", plan.support(shoe, support)
    if shoe.toe_prop:
        yield "toe prop", "toe_prop", plan.toe_prop(shoe)


def _lines(shoe: Shoe) -> Iterator[Shape]:
    """Joint line, apex line, front of sock and heel."""
    form, outline = shoe.form, shoe.form.outline
    yield Shape("joint line", "", _up(np.array([outline.medial_joint, outline.lateral_joint])), is_open=True)
    if shoe.rocker:
        yield Shape("apex line", "rocker", _up(apex_line(shoe)), is_open=True)
    if front := sock_ends(shoe):
        yield Shape("sock", "insole", _up(np.array(front)), is_open=True)
    if shoe.heel:
        half = 0.40 * form.heel_width_mm
        ends = [(BREAST_AT * form.length_mm + extended_heel(shoe, edge), half * sign) for edge, sign in SIGNS]
        yield Shape("breast line", "heel", _up(np.array(ends)), is_open=True)


def _dimensions(shoe: Shoe) -> Iterator[Dimension]:
    """How far before or behind the joint line, or the tip, a part ends: on the axis of the part."""
    length = shoe.form.length_mm
    if shoe.carbon_zone:
        _, end = carbon_zone(shoe)
        yield Dimension("carbon_zone", (0, end), (0, length), figure(length - end), at_end=True)


def _cut(polygon: shapely.Geometry, start: float, end: float) -> Points:
    """The largest piece of a polygon between two places along the foot."""
    piece = shapely.clip_by_rect(polygon, start, -500, end, 500)
    parts = [each for each in getattr(piece, "geoms", [piece]) if each.geom_type == "Polygon" and not each.is_empty]
    if not parts:
        return box((start, start), (0, 0))
    return np.asarray(max(parts, key=lambda each: float(each.area)).exterior.coords)[:-1]


def _half_zone(shoe: Shoe, edge: Edge, part: tuple[float, float], *, inside: float = 0.0) -> Points:
    """The half of heel or forepart on one side of the axis."""
    length = shoe.form.length_mm
    half = (0, 500) if edge == Edge.MEDIAL else (-500, 0)
    polygon = plan.inside(shoe, inside) if inside else shoe.form.outline.polygon
    piece = shapely.clip_by_rect(polygon, part[0] * length, half[0], part[1] * length, half[1])
    return _cut(piece, part[0] * length, part[1] * length)


def _flared(shoe: Shoe, edge: Edge, width_mm: float) -> Points:
    """What stands out beside one edge from the back of the heel to the joint, to nothing at both ends."""
    line = edge_of_outline(shoe, edge)
    joint = shoe.form.heel_to_joint_mm if edge == Edge.MEDIAL else shoe.form.heel_to_fifth_mm
    on_edge = line[(line[:, 0] > 0.01 * joint) & (line[:, 0] < joint)]
    out = np.minimum(1.0, 6.0 * np.sin(np.pi * on_edge[:, 0] / joint)) * width_mm
    beside = on_edge + np.column_stack([0.0 * out, out if edge == Edge.MEDIAL else -out])
    return np.concatenate([on_edge, beside[::-1]])
