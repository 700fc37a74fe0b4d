"""The shoe from above, toes up, as the wearer looks down: reaches along the feather edge, zones, shanks, carbon.

LEFT's medial side lies right. u is across towards medial, v forward from the back of the heel.
"""

from collections.abc import Iterator
from functools import lru_cache

import numpy as np
import shapely

from cases.lasts.outline import PlanShape
from cases.prescriptions.cut_away.bottom import (
    DOUBLED_ENDS_MM,
    DOUBLED_FROM,
    SCOURED_RIM_MM,
    WEDGE_FROM_TO,
    carbon_zone,
    filler_length,
    scoured_zone,
    shank_ends,
    sock_end,
    support_ends,
    toe_prop_zone,
    turn_up_zone,
)
from cases.prescriptions.cut_away.sheet import (
    Call,
    Dimension,
    Points,
    Shape,
    View,
    Zone,
    box,
    ellipse,
    figure,
    mm,
    said,
)
from cases.prescriptions.cut_away.shell import edge_of_outline, puff_length, reach_of
from cases.prescriptions.cut_away.stack import BREAST_AT, extended_heel
from cases.prescriptions.shoe import MetatarsalSupport, Shoe, outline_once
from shared.sides import Edge

STIFFENER_BAND_MM = 6.0
"""How broad the stiffener's edge is drawn."""
TURN_UP_BAND_MM = 9.0
REACH_BESIDE_MM = 4.0
"""How far outside the edge the line of a reach is drawn."""
CARBON_INSIDE_MM = 9.0
"""Common practice, no source."""
SHANKS_APART_MM = 22.0
"""From middle to middle, where nobody said: common practice, no source."""
TOES_AT = (0.08, 0.36, 0.51, 0.66, 0.79, 0.92)
"""Of the width from the medial edge: the sides of the five toes. From memory."""
POSTED_FROM_TO = {"rear": (0.03, 0.28), "fore": (0.60, 0.92)}
"""Of the length. From memory."""


def view_from_above(shoe: Shoe) -> View:
    """The plan of a shoe on the outline of its form. Raises `BadInput` where that cannot be drawn."""
    return View(
        title="from above, toes up",
        shapes=tuple(_shapes(shoe)),
        dimensions=tuple(_dimensions(shoe)),
        calls=tuple(_calls(shoe)),
        left="LATERAL",
        right="MEDIAL",
        lines=tuple(_lines(shoe)),
    )


def _up(points: Points) -> Points:
    """From x forward, y towards medial to the view's u and v."""
    return points[:, ::-1]


def _shapes(shoe: Shoe) -> Iterator[Shape]:
    form = shoe.form
    for flare in shoe.flares:
        yield Shape("flare", "flares", _up(_flared(shoe, Edge(flare.edge), flare.width_mm)))
    yield Shape("form", "", _up(form.outline.points))
    yield from _zones(shoe)
    for edge in Edge:
        high = shoe.insole and (
            shoe.insole.turn_up_medial_mm if edge == Edge.MEDIAL else shoe.insole.turn_up_lateral_mm
        )
        if high:
            yield Shape("turned up", "insole", _up(_edge_band(shoe, edge, *turn_up_zone(shoe), broad=TURN_UP_BAND_MM)))
        if (reach := reach_of(shoe, edge)) > 0:
            yield Shape("stiffener", "stiffener", _up(_edge_band(shoe, edge, 0.0, reach, broad=STIFFENER_BAND_MM)))
    yield from _under_the_insole(shoe)
    for edge, place, _ in posted(shoe):
        yield Shape("posting", "insole", _up(_half_zone(shoe, edge, POSTED_FROM_TO[place], inside=8.0)))
    for wedge in shoe.wedges:
        yield Shape("wedge", "wedges", _up(_half_zone(shoe, Edge(wedge.edge), WEDGE_FROM_TO[wedge.place])))


