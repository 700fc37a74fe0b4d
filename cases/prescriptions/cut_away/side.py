"""The shoe from its medial or its lateral side, cut open: shell, insole, shank, carbon, sole, heel.

As a person standing beside the foot sees it: the toe of LEFT points left from lateral and right from medial.
"""

from collections.abc import Iterator

import numpy as np

from cases.prescriptions.cut_away.sheet import MARGIN_MM, Measure, Page, Shape, View, Word, band, box, mm, said
from cases.prescriptions.cut_away.shell import puff_shape, reliefs_seen_from, stiffener_shape, upper_shape
from cases.prescriptions.cut_away.stack import Stack, sole_thickness, stack_of
from cases.prescriptions.shoe import MetatarsalSupport, Shoe
from shared.sides import Edge, Side

LEAST_SEEN_MM = 0.4
"""Thinner than this a layer is not drawn."""


def view_from_the_side(shoe: Shoe, edge: Edge) -> View:
    """One side of a shoe."""
    stack = stack_of(shoe, edge)
    upper = upper_shape(shoe, stack, edge)
    length, high = shoe.form.length_mm, float(max(upper[:, 1].max(), stack.last_top.max()))
    width, height = float(np.ceil(length + 2 * MARGIN_MM)), float(np.ceil(high + 2 * MARGIN_MM + 12))
    toe_right = (shoe.side is Side.RIGHT) == (edge == Edge.LATERAL)
    page = Page(
        width=width,
        height=height,
        zero_u=MARGIN_MM if toe_right else width - MARGIN_MM,
        zero_v=height - MARGIN_MM - 6,
        is_mirrored=not toe_right,
    )
    title = f"{shoe.side.label}, {edge.value.upper()} side"
    return View(
        title=title,
        width=width,
        height=height,
        shapes=tuple(_shapes(shoe, stack, edge, page, upper)),
        measures=tuple(_measures(shoe, stack, edge, page)),
        words=(
            Word(width / 2, height - 3, title),
            Word(*page.at(length, high + 6), "toe", "end" if toe_right else "start"),
        ),
    )


def _shapes(shoe: Shoe, stack: Stack, edge: Edge, page: Page, upper: np.ndarray) -> Iterator[Shape]:
    yield Shape("upper", page.path(upper), "")
    yield from _under_the_foot(shoe, stack, page)
    stiffener = stiffener_shape(shoe, stack, edge)
    if stiffener is not None and shoe.stiffener:
        reach = shoe.stiffener.reach_mm(edge)
        words = said(
            f"stiffener {shoe.stiffener.reach(edge)}" + (f" {mm(reach)}" if reach else ""),
            f"back {mm(shoe.stiffener.back_height_mm)}" if shoe.stiffener.back_height_mm else "",
            f"{shoe.stiffener.thickness_mm:g} mm thick" if shoe.stiffener.thickness_mm else "",
        )
        yield Shape("stiffener", page.path(stiffener), words)
    for outline, words in reliefs_seen_from(shoe, stack, edge):
        yield Shape("relief", page.path(outline), words)
    puff = puff_shape(shoe, stack)
    if puff is not None and shoe.toe_puff:
        length = shoe.toe_puff.length_mm
        yield Shape("puff", page.path(puff), f"toe puff {shoe.toe_puff.kind}" + (f" {mm(length)}" if length else ""))


def _under_the_foot(shoe: Shoe, stack: Stack, page: Page) -> Iterator[Shape]:
    x, length = stack.x, shoe.form.length_mm
    sole = sole_thickness(shoe)
    heel = x <= stack.breast_mm
    fore = x >= stack.breast_mm
    yield Shape("sole", page.path(band(x[fore], stack.over_sole[fore], stack.under_sole[fore])), _sole_words(shoe))
    seat_under = stack.over_sole[heel] - sole
    yield Shape("sole", page.path(band(x[heel], stack.over_sole[heel], seat_under)), "")
    height = shoe.heel.height_mm if shoe.heel else None
    words = said(f"heel {mm(height)}" if height else "", "soft wedge" if shoe.heel and shoe.heel.cushion_heel else "")
    yield Shape("heel", page.path(band(x[heel], seat_under, stack.under_sole[heel])), words)
    if float((stack.under_insole - stack.over_sole).max()) > LEAST_SEEN_MM and shoe.height_raise:
        raised = shoe.height_raise
        given = (raised.on_sole_heel_mm, raised.on_sole_ball_mm, raised.on_sole_toe_mm)
        heights = " / ".join(f"{each or 0:g}" for each in given)
        yield Shape("raise", page.path(band(x, stack.under_insole, stack.over_sole)), f"raise on the sole {heights} mm")
    yield Shape("insole", page.path(band(x, stack.foot_bed, stack.under_insole)), _insole_words(shoe))
    if float((stack.last_bottom - stack.foot_bed).max()) > LEAST_SEEN_MM and shoe.height_raise:
        lift = shoe.height_raise.in_shoe_heel_mm or 0
        yield Shape("raise", page.path(band(x, stack.last_bottom, stack.foot_bed)), f"in the shoe, heel {mm(lift)}")
    yield from _in_the_bottom(shoe, stack, page, length)


