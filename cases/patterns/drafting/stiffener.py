"""The stiffener's piece: a band along the feather edge, laid flat as a cone, with its margin, skives and reliefs.

Lengths in mm. Reaches, heights and reliefs are those that the shoe's drawing shows. How much tighter the topline is than
the feather edge no measure says: heel girths run over the instep. It is a workshop setting, from memory, taken 50 mm up
and in proportion at other heights.
"""

from collections.abc import Iterator

import numpy as np
import shapely

from cases.patterns.drafting.figures import PatternFigures
from cases.patterns.drafting.heel_band import HeelBand, heel_band, is_alike
from cases.patterns.drafting.heel_reliefs import LaidRelief, laid_reliefs, without
from cases.patterns.drafting.pieces import Handle, Line, LineKind, MedialEdge, Piece, Points
from cases.patterns.drafting.rings import check_one_piece, nearest_of, ring_of
from cases.patterns.drafting.skives import Skive, marked_within, mean_thickness_mm, skive_lines
from cases.prescriptions.cut_away.shell import (
    FRONT_HEIGHT_MM,
    ankle_height,
    back_height,
    malleolus_ahead,
)
from cases.prescriptions.cut_away.stack import lifted_at
from cases.prescriptions.shoe import Shoe
from shared.sides import SIDES, Edge

BELLY = "vegetable-tanned belly"
MARGIN_LEFT_MM = 1.0
"""What the skive of the margin leaves at its edge: common practice, no source."""
SYMMETRIC_WITHIN_MM = 0.05
POCKET_MM = 15.0
"""Half of what a malleolus needs across. From memory."""
GRAIN_AT, GRAIN_FREE_MM, GRAIN_LEAST_MM = (0.45, 0.65, 0.3), 3.0, 30.0
"""Of a side's reach: where the direction of the grain is marked; how far from the cut line, and how long if it can be."""
CRUMB_MM2 = 4.0
"""A smaller part of a field is not marked."""
JOINTS = {Edge.MEDIAL: "1st joint", Edge.LATERAL: "5th joint"}
HIGH_MM = 500.0
"""Higher than any piece: lines over the whole height are cut off at its edge."""


def stiffener(shoe: Shoe, figures: PatternFigures) -> Piece | None:
    """The piece of a shoe's stiffener; None where it has none. Raises `BadInput` where no plain piece comes out."""
    band = heel_band(shoe, figures)
    if band is None or shoe.stiffener is None:
        return None
    body, reliefs = cut(band)
    handles = _handles(band)
    outline = ring_of(body, through=[each.at for each in handles])
    skives = tuple(_skives(band, body, reliefs, figures))
    sheet_mm = shoe.stiffener.thinned_to_mm or shoe.stiffener.thickness_mm
    thinned = shoe.stiffener.thinned_to_mm
    return Piece(
        key="stiffener",
        part="stiffener",
        name="Stiffener",
        serves=SIDES if is_alike(shoe) else (shoe.side,),
        material=shoe.stiffener.material or BELLY,
        thickness_mm=shoe.stiffener.thickness_mm or thinned,
        split_to_mm=thinned if thinned and thinned < (shoe.stiffener.thickness_mm or thinned) else None,
        outline=outline,
        holes=tuple(ring_of(shapely.Polygon(hole)) for hole in body.interiors),
        lines=(*_lines(band, body, reliefs, figures), *skive_lines(body, skives)),
        medial_edge=_medial_edge(band, body),
        handles=tuple(Handle(each.key, each.words, nearest_of(outline, each.at)) for each in handles),
        words=tuple(_words(band, body, reliefs, figures)),
        facts=tuple(_facts(band)),
        mean_thickness_mm=mean_thickness_mm(body, skives, thickness_mm=sheet_mm),
    )


def cut(band: HeelBand) -> tuple[shapely.Polygon, tuple[LaidRelief, ...]]:
    """The leather of a band without what is cut out of it, and all its reliefs. Raises `BadInput`."""
    whole = check_one_piece("stiffener", shapely.Polygon(band.outline), because="a band that crosses itself")
    reliefs = laid_reliefs(band)
    return without(whole, reliefs), reliefs


def is_symmetric(piece: Piece) -> bool:
    """Whether a piece equals its own mirror, holes and all, within a twentieth of a mm."""
    mirror = shapely.transform(piece.polygon, lambda points: points * np.array([-1.0, 1.0]))
    return bool(piece.polygon.boundary.hausdorff_distance(mirror.boundary) <= SYMMETRIC_WITHIN_MM)


