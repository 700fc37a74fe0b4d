"""The toe puff's piece: over the toes, or a wall round them. A steel cap is bought, not cut.

Lengths in mm. How long it is and how high a wall stands is what the shoe's drawing shows. All pieces lie with the toe
upwards, grain side seen.
"""

from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from cases.patterns.drafting.figures import PatternFigures
from cases.patterns.drafting.pieces import Handle, Line, LineKind, MedialEdge, Piece, Points
from cases.patterns.drafting.rings import check_one_piece, nearest_of, ring_of
from cases.patterns.drafting.skives import Skive, marked_within, mean_thickness_mm, skive_lines
from cases.patterns.drafting.toe_flat import FlatToe, WallBand, toes_laid_flat, wall_band
from cases.prescriptions.cut_away.shell import puff_length
from cases.prescriptions.shoe import Shoe, ToePuff
from shared.calculations import check_within
from shared.sides import Edge

BELLY = "vegetable-tanned belly"
BOUGHT = "steel"
LEAST_LENGTH_MM, MOST_OF_LENGTH = 15.0, 0.5
GRAIN_WORDS = "outward, running heel to toe (from memory)"
NICK_AT = 0.3
"""Of the way from the back edge to the tip: where the nicks of the medial edge lie."""


def toe_puff(shoe: Shoe, figures: PatternFigures) -> Piece | None:
    """The piece of a shoe's toe puff; None where none is cut. Raises `BadInput` where no plain piece comes out."""
    puff, long = shoe.toe_puff, puff_length(shoe)
    if puff is None or puff.kind == BOUGHT or not long:
        return None
    check_within("toe puff length", long, LEAST_LENGTH_MM, MOST_OF_LENGTH * shoe.form.length_mm)
    if puff.kind == "wall":
        return _wall(shoe, puff, wall_band(shoe, figures), figures)
    return _over_the_toes(shoe, puff, toes_laid_flat(shoe), figures)


def not_cut(shoe: Shoe) -> str:
    """What to say where a puff is prescribed that is bought and not cut; empty otherwise."""
    if shoe.toe_puff is None or shoe.toe_puff.kind != BOUGHT:
        return ""
    return "steel toe cap: bought, no piece to cut; not certified protection"


def cut_over(flat: FlatToe, *, margin_mm: float) -> shapely.Polygon:
    """The leather over the toes with its margin, cut straight at the back. Raises `BadInput`."""
    whole = shapely.Polygon(flat.drawn_out).buffer(margin_mm, quad_segs=16)
    low, _, high, far = whole.bounds
    body = whole.intersection(shapely.box(low - 1, 0.0, high + 1, far + 1))
    return check_one_piece("toe puff", body, because="a piece that crosses itself")


def cut_wall(band: WallBand) -> shapely.Polygon:
    """The leather of a wall. Raises `BadInput`."""
    return check_one_piece("toe puff", shapely.Polygon(band.outline), because="a wall that crosses itself")


def _over_the_toes(shoe: Shoe, puff: ToePuff, flat: FlatToe, figures: PatternFigures) -> Piece:
    margin, skive = figures.puff_margin_mm, figures.puff_skive_mm
    body = cut_over(flat, margin_mm=margin)
    low, _, high, _ = body.bounds
    skives = (Skive(shapely.LineString([(low - 1, 0.0), (high + 1, 0.0)]), skive, f"{skive:g} mm to nothing"),)
    nicked = NICK_AT * flat.over_mm
    return _piece(
        shoe,
        puff,
        body,
        skives=skives,
        lines=tuple(_lines_over(flat, body, margin_mm=margin)),
        medial_edge=MedialEdge(at=(_across(body, nicked)[1], nicked), inwards=(-1.0, 0.0)),
        handles=_handles_over(flat, body, margin_mm=margin),
        words=_joint_words(shoe, figures),
        facts=(
            ("length on the last", puff_length(shoe)),
            ("over the toe, back edge to feather edge", flat.over_mm),
            ("back edge, feather edge to feather edge", float(flat.medial[0, 0] - flat.lateral[0, 0])),
            ("lasting margin", margin),
        ),
    )


def _beyond_the_tip(flat: FlatToe, margin_mm: float) -> Points:
    tip = flat.medial[-1]
    beyond: Points = tip * (1 + margin_mm / np.hypot(*tip))
    return beyond


def _lines_over(flat: FlatToe, body: shapely.Polygon, *, margin_mm: float) -> Iterator[Line]:
    yield from _marked(LineKind.FEATHER, flat.feather, body, f"lasting margin {margin_mm:g} mm beyond")
    yield from _marked(LineKind.CENTRE, np.array([(0.0, 0.0), _beyond_the_tip(flat, margin_mm)]), body)
    beside = 0.4 * float(flat.medial[0, 0])
    within = shapely.Polygon(flat.feather).buffer(-3)
    yield from _marked(LineKind.GRAIN, np.array([(beside, 3.0), (beside, flat.over_mm)]), within, GRAIN_WORDS)


def _handles_over(flat: FlatToe, body: shapely.Polygon, *, margin_mm: float) -> list[Handle]:
    places = (("back", "end of the back edge", 0.0), ("side", "side", NICK_AT * flat.over_mm))
    return [
        Handle("tip", "toe tip", _place(_beyond_the_tip(flat, margin_mm))),
        Handle("back_centre", "middle of the back edge", (0.0, 0.0)),
        *(
            Handle(f"{edge}_{key}", f"{edge.label} {words}", (at, v))
            for key, words, v in places
            for edge, at in zip((Edge.LATERAL, Edge.MEDIAL), _across(body, v), strict=True)
        ),
    ]


