"""The shoe from above, toes up, as the wearer looks down: reaches along the feather edge, zones, shanks, carbon."""

from collections.abc import Iterator

import numpy as np
import shapely

from cases.prescriptions.cut_away.sheet import MARGIN_MM, Measure, Page, Points, Shape, View, Word, along_edge, box, mm
from cases.prescriptions.cut_away.shell import edge_of_outline, ellipse, reach_of
from cases.prescriptions.cut_away.side import scoured_zone
from cases.prescriptions.shoe import Shoe
from shared.sides import Edge, Side

STIFFENER_BAND_MM = 6.0
"""How broad the stiffener's edge is drawn."""


def view_from_above(shoe: Shoe) -> View:
    """The plan of a shoe on the outline of its form."""
    form = shoe.form
    half = float(np.abs(form.outline.points[:, 1]).max()) + _widest_flare(shoe)
    width, height = float(np.ceil(2 * (half + MARGIN_MM))), float(np.ceil(form.length_mm + 2 * MARGIN_MM + 8))
    page = _PlanPage(shoe.side, width, height)
    medial_right = shoe.side is Side.LEFT
    title = f"{shoe.side.label}, from above"
    return View(
        title=title,
        width=width,
        height=height,
        shapes=tuple(_shapes(shoe, page)),
        measures=tuple(_measures(shoe, page)),
        words=(
            Word(width / 2, height - 3, title),
            Word(width - 2 if medial_right else 2, 9, "MEDIAL", "end" if medial_right else "start"),
            Word(2 if medial_right else width - 2, 9, "LATERAL", "start" if medial_right else "end"),
        ),
    )


class _PlanPage(Page):
    """x forward goes up the page; y towards medial goes right for LEFT and left for RIGHT."""

    def __init__(self, side: Side, width: float, height: float) -> None:
        super().__init__(
            width=width,
            height=height,
            zero_u=width / 2,
            zero_v=height - MARGIN_MM - 8,
            is_mirrored=side is Side.RIGHT,
        )

    def at(self, u: float, v: float) -> tuple[float, float]:
        return super().at(v, u)


def _shapes(shoe: Shoe, page: Page) -> Iterator[Shape]:
    outline = shoe.form.outline
    for flare in shoe.flares:
        yield Shape(
            "flare", page.path(_flared(shoe, flare.edge, flare.width_mm)), f"flare {flare.edge} {mm(flare.width_mm)}"
        )
    yield Shape("form", page.path(outline.points), "")
    yield from _zones(shoe, page)
    for edge in Edge:
        reach = reach_of(shoe, edge)
        if reach > 0 and shoe.stiffener:
            words = f"stiffener {edge.value} {shoe.stiffener.reach(edge)} {mm(reach)}"
            yield Shape("stiffener", page.path(_edge_band(shoe, edge, reach)), words)
    yield from _under_the_insole(shoe, page)
    for wedge in shoe.wedges:
        yield Shape(
            "wedge",
            page.path(_wedge(shoe, wedge.place, wedge.edge)),
            f"{wedge.place} wedge {wedge.edge} {mm(wedge.height_mm)}",
        )


def _zones(shoe: Shoe, page: Page) -> Iterator[Shape]:
    form, puff, insole = shoe.form, shoe.toe_puff, shoe.insole
    if puff and puff.kind != "none":
        zone = _cut(form.outline.polygon, form.length_mm - (puff.length_mm or 0.2 * form.length_mm), form.length_mm)
        yield Shape(
            "puff", page.path(zone), f"toe puff {puff.kind}" + (f" {mm(puff.length_mm)}" if puff.length_mm else "")
        )
    if insole and insole.scoured_to_mm:
        rim = insole.scoured_rim_mm if insole.scoured_rim_mm is not None else 11.0
        zone = _cut(form.outline.polygon.buffer(-rim), *scoured_zone(shoe))
        fore = [each for each in shoe.cushions if each.place == "forepart"]
        words = f"scoured to {insole.scoured_to_mm:g} mm" + "".join(
            f", cushion {mm(each.thickness_mm)}" for each in fore
        )
        yield Shape("cushion", page.path(zone), words)
    for cushion in shoe.cushions:
        if cushion.place == "heel":
            middle = 0.14 * form.length_mm
            yield Shape(
                "cushion",
                page.path(ellipse(middle, 0, 30, min(30.0, 0.42 * form.heel_width_mm))),
                f"cushion heel {mm(cushion.thickness_mm)}",
            )
    for support in shoe.metatarsal_supports:
        long = support.long_mm or (15.0 if support.kind == "bar" else 55.0)
        across = support.across_mm or (0.8 * form.joint_width_mm if support.kind == "bar" else 40.0)
        middle = _joint_middle(shoe) - support.behind_joint_line_mm - (0 if support.kind == "bar" else long / 2)
        yield Shape(
            "support",
            page.path(ellipse(middle, 0, long / 2, across / 2)),
            f"{support.kind} {mm(support.height_mm)} high",
        )