def _skives(
    band: HeelBand, body: shapely.Polygon, reliefs: tuple[LaidRelief, ...], figures: PatternFigures
) -> Iterator[Skive]:
    for edge in Edge:
        is_long = band.shoe.stiffener is not None and band.shoe.stiffener.reach(edge) == "long"
        width = figures.stiffener_skive_long_ends_mm if is_long else figures.stiffener_skive_ends_mm
        yield Skive(shapely.LineString(band.end(edge)), width, f"{width:g} mm to nothing")
    top, margin = figures.stiffener_skive_top_mm, figures.stiffener_skive_margin_mm
    yield Skive(shapely.LineString(band.top), top, f"{top:g} mm to nothing")
    below = shapely.LineString(band.parallel(-band.margin_mm))
    yield Skive(below, margin, f"{margin:g} mm to {MARGIN_LEFT_MM:g} mm", leaves_mm=MARGIN_LEFT_MM)
    width = figures.stiffener_relief_skive_mm
    for relief in reliefs:
        if not relief.field.intersects(body.convex_hull):
            continue
        left = 0.0 if relief.is_cut_out else _thinned_to(relief, figures)
        to = "nothing" if relief.is_cut_out else f"{left:g} mm"
        yield Skive(relief.field, width, f"{width:g} mm to {to}, round the relief", leaves_mm=left)


def _thinned_to(relief: LaidRelief, figures: PatternFigures) -> float:
    return relief.relief.thinned_to_mm or figures.stiffener_relief_thickness_mm


def _lines(
    band: HeelBand, body: shapely.Polygon, reliefs: tuple[LaidRelief, ...], figures: PatternFigures
) -> Iterator[Line]:
    def marked(kind: LineKind, points: Points, words: str = "") -> Iterator[Line]:
        return (Line(kind, each, words=words) for each in marked_within(shapely.LineString(points), body))

    yield from marked(LineKind.FEATHER, band.parallel(0.0), f"lasting margin {band.margin_mm:g} mm below")
    yield from marked(LineKind.CENTRE_BACK, band.at(0.0, low=-band.margin_mm, high=back_height(band.shoe)))
    for half in band.halves:
        joint = half.joint_along_mm
        if joint is not None and joint < half.reach_mm:
            yield from marked(
                LineKind.JOINT, band.at(half.sign * joint, low=-band.margin_mm, high=HIGH_MM), JOINTS[half.edge]
            )
    for relief in reliefs:
        if not relief.is_cut_out:
            words = f"{relief.words}, to {_thinned_to(relief, figures):g} mm"
            yield from _fields(LineKind.THIN, relief.field, body, words)
    yield from _pockets(band, body, figures)
    yield from _grain(band, body, reliefs)


def _fields(kind: LineKind, field: shapely.Polygon, body: shapely.Polygon, words: str) -> Iterator[Line]:
    """A field as far as it lies on the leather."""
    for part in shapely.get_parts(field.intersection(body)):
        if part.geom_type == "Polygon" and part.area > CRUMB_MM2:
            yield Line(kind, ring_of(part), closed=True, words=words)


def _pockets(band: HeelBand, body: shapely.Polygon, figures: PatternFigures) -> Iterator[Line]:
    """Where an ankle-high side lies over a malleolus."""
    form = band.shoe.form
    for half in band.halves:
        high = form.medial_malleolus_mm if half.edge == Edge.MEDIAL else form.lateral_malleolus_mm
        if ankle_height(band.shoe, half.edge) is None or high is None:
            continue
        along = half.sign * half.along_at(malleolus_ahead(band.shoe, half.end_x))
        middle = high + lifted_at(band.shoe, malleolus_ahead(band.shoe, half.end_x))
        pocket = shapely.Point(band.place(along, middle)).buffer(POCKET_MM, quad_segs=8)
        words = f"{half.edge} malleolus: pocket {figures.stiffener_malleolus_relief_mm:g} mm deep"
        yield from _fields(LineKind.PLACE, pocket, body, words)