def _in_the_bottom(shoe: Shoe, stack: Stack, page: Page, length: float) -> Iterator[Shape]:
    """What lies in or under the insole: doubled rear, cushions, shank, carbon, dome or bar."""
    joint = shoe.form.heel_to_joint_mm
    insole = shoe.insole

    def over(start: float, end: float) -> np.ndarray:
        return np.unique(np.clip(np.append(stack.x[(stack.x > start) & (stack.x < end)], [start, end]), 0, length))

    def line(x: np.ndarray, of: np.ndarray) -> np.ndarray:
        drawn: np.ndarray = np.interp(x, stack.x, of)
        return drawn

    if insole and insole.rear_doubled_mm:
        x = over(0.06 * length, joint - 20)
        under = line(x, stack.under_insole)
        yield Shape(
            "doubled",
            page.path(band(x, under, under - insole.rear_doubled_mm)),
            f"rear doubled {mm(insole.rear_doubled_mm)}",
        )
    for cushion in shoe.cushions:
        start, end = {"heel": (0.03, 0.24), "full": (0.03, 0.95)}.get(cushion.place, (0.0, 0.0))
        x = over(start * length, end * length) if end else over(*scoured_zone(shoe))
        top = line(x, stack.foot_bed if cushion.place != "forepart" else stack.under_insole + cushion.thickness_mm)
        words = f"cushion {cushion.place} {mm(cushion.thickness_mm)}, {cushion.material}"
        yield Shape("cushion", page.path(band(x, top, top - cushion.thickness_mm)), words)
    for support in shoe.metatarsal_supports:
        yield _support(support, joint=joint, stack=stack, page=page)
    if shoe.shank:
        x = over(shoe.shank.rear_end_in_seat_mm or 25.0, joint - shoe.shank.front_end_behind_joint_mm)
        top = line(x, stack.under_insole)
        words = f"{shoe.shank.count:g} × shank {shoe.shank.material}, ends {mm(shoe.shank.front_end_behind_joint_mm)} behind the joint"
        yield Shape("shank", page.path(band(x, top, top - max(shoe.shank.thickness_mm, 1.6))), words)
    if shoe.carbon_zone:
        x = over(0.24 * length, length - shoe.carbon_zone.ends_before_toe_mm)
        top = line(x, stack.under_insole) - 1.6
        words = f"carbon {shoe.carbon_zone.plies:g} plies, ends {mm(shoe.carbon_zone.ends_before_toe_mm)} from the toe"
        yield Shape("carbon", page.path(band(x, top, top - 2.0)), words)


def _support(support: MetatarsalSupport, *, joint: float, stack: Stack, page: Page) -> Shape:
    """A hump on the foot bed; a dome's leading edge, a bar's crest lies so far behind the joint line."""
    is_bar = support.kind == "bar"
    long = support.long_mm or (15.0 if is_bar else 55.0)
    middle = joint - support.behind_joint_line_mm - (0 if is_bar else long / 2)
    x = np.linspace(middle - long / 2, middle + long / 2, 21)
    bed = np.interp(x, stack.x, stack.foot_bed)
    hump = support.height_mm * np.cos(np.linspace(-np.pi / 2, np.pi / 2, 21))
    words = f"{support.kind} {mm(support.height_mm)} high, {mm(support.behind_joint_line_mm)} behind the joint"
    return Shape("support", page.path(band(x, bed + hump, bed)), words)


def scoured_zone(shoe: Shoe) -> tuple[float, float]:
    """From where to where the forepart of the insole is scoured, from the back of the heel."""
    insole = shoe.insole
    behind = insole.scoured_behind_joint_mm if insole and insole.scoured_behind_joint_mm is not None else 12.0
    before = insole.scoured_before_toe_mm if insole and insole.scoured_before_toe_mm is not None else 15.0
    return shoe.form.heel_to_joint_mm - behind, shoe.form.length_mm - before


def _sole_words(shoe: Shoe) -> str:
    rocker = shoe.rocker
    return said(
        f"sole {mm(sole_thickness(shoe))}" if shoe.sole and shoe.sole.thickness_mm else "",
        shoe.sole.material if shoe.sole else "",
        f"rocker apex {rocker.apex_percent:g} %, {rocker.angle_deg:g}°" if rocker else "",
    )


def _insole_words(shoe: Shoe) -> str:
    insole = shoe.insole
    if insole is None:
        return ""
    return said(
        f"insole {insole.thickness_mm:g} mm" if insole.thickness_mm else "insole",
        "blocked" if insole.blocked else "",
        f"scoured to {insole.scoured_to_mm:g} mm" if insole.scoured_to_mm else "",
    )


def _measures(shoe: Shoe, stack: Stack, edge: Edge, page: Page) -> Iterator[Measure]:
    stiffener = shoe.stiffener
    if stiffener and stiffener.back_height_mm:
        seat = float(stack.last_bottom[0])
        yield page.measure((-7, seat), (-7, seat + stiffener.back_height_mm), mm(stiffener.back_height_mm))
    joint = shoe.form.heel_to_joint_mm if edge == Edge.MEDIAL else shoe.form.heel_to_fifth_mm
    yield page.measure((joint, -3), (joint, 3), "joint")
    if shoe.rocker:
        apex = shoe.rocker.apex_percent / 100 * shoe.form.length_mm
        yield page.measure((apex, -3), (apex, 3), "apex")
    toe = float(stack.under_sole[-1])
    if toe > 1:
        yield page.measure((shoe.form.length_mm + 5, 0), (shoe.form.length_mm + 5, toe), mm(toe))
    ground = box((0, shoe.form.length_mm), (0, 0))
    yield page.measure((float(ground[0, 0]), -6), (float(ground[1, 0]), -6), mm(shoe.form.length_mm))
