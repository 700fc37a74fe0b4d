"""The lines on an insole that say where what comes on or under it lies."""

from collections.abc import Iterator
from dataclasses import replace

import shapely

from cases.patterns.drafting.figures import PatternFigures
from cases.patterns.drafting.lying import closed_line
from cases.patterns.drafting.pieces import Line, LineKind
from cases.patterns.drafting.said import rim_of
from cases.prescriptions.cut_away.plan import (
    carbon,
    doubled,
    full_cushion,
    heel_cushion,
    inside,
    largest,
    scoured,
    shanks,
    support,
    toe_prop,
)
from cases.prescriptions.cut_away.sheet import mm, said
from cases.prescriptions.shoe import MetatarsalSupport, Shoe

SUPPORT_INSIDE_MM = 5.0
"""How far inside the feather edge a bar or a dome ends. From memory."""


def places(shoe: Shoe, figures: PatternFigures) -> tuple[Line, ...]:
    """Closed lines in u and v. What has no place on this form, because nothing is left of it, has no line."""
    found = (*_in_the_forepart(shoe), *_on_top(shoe, figures), *_under(shoe, figures))
    return tuple(closed_line(kind, zone, words) for kind, zone, words in found if zone.area > 0)


Place = tuple[LineKind, shapely.Polygon, str]


def _in_the_forepart(shoe: Shoe) -> Iterator[Place]:
    insole = shoe.insole
    if insole and insole.scoured_to_mm is not None:
        words = f"scour to {mm(insole.scoured_to_mm)} from the under face, rim {mm(rim_of(insole))}"
        yield LineKind.ZONE, scoured(shoe), words
    elif any(cushion.place == "forepart" for cushion in shoe.cushions):
        yield LineKind.PLACE, scoured(shoe), "forepart cushion"


def _on_top(shoe: Shoe, figures: PatternFigures) -> Iterator[Place]:
    for cushion in shoe.cushions:
        if cushion.place == "heel":
            yield LineKind.PLACE, heel_cushion(shoe, diameter_mm=figures.cushion_heel_diameter_mm), "heel cushion"
        elif cushion.place == "full":
            yield LineKind.PLACE, full_cushion(shoe), "full-length cushion"
    for one in shoe.metatarsal_supports:
        from_where = "crest" if one.kind == "bar" else "front"
        words = f"{one.kind}, {from_where} {mm(one.behind_joint_line_mm)} behind the joint line"
        yield LineKind.PLACE, support_place(shoe, one, figures), words
    if shoe.toe_prop:
        yield LineKind.PLACE, toe_prop(shoe), f"toe prop under {toes_of(shoe)}"


def _under(shoe: Shoe, figures: PatternFigures) -> Iterator[Place]:
    if shoe.insole and shoe.insole.rear_doubled_mm:
        yield (
            LineKind.PLACE,
            doubled(shoe, behind_joint_mm=figures.rear_doubled_behind_joint_mm),
            "rear doubled, under face",
        )
    if shoe.shank:
        words = said("shank, under face", mm(shoe.shank.width_mm))
        for one in shanks(shoe):
            yield LineKind.PLACE, largest(one.intersection(inside(shoe, 0.0))), words
    if shoe.carbon_zone:
        zone = carbon(shoe, edge_in_mm=figures.carbon_edge_in_mm)
        yield LineKind.PLACE, zone, f"carbon, {shoe.carbon_zone.plies:g} plies, under face"


def sized(one: MetatarsalSupport, figures: PatternFigures) -> MetatarsalSupport:
    """A support with the workshop's sizes where it has none of its own."""
    if one.kind == "bar":
        return replace(one, long_mm=one.long_mm or figures.bar_width_mm)
    return replace(one, long_mm=one.long_mm or figures.dome_length_mm, across_mm=one.across_mm or figures.dome_width_mm)


def support_place(shoe: Shoe, one: MetatarsalSupport, figures: PatternFigures) -> shapely.Polygon:
    """Where a dome or a bar lies, short of the feather edge; empty where none of it lies on the insole."""
    return largest(support(shoe, sized(one, figures)).intersection(inside(shoe, SUPPORT_INSIDE_MM)))


def toes_of(shoe: Shoe) -> str:
    prop = shoe.toe_prop
    if prop is None:
        return ""
    return f"toe {prop.toes}" if prop.first_toe == prop.last_toe else f"toes {prop.toes}"