def _wall(shoe: Shoe, puff: ToePuff, band: WallBand, figures: PatternFigures) -> Piece:
    ends, fade = figures.puff_skive_mm, band.fade_mm
    body = cut_wall(band)
    skives = (
        Skive(shapely.LineString(band.top), fade, f"{fade:g} mm to nothing: soft from here"),
        *(Skive(shapely.LineString(band.end(edge)), ends, f"{ends:g} mm to nothing") for edge in Edge),
    )
    end = band.end(Edge.MEDIAL)
    up = (end[0] - end[-1]) / np.hypot(*(end[0] - end[-1]))
    return _piece(
        shoe,
        puff,
        body,
        skives=skives,
        lines=tuple(_lines_of_wall(band, body)),
        medial_edge=MedialEdge(at=_place((end[0] + end[-1]) / 2), inwards=(float(up[1]), -float(up[0]))),
        handles=_handles_of_wall(band),
        words=(
            f"stiff up to {band.wall_mm:g} mm over the feather edge, then to nothing over {fade:g} mm; soft roof",
            "laid flat to lie close at the wall's full height: what fades above it gathers",
            *_joint_words(shoe, figures),
        ),
        facts=(
            ("length on the last", puff_length(shoe)),
            ("round the toe, along the feather edge", band.feather_mm),
            ("wall height", band.wall_mm),
            ("lasting margin", band.margin_mm),
        ),
    )


def _lines_of_wall(band: WallBand, body: shapely.Polygon) -> Iterator[Line]:
    yield from _marked(LineKind.FEATHER, band.parallel(0.0), body, f"lasting margin {band.margin_mm:g} mm beyond")
    yield from _marked(LineKind.CENTRE, band.at(0.0, low=-band.margin_mm, high=band.high_mm), body)
    up = band.at(0.3 * band.medial_mm, low=3 - band.margin_mm, high=band.high_mm - 3)
    yield from _marked(LineKind.GRAIN, up, body, "outward, running up the wall (from memory)")


def _handles_of_wall(band: WallBand) -> list[Handle]:
    return [
        Handle("tip", "toe tip", _place(band.laid(0.0, -band.margin_mm))),
        Handle("top_centre", "middle of the upper edge", _place(band.laid(0.0, band.high_mm))),
        *(
            Handle(f"{edge}_end", f"{edge.label} end", _place(band.end(edge)[1]))
            for edge in (Edge.LATERAL, Edge.MEDIAL)
        ),
    ]


def _piece(
    shoe: Shoe,
    puff: ToePuff,
    body: shapely.Polygon,
    *,
    skives: tuple[Skive, ...],
    lines: tuple[Line, ...],
    medial_edge: MedialEdge,
    handles: list[Handle],
    words: tuple[str, ...],
    facts: tuple[tuple[str, float], ...],
) -> Piece:
    outline = ring_of(body, through=[each.at for each in handles])
    return Piece(
        key="toe_puff",
        part="toe_puff",
        name=f"Toe puff, {puff.kind}",
        serves=(shoe.side,),
        material=puff.material or BELLY,
        thickness_mm=puff.thickness_mm,
        outline=outline,
        lines=(*lines, *skive_lines(body, skives)),
        medial_edge=medial_edge,
        handles=tuple(Handle(each.key, each.words, nearest_of(outline, each.at)) for each in handles),
        words=words,
        facts=facts,
        mean_thickness_mm=mean_thickness_mm(body, skives, thickness_mm=puff.thickness_mm),
    )


def _joint_words(shoe: Shoe, figures: PatternFigures) -> tuple[str, ...]:
    """How far ahead of the joints it ends, along the foot."""
    form = shoe.form
    if form.is_partial:
        return ("this last has no joint to end ahead of",)
    back = form.length_mm - puff_length(shoe)
    ahead = {"1st joint": back - form.heel_to_joint_mm, "5th joint": back - form.heel_to_fifth_mm}
    said = ", ".join(f"{mm:.0f} mm ahead of the {joint}" for joint, mm in ahead.items() if mm >= 0)
    said = said.join(("ends ", " (along the foot)")) if said else ""
    near = [joint for joint, mm in ahead.items() if mm < figures.puff_ahead_of_joint_mm]
    crease = f"nearer than {figures.puff_ahead_of_joint_mm:g} mm to the {' and the '.join(near)}: it lies in the crease"
    return tuple(words for words in (said, crease if near else "") if words)


def _marked(kind: LineKind, points: Points, body: BaseGeometry, words: str = "") -> Iterator[Line]:
    return (Line(kind, each, words=words) for each in marked_within(shapely.LineString(points), body))


def _across(body: shapely.Polygon, v: float) -> tuple[float, float]:
    """The least and the greatest u of a body at one v."""
    low, _, high, _ = body.bounds
    at = body.intersection(shapely.LineString([(low - 1, v), (high + 1, v)]))
    return float(at.bounds[0]), float(at.bounds[2])


def _place(point: Points) -> tuple[float, float]:
    return float(point[0]), float(point[1])