def _grain(band: HeelBand, body: shapely.Polygon, reliefs: tuple[LaidRelief, ...]) -> Iterator[Line]:
    """Up the leather between centre back and an end, the longer side first: free of the reliefs where there is room."""
    if "plastic" in (band.shoe.stiffener.material if band.shoe.stiffener else "").casefold():
        return
    free = shapely.difference(body.buffer(-GRAIN_FREE_MM), shapely.union_all([each.field for each in reliefs]))
    found = []
    for half in sorted(band.halves, key=lambda each: -each.reach_mm):
        for part in GRAIN_AT:
            up = band.at(half.sign * part * half.reach_mm, low=-band.margin_mm, high=HIGH_MM)
            found += list(marked_within(shapely.LineString(up), free))
    lengths = [float(np.hypot(*(points[-1] - points[0]))) for points in found]
    if not found:
        return
    long_enough = (number for number, length in enumerate(lengths) if length >= GRAIN_LEAST_MM)
    points = found[next(long_enough, int(np.argmax(lengths)))]
    upwards = points if points[0, 1] < points[-1, 1] else points[::-1]
    yield Line(LineKind.GRAIN, upwards, words="outward, running up the height (from memory)")


def _medial_edge(band: HeelBand, body: shapely.Polygon) -> MedialEdge:
    """Midway up the straight part of the medial end, or where the cut line comes nearest to that."""
    end = band.end(Edge.MEDIAL)
    ring = body.exterior
    middle = shapely.get_coordinates(ring.interpolate(ring.project(shapely.Point((end[0] + end[-1]) / 2))))[0]
    up = (end[0] - end[-1]) / np.hypot(*(end[0] - end[-1]))
    return MedialEdge(at=(float(middle[0]), float(middle[1])), inwards=(-float(up[1]), float(up[0])))


def _handles(band: HeelBand) -> Iterator[Handle] | tuple[Handle, ...]:
    found = [Handle("centre_back_top", "centre back, top", band.place(0.0, back_height(band.shoe)))]
    for half in band.halves:
        key, words = half.edge.value, half.edge.label
        top = half.top[len(half.top) // 2]
        found.append(Handle(f"{key}_end", f"{words} end", band.place(half.sign * half.reach_mm, 0.0)))
        found.append(Handle(f"{key}_top", f"{words} topline", band.place(float(top[0]), float(top[1]))))
    return tuple(found)


def _facts(band: HeelBand) -> Iterator[tuple[str, float]]:
    for edge in Edge:
        yield f"{edge} reach", band.reach_mm(edge)
    yield "back height", back_height(band.shoe)
    front = band.shoe.stiffener.front_height_mm if band.shoe.stiffener else None
    yield "front height", front or FRONT_HEIGHT_MM
    yield "lasting margin", band.margin_mm


def _words(
    band: HeelBand, body: shapely.Polygon, reliefs: tuple[LaidRelief, ...], figures: PatternFigures
) -> Iterator[str]:
    shoe = band.shoe
    yield (
        f"topline {band.topline_part:g} of the feather edge 50 mm up: workshop setting, from memory; "
        "no girth of the heel says it"
    )
    for edge in Edge:
        yield from _end_words(band, edge)
    for edge in Edge:
        high = ankle_height(shoe, edge) if band.half(edge) else None
        if high is not None:
            yield f"{edge} side ankle-high: {high:.0f} mm up the leather from the feather edge"
    for relief in reliefs:
        if not relief.field.intersects(body.convex_hull):
            yield f"{relief.words}: lies off this stiffener"
        elif relief.is_cut_out:
            yield f"{relief.words}: bridge the opening with soft leather, 1 mm (from memory)"
    lift = shoe.height_raise.in_shoe_heel_mm if shoe.height_raise else None
    if lift and reliefs:
        yield (
            f"raise in the shoe {lift:g} mm: the heel stands so much higher, and a relief said from its seat is laid so; "
            "offer it to the bump first"
        )


def _end_words(band: HeelBand, edge: Edge) -> Iterator[str]:
    half = band.half(edge)
    if half is None:
        yield f"none on the {edge} side: it ends at centre back"
        return
    joint = half.joint_along_mm
    if joint is None:
        yield f"{edge} end: this last has no joint to end behind"
    elif joint < half.reach_mm:
        yield f"{edge} end lies {half.reach_mm - joint:.0f} mm ahead of the {JOINTS[edge]}: it will crease there"
    else:
        yield f"{edge} end lies {joint - half.reach_mm:.0f} mm behind the {JOINTS[edge]}, along the feather edge"