def _under_the_insole(shoe: Shoe, page: Page) -> Iterator[Shape]:
    form, shank, carbon = shoe.form, shoe.shank, shoe.carbon_zone
    if carbon:
        zone = _cut(
            form.outline.polygon.buffer(-9.0), 0.24 * form.length_mm, form.length_mm - carbon.ends_before_toe_mm
        )
        yield Shape("carbon", page.path(zone), f"carbon {carbon.plies:g} plies")
    if shank:
        start, end = shank.rear_end_in_seat_mm or 25.0, form.heel_to_joint_mm - shank.front_end_behind_joint_mm
        apart = shank.apart_mm or 22.0
        for place in range(int(shank.count)):
            middle = (place - (shank.count - 1) / 2) * apart
            across = (middle - shank.width_mm / 2, middle + shank.width_mm / 2)
            yield Shape("shank", page.path(box((start, end), across)), f"shank {shank.material}")


def _measures(shoe: Shoe, page: Page) -> Iterator[Measure]:
    outline = shoe.form.outline
    yield page.measure(outline.medial_joint, outline.lateral_joint, "joint line")
    if shoe.rocker:
        apex = shoe.rocker.apex_percent / 100 * shoe.form.length_mm
        skew = np.tan(np.radians((shoe.rocker.apex_angle_deg or 90.0) - 90)) * shoe.form.joint_width_mm / 2
        half = shoe.form.joint_width_mm / 2
        # An apex line over 90 degrees lies further forward on the medial edge.
        yield page.measure((apex + skew, half), (apex - skew, -half), "apex")


def _joint_middle(shoe: Shoe) -> float:
    return (shoe.form.heel_to_joint_mm + shoe.form.heel_to_fifth_mm) / 2


def _cut(polygon: shapely.Geometry, start: float, end: float) -> Points:
    """The largest piece of a polygon between two places along the foot."""
    piece = polygon.intersection(shapely.box(start, -500, end, 500))
    parts = [each for each in getattr(piece, "geoms", [piece]) if each.geom_type == "Polygon" and not each.is_empty]
    if not parts:
        return box((start, start), (0, 0))
    return np.asarray(max(parts, key=lambda each: float(each.area)).exterior.coords)[:-1]


def _edge_band(shoe: Shoe, edge: Edge, reach: float) -> Points:
    """A band along the feather edge from centre back to the end of a reach."""
    line = edge_of_outline(shoe, edge)
    end = along_edge(line, reach)
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    outer = np.concatenate([line[gone < reach], [end]])
    sign = 1 if edge == Edge.MEDIAL else -1
    outer = outer * [1, sign]
    inner = shapely.LineString(outer).parallel_offset(STIFFENER_BAND_MM, "right" if edge == Edge.MEDIAL else "left")
    inward = np.asarray(inner.coords) if inner.geom_type == "LineString" and not inner.is_empty else outer[:1]
    if np.hypot(*(inward[0] - outer[0])) < np.hypot(*(inward[-1] - outer[0])):
        inward = inward[::-1]
    return np.concatenate([outer, inward])


def _wedge(shoe: Shoe, place: str, edge: str) -> Points:
    """The half of heel or forepart under which a wedge stands highest."""
    start, end = (0.0, 0.25) if place == "heel" else (0.60, 0.95)
    half = shapely.box(0, 0, 500, 500) if edge == Edge.MEDIAL else shapely.box(0, -500, 500, 0)
    length = shoe.form.length_mm
    return _cut(shoe.form.outline.polygon.intersection(half), start * length, end * length)


def _flared(shoe: Shoe, edge: str, width_mm: float) -> Points:
    """The outline with one side of the sole standing out."""
    points = shoe.form.outline.points.copy()
    is_medial = edge == Edge.MEDIAL
    on_side = points[:, 1] > 0 if is_medial else points[:, 1] < 0
    points[on_side, 1] += width_mm if is_medial else -width_mm
    return points


def _widest_flare(shoe: Shoe) -> float:
    return max((flare.width_mm for flare in shoe.flares), default=0.0)