def _zones(shoe: Shoe) -> Iterator[Shape]:
    form, insole, length = shoe.form, shoe.insole, shoe.form.length_mm
    if long := puff_length(shoe):
        yield Shape("puff", "toe_puff", _up(_cut(form.outline.polygon, length - long, length)))
    if insole and insole.rear_doubled_mm:
        zone = _cut(_inside(shoe, 6.0), DOUBLED_FROM * length, form.heel_to_joint_mm - DOUBLED_ENDS_MM)
        yield Shape("doubled", "insole", _up(zone))
    if insole and insole.scoured_to_mm:
        rim = SCOURED_RIM_MM if insole.scoured_rim_mm is None else insole.scoured_rim_mm
        has_cushion = any(each.place == "forepart" for each in shoe.cushions)
        part = "cushions" if has_cushion else "insole"
        yield Shape("cushion" if has_cushion else "scoured", part, _up(_cut(_inside(shoe, rim), *scoured_zone(shoe))))
    for cushion in shoe.cushions:
        if cushion.place == "heel":
            pad = ellipse(0.14 * length, 0, min(30.0, 0.12 * length), min(30.0, 0.42 * form.heel_width_mm))
            yield Shape("cushion", "cushions", _up(pad))
        elif cushion.place == "full":
            yield Shape("cushion", "cushions", _up(_cut(_inside(shoe, 5.0), 0.03 * length, 0.95 * length)))
        elif not (insole and insole.scoured_to_mm):
            yield Shape("cushion", "cushions", _up(_cut(_inside(shoe, SCOURED_RIM_MM), *scoured_zone(shoe))))
    if shoe.toe_filler:
        yield Shape("toe filler", "toe_filler", _up(_cut(_inside(shoe, 4.0), length - filler_length(shoe), length)))
    if shoe.toe_prop:
        yield Shape("toe prop", "toe_prop", _up(_toe_prop(shoe)))
    for support in shoe.metatarsal_supports:
        start, end = support_ends(support, _joint_middle(shoe))
        pad = ellipse((start + end) / 2, 0, (end - start) / 2, _across(shoe, support) / 2)
        yield Shape("support", "metatarsal_supports", _up(pad))


def _toe_prop(shoe: Shoe) -> Points:
    """Under the toes it names, the first one taking a third of what lies between the edges. From memory."""
    prop = shoe.toe_prop
    if prop is None:
        return np.zeros((0, 2))
    start, end = toe_prop_zone(shoe)
    middle = (start + end) / 2
    (_, medial), (_, lateral) = (_place_at(shoe, edge, middle) for edge in (Edge.MEDIAL, Edge.LATERAL))
    from_to = [medial - part * (medial - lateral) for part in (TOES_AT[prop.first_toe - 1], TOES_AT[prop.last_toe])]
    return ellipse(middle, sum(from_to) / 2, (end - start) / 2, (from_to[0] - from_to[1]) / 2)


def _across(shoe: Shoe, support: MetatarsalSupport) -> float:
    return support.across_mm or (0.8 * shoe.form.joint_width_mm if support.kind == "bar" else 40.0)


def _under_the_insole(shoe: Shoe) -> Iterator[Shape]:
    shank, carbon = shoe.shank, shoe.carbon_zone
    if carbon:
        zone = _cut(_inside(shoe, CARBON_INSIDE_MM), *carbon_zone(shoe))
        yield Shape("carbon", "carbon_zone", _up(zone))
    if shank:
        apart = shank.apart_mm or SHANKS_APART_MM
        for place in range(int(shank.count)):
            middle = (place - (shank.count - 1) / 2) * apart
            across = (middle - shank.width_mm / 2, middle + shank.width_mm / 2)
            yield Shape("shank", "shank", _up(box(shank_ends(shoe), across)))


