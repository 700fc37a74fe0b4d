"""What the parts of a shoe seen from above are, in words: each call ends on its part."""

from collections.abc import Iterator

from cases.prescriptions.cut_away import plan
from cases.prescriptions.cut_away.bottom import SHANKS_APART_MM, WEDGE_FROM_TO, scoured_zone, shank_ends, turned_up_mm
from cases.prescriptions.cut_away.edges import (
    POSTED_FROM_TO,
    SIGNS,
    along,
    apex_line,
    ends_across,
    place_at,
    posted,
    sock_ends,
)
from cases.prescriptions.cut_away.sheet import Call, Zone, figure, mm, said
from cases.prescriptions.cut_away.shell import reach_of
from cases.prescriptions.shoe import Shoe
from shared.sides import Edge


def calls_above(shoe: Shoe) -> Iterator[Call]:
    """What the parts in the plan are; each call ends on its part."""
    for edge, sign in SIGNS:
        if reach := reach_of(shoe, edge):
            x, y = along(shoe, edge, 0.75 * reach)
            given = shoe.stiffener.reach_mm(edge) if shoe.stiffener else None
            name = shoe.stiffener.reach(edge) if shoe.stiffener else ""
            words = f"{edge.value} reach {name} " + (mm(given) if given else "(mm not said)")
            yield Call("stiffener", (y - sign * 3, x), words, Zone.BESIDE)
        if high := turned_up_mm(shoe, edge):
            start, end = plan.turned_up(shoe, edge)
            x, y = place_at(shoe, edge, 0.35 * start + 0.65 * end)
            yield Call("insole", (y - sign * 7, x), f"turned up {edge.value} {mm(high)}", Zone.BESIDE)
    if shoe.toe_prop:
        prop = shoe.toe_prop
        toes = f"toe{'s' if prop.first_toe < prop.last_toe else ''} {prop.toes}"
        words = f"toe prop under {toes} {mm(prop.height_mm)} {prop.material}".rstrip()
        at, also = ends_across(plan.toe_prop(shoe))
        yield Call("toe_prop", at, words, Zone.BESIDE, also)
    if ends := sock_ends(shoe):
        yield Call("insole", (ends[1][1] + 8, ends[1][0]), "sock ends", Zone.BESIDE)
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
        yield Call("cushions" if fore else "insole", at, said(scoured, *cushions), Zone.BESIDE, (-at[0], at[1]))
    for cushion in shoe.cushions:
        if cushion.place != "forepart":
            at = (-0.25 * form.heel_width_mm, (0.14 if cushion.place == "heel" else 0.4) * length)
            name = "heel cushion" if cushion.place == "heel" else "full-length cushion"
            words = f"{name} {mm(cushion.thickness_mm)} {cushion.material}".rstrip()
            yield Call("cushions", at, words, Zone.BESIDE, (-at[0], at[1]))
    for support in shoe.metatarsal_supports:
        from_where = "crest" if support.kind == "bar" else "front"
        words = f"{support.kind} {mm(support.height_mm)} high, {from_where} {figure(support.behind_joint_line_mm)} behind the joint line"
        at, also = ends_across(plan.support(shoe, support))
        yield Call("metatarsal_supports", at, words, Zone.BESIDE, also)
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
        words = f"{number} {shank.material} {shank.width_mm:g} × {shank.thickness_mm:g}, ends {figure(shank.front_end_behind_joint_mm)} behind the joint line"
        u, v = apart + shank.width_mm / 2 - 2, 0.55 * rear + 0.45 * front
        yield Call("shank", (-u, v), words, Zone.BESIDE, (u, v))
    if carbon:
        words = said(f"carbon {carbon.plies:g} plies", f"from {carbon.starts}" if carbon.starts else "")
        words = said(words, f"ends {figure(carbon.ends_before_toe_mm)} before the toe")
        u, v = 0.25 * form.joint_width_mm, 0.78 * length
        yield Call("carbon_zone", (u, v), words, Zone.BESIDE, (-u, v))
    if shoe.insole and shoe.insole.rear_doubled_mm:
        u, v = 0.3 * form.heel_width_mm, 0.24 * length
        words = f"rear doubled + {mm(shoe.insole.rear_doubled_mm)}"
        yield Call("insole", (-u, v), words, Zone.BESIDE, (u, v))
    if shoe.rocker:
        medial, lateral = apex_line(shoe).tolist()
        words = "apex line" + (f" {shoe.rocker.apex_angle_deg:g}°" if shoe.rocker.apex_angle_deg else "")
        yield Call("rocker", (medial[1], medial[0]), words, Zone.BESIDE, (lateral[1], lateral[0]))
    (inner_x, inner), (outer_x, outer) = form.outline.medial_joint, form.outline.lateral_joint
    yield Call("", (outer, outer_x), "joint line", Zone.BESIDE, (inner, inner_x))
    for wedge in shoe.wedges:
        start, end = WEDGE_FROM_TO[wedge.place]
        sign = 1 if wedge.edge == Edge.MEDIAL else -1
        at = (sign * 0.36 * form.heel_width_mm, (0.1 * start + 0.9 * end) * length)
        yield Call("wedges", at, f"{wedge.place} wedge {wedge.edge} {mm(wedge.height_mm)}", Zone.BESIDE)
    for flare in shoe.flares:
        edge = Edge(flare.edge)
        _, y = place_at(shoe, edge, 0.12 * length)
        beyond = flare.width_mm / 2 * (1 if edge == Edge.MEDIAL else -1)
        yield Call("flares", (y + beyond, 0.12 * length), f"flare {flare.edge} {mm(flare.width_mm)}", Zone.BESIDE)