def _lines(shoe: Shoe) -> Iterator[Shape]:
    """Joint line, apex line, front of the heel, and how far each reach goes along the edge."""
    form, outline = shoe.form, shoe.form.outline
    yield Shape("joint line", "", _up(np.array([outline.medial_joint, outline.lateral_joint])), is_open=True)
    if shoe.rocker:
        yield Shape("apex line", "rocker", _up(_apex(shoe)), is_open=True)
    if (sock := sock_end(shoe)) and sock < form.length_mm:
        ends = [_place_at(shoe, edge, sock) for edge in Edge]
        yield Shape("sock", "insole", _up(np.array(ends)), is_open=True)
    if shoe.heel:
        half = 0.40 * form.heel_width_mm
        ends = [(BREAST_AT * form.length_mm + extended_heel(shoe, edge), half * sign) for edge, sign in SIGNS]
        yield Shape("breast line", "heel", _up(np.array(ends)), is_open=True)
    for edge in Edge:
        if (reach := reach_of(shoe, edge)) > 0:
            line = _edge_band(shoe, edge, 0.0, reach, broad=-REACH_BESIDE_MM)
            beside = line[len(line) // 2 :]
            end = line[len(line) // 2 - 1]
            yield Shape("reach", "stiffener", _up(np.concatenate([[end], beside])), is_open=True)


SIGNS = ((Edge.MEDIAL, 1.0), (Edge.LATERAL, -1.0))


def _apex(shoe: Shoe) -> Points:
    """An apex line over 90 degrees lies further forward on the medial edge."""
    rocker, half = shoe.rocker, 0.5 * shoe.form.joint_width_mm
    if rocker is None:
        return np.zeros((0, 2))
    apex = rocker.apex_percent / 100 * shoe.form.length_mm
    skew = float(np.tan(np.radians((rocker.apex_angle_deg or 90.0) - 90))) * half
    return np.array([(apex + skew, half), (apex - skew, -half)])


def _dimensions(shoe: Shoe) -> Iterator[Dimension]:
    """How far before or behind the joint line, or the tip, a part ends: on the axis of the part."""
    length = shoe.form.length_mm
    if shoe.carbon_zone:
        _, end = carbon_zone(shoe)
        yield Dimension("carbon_zone", (0, end), (0, length), figure(length - end), at_end=True)


def _calls(shoe: Shoe) -> Iterator[Call]:
    insole, length = shoe.insole, shoe.form.length_mm
    for edge, sign in SIGNS:
        if reach := reach_of(shoe, edge):
            x, y = _along(shoe, edge, 0.75 * reach)
            given = shoe.stiffener.reach_mm(edge) if shoe.stiffener else None
            name = shoe.stiffener.reach(edge) if shoe.stiffener else ""
            words = f"{edge.value} reach {name} " + (mm(given) if given else "(mm not said)")
            yield Call("stiffener", (y - sign * 3, x), words, Zone.BESIDE)
        high = insole and (insole.turn_up_medial_mm if edge == Edge.MEDIAL else insole.turn_up_lateral_mm)
        if high:
            start, end = turn_up_zone(shoe)
            x, y = _place_at(shoe, edge, 0.35 * start + 0.65 * end)
            yield Call("insole", (y - sign * 7, x), f"turned up {edge.value} {mm(high)}", Zone.BESIDE)
    if long := puff_length(shoe):
        _, y = _place_at(shoe, Edge.MEDIAL, length - 0.5 * long)
        given = shoe.toe_puff.length_mm if shoe.toe_puff else None
        words = "toe puff " + (mm(given) if given else "(mm not said)")
        yield Call("toe_puff", (0.75 * y, length - 0.5 * long), words, Zone.BESIDE)
    if shoe.toe_prop:
        prop, (start, end) = shoe.toe_prop, toe_prop_zone(shoe)
        toes = f"toe{'s' if prop.first_toe < prop.last_toe else ''} {prop.toes}"
        words = f"toe prop under {toes} {mm(prop.height_mm)} {prop.material}".rstrip()
        yield Call("toe_prop", (float(_toe_prop(shoe)[:, 1].min()) + 3, (start + end) / 2), words, Zone.BESIDE)
    if (sock := sock_end(shoe)) and sock < length:
        _, lateral = _place_at(shoe, Edge.LATERAL, sock)
        yield Call("insole", (lateral + 8, sock), "sock ends", Zone.BESIDE)
    yield from _calls_of_zones(shoe)
    yield from _calls_of_the_bottom(shoe)


def _calls_of_zones(shoe: Shoe) -> Iterator[Call]:
    form, insole, length = shoe.form, shoe.insole, shoe.form.length_mm
    start, end = scoured_zone(shoe)
    fore = [each for each in shoe.cushions if each.place == "forepart"]
    if (insole and insole.scoured_to_mm) or fore:
        scoured = f"scoured to {insole.scoured_to_mm:g} mm" if insole and insole.scoured_to_mm else ""
        cushions = (f"cushion {mm(each.thickness_mm)} {each.material}".rstrip() for each in fore)
        at = (-0.22 * form.joint_width_mm, 0.4 * start + 0.6 * end)
        yield Call("cushions" if fore else "insole", at, said(scoured, *cushions), Zone.BESIDE)
    for cushion in shoe.cushions:
        if cushion.place != "forepart":
            at = (-0.25 * form.heel_width_mm, (0.14 if cushion.place == "heel" else 0.4) * length)
            name = "heel cushion" if cushion.place == "heel" else "full-length cushion"
            yield Call("cushions", at, f"{name} {mm(cushion.thickness_mm)} {cushion.material}".rstrip(), Zone.BESIDE)
    for support in shoe.metatarsal_supports:
        first, last = support_ends(support, _joint_middle(shoe))
        from_where = "crest" if support.kind == "bar" else "front"
        words = f"{support.kind} {mm(support.height_mm)} high, {from_where} {figure(support.behind_joint_line_mm)} behind the joint"
        yield Call("metatarsal_supports", (-0.4 * _across(shoe, support), (first + last) / 2), words, Zone.BESIDE)
    for edge, place, degrees in posted(shoe):
        start_at, end_at = POSTED_FROM_TO[place]
        sign = 1 if edge == Edge.MEDIAL else -1
        at = (sign * 0.2 * form.heel_width_mm, (start_at + end_at) / 2 * length)
        yield Call("insole", at, f"posting {place} {edge.value} {degrees:g}°", Zone.BESIDE)


def _calls_of_the_bottom(shoe: Shoe) -> Iterator[Call]:
    form, shank, carbon, length = shoe.form, shoe.shank, shoe.carbon_zone, shoe.form.length_mm
    if shank:
        rear, front = shank_ends(shoe)
        apart = (shank.apart_mm or SHANKS_APART_MM) * (shank.count - 1) / 2
        number = "shank" if shank.count == 1 else f"{shank.count:g} shanks"
        words = f"{number} {shank.material} {shank.width_mm:g} × {shank.thickness_mm:g}, ends {figure(shank.front_end_behind_joint_mm)} behind the joint"
        yield Call("shank", (-apart - shank.width_mm / 2 + 2, 0.55 * rear + 0.45 * front), words, Zone.BESIDE)
    if carbon:
        words = said(f"carbon {carbon.plies:g} plies", f"from {carbon.starts}" if carbon.starts else "")
        words = said(words, f"ends {figure(carbon.ends_before_toe_mm)} before the toe")
        yield Call("carbon_zone", (0.25 * form.joint_width_mm, 0.78 * length), words, Zone.BESIDE)
    if shoe.insole and shoe.insole.rear_doubled_mm:
        yield Call(
            "insole",
            (-0.3 * form.heel_width_mm, 0.24 * length),
            f"rear doubled + {mm(shoe.insole.rear_doubled_mm)}",
            Zone.BESIDE,
        )
    if shoe.rocker:
        medial = _apex(shoe)[0]
        words = "apex line" + (f" {shoe.rocker.apex_angle_deg:g}°" if shoe.rocker.apex_angle_deg else "")
        yield Call("rocker", (float(medial[1]), float(medial[0])), words, Zone.BESIDE)
    lateral = form.outline.lateral_joint
    yield Call("", (lateral[1], lateral[0]), "joint line", Zone.BESIDE)
    for wedge in shoe.wedges:
        start, end = WEDGE_FROM_TO[wedge.place]
        sign = 1 if wedge.edge == Edge.MEDIAL else -1
        at = (sign * 0.25 * form.heel_width_mm, (start + end) / 2 * length)
        yield Call("wedges", at, f"{wedge.place} wedge {wedge.edge} {mm(wedge.height_mm)}", Zone.BESIDE)
    for flare in shoe.flares:
        edge = Edge(flare.edge)
        _, y = _place_at(shoe, edge, 0.12 * length)
        beyond = flare.width_mm / 2 * (1 if edge == Edge.MEDIAL else -1)
        yield Call("flares", (y + beyond, 0.12 * length), f"flare {flare.edge} {mm(flare.width_mm)}", Zone.BESIDE)


def posted(shoe: Shoe) -> list[tuple[Edge, str, float]]:
    """Where the insole is posted, and by how many degrees."""
    insole = shoe.insole
    if insole is None:
        return []
    given = (
        (Edge.MEDIAL, "rear", insole.posting_rear_medial_deg),
        (Edge.LATERAL, "rear", insole.posting_rear_lateral_deg),
        (Edge.MEDIAL, "fore", insole.posting_fore_medial_deg),
        (Edge.LATERAL, "fore", insole.posting_fore_lateral_deg),
    )
    return [(edge, place, degrees) for edge, place, degrees in given if degrees]


def _joint_middle(shoe: Shoe) -> float:
    return (shoe.form.heel_to_joint_mm + shoe.form.heel_to_fifth_mm) / 2


def _inside(shoe: Shoe, rim: float) -> shapely.Geometry:
    return _rimmed(shoe.form.plan_shape, rim)


@lru_cache(maxsize=512)
def _rimmed(shape: PlanShape, rim: float) -> shapely.Geometry:
    return outline_once(shape).polygon.simplify(0.1).buffer(-rim, quad_segs=4)


def _cut(polygon: shapely.Geometry, start: float, end: float) -> Points:
    """The largest piece of a polygon between two places along the foot."""
    piece = shapely.clip_by_rect(polygon, start, -500, end, 500)
    parts = [each for each in getattr(piece, "geoms", [piece]) if each.geom_type == "Polygon" and not each.is_empty]
    if not parts:
        return box((start, start), (0, 0))
    return np.asarray(max(parts, key=lambda each: float(each.area)).exterior.coords)[:-1]


def _along(shoe: Shoe, edge: Edge, way: float) -> tuple[float, float]:
    line = edge_of_outline(shoe, edge)
    gone = _gone(line)
    return float(np.interp(way, gone, line[:, 0])), float(np.interp(way, gone, line[:, 1]))


def _place_at(shoe: Shoe, edge: Edge, x: float) -> tuple[float, float]:
    """The place on an edge that lies so far forward."""
    line = edge_of_outline(shoe, edge)
    ahead = line[:, 0]
    at = int(np.argmin(np.abs(ahead - x)))
    return x, float(line[at, 1])


def _gone(line: Points) -> Points:
    way: Points = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    return way


def _edge_band(shoe: Shoe, edge: Edge, start: float, end: float, *, broad: float) -> Points:
    """A band along the feather edge between two ways from centre back; a negative breadth lies outside the edge.

    The first half of the points lies on the edge, the second, backwards, on the other side of the band.
    """
    line = edge_of_outline(shoe, edge)
    gone = _gone(line)
    ways = np.unique(np.concatenate([gone[(gone > start) & (gone < end)], [start, end]]))
    on_edge = np.column_stack([np.interp(ways, gone, line[:, axis]) for axis in (0, 1)])
    course = np.gradient(on_edge, axis=0)
    course /= np.maximum(np.hypot(*course.T), 1e-9)[:, None]
    inward = course[:, ::-1] * ([1, -1] if edge == Edge.MEDIAL else [-1, 1])
    return np.concatenate([on_edge, (on_edge + broad * inward)[::-1]])


def _half_zone(shoe: Shoe, edge: Edge, part: tuple[float, float], *, inside: float = 0.0) -> Points:
    """The half of heel or forepart on one side of the axis."""
    length = shoe.form.length_mm
    half = (0, 500) if edge == Edge.MEDIAL else (-500, 0)
    polygon = _inside(shoe, inside) if inside else shoe.form.outline.polygon
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
