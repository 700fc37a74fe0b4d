"""The shoe from its medial or its lateral side, cut open: shell, insole, shank, carbon, sole, heel.

As a person standing beside the foot sees it: the toe of LEFT points right from medial and left from lateral. What lies
under the whole foot is drawn in both views and called by name in the medial one.
"""

from collections.abc import Iterator

import numpy as np

from cases.prescriptions.cut_away.bottom import filler_length, in_the_bottom, sock_end, under_the_foot
from cases.prescriptions.cut_away.sheet import Call, Dimension, Points, Shape, View, Zone, band, figure, mm, said
from cases.prescriptions.cut_away.shell import (
    ORDINARY_BACK_MM,
    SEEN_FROM,
    SOFT,
    WALL_MM,
    ankle_height,
    boot_top,
    collar_shape,
    puff_length,
    puff_shape,
    reach_of,
    relief_edge,
    relief_words,
    reliefs_seen_from,
    soft_zones_seen_from,
    stiffener_shape,
    topline,
    upper_shape,
)
from cases.prescriptions.cut_away.stack import Stack, sole_thickness, stack_of
from cases.prescriptions.shoe import Shoe
from shared.sides import Edge


def view_from_the_side(shoe: Shoe, edge: Edge) -> View:
    """One side of a shoe. Raises `BadInput` where the form cannot be drawn."""
    stack = stack_of(shoe, edge)
    length = shoe.form.length_mm
    ground = Shape("ground", "", np.array([(-6.0, 0.0), (length + 6.0, 0.0)]), is_open=True)
    view = View(
        title=f"{edge.value.upper()} side",
        shapes=tuple(_shapes(shoe, stack, edge)),
        dimensions=tuple(_dimensions(shoe, stack, edge)),
        calls=tuple(_calls(shoe, stack, edge)),
        left="heel",
        right="toe",
        lines=(ground,),
    )
    return view if edge == Edge.MEDIAL else _turned(view)


def _turned(view: View) -> View:
    """The same view with the toe on the left."""
    return View(
        title=view.title,
        shapes=tuple(Shape(each.kind, each.part, each.points * TURN, each.is_open) for each in view.shapes),
        dimensions=tuple(
            Dimension(part, (-start[0], start[1]), (-end[0], end[1]), says, at_end)
            for part, start, end, says, at_end in view.dimensions
        ),
        calls=tuple(Call(each.part, (-each.at[0], each.at[1]), each.says, each.zone) for each in view.calls),
        left=view.right,
        right=view.left,
        lines=tuple(Shape(each.kind, each.part, each.points * TURN, each.is_open) for each in view.lines),
    )


TURN = np.array([-1.0, 1.0])


def _shapes(shoe: Shoe, stack: Stack, edge: Edge) -> Iterator[Shape]:
    x = stack.x
    outline = np.concatenate(
        [np.column_stack([x, stack.last_bottom]), np.column_stack([x, stack.last_top])[::-1], stack.back[1:-1]]
    )
    if shoe.upper:
        yield Shape("upper", "upper", upper_shape(shoe, stack, edge))
        if shoe.upper.collar_padding_mm:
            yield Shape("collar", "upper", collar_shape(shoe, stack, edge))
    else:
        yield Shape("form", "", outline)
    yield from under_the_foot(shoe, stack, edge)
    stiffener = stiffener_shape(shoe, stack, edge)
    if stiffener is not None:
        yield Shape("stiffener", "stiffener", stiffener)
    for relief, _ in reliefs_seen_from(shoe, stack, edge):
        yield Shape("relief", "reliefs", relief)
    puff = puff_shape(shoe, stack)
    if puff is not None:
        yield Shape("puff", "toe_puff", puff)
    for zone, _ in soft_zones_seen_from(shoe, stack, edge):
        yield Shape("soft zone", "soft_zones", zone)
    yield from in_the_bottom(shoe, stack, edge)
    if shoe.toe_filler:
        yield Shape("toe filler", "toe_filler", _filled(shoe, stack))
    if end := sock_end(shoe):
        on = (stack.x <= end) & (stack.x >= 0.03 * shoe.form.length_mm)
        padded = sum(each.thickness_mm for each in shoe.cushions if each.place == "full")
        line = np.column_stack([stack.x[on], stack.under_foot[on] + 1.0 + padded])
        yield Shape("sock", "insole", line, is_open=True)


def _filled(shoe: Shoe, stack: Stack) -> Points:
    """The forepart of the last behind which a foot ends, a little inside the upper."""
    on = stack.x >= shoe.form.length_mm - filler_length(shoe)
    over = stack.last_bottom[on] + np.maximum(stack.last_top[on] - stack.last_bottom[on] - 4, 1)
    return band(stack.x[on], over, stack.last_bottom[on])


def _dimensions(shoe: Shoe, stack: Stack, edge: Edge) -> Iterator[Dimension]:
    length, seat = shoe.form.length_mm, float(stack.last_bottom[0])
    if shoe.stiffener and reach_of(shoe, edge) > 0:
        given = shoe.stiffener.back_height_mm
        high = given or ORDINARY_BACK_MM
        yield Dimension("stiffener", (-8, seat), (-8, seat + high), figure(high) if given else "?")
    if shoe.heel and shoe.heel.height_mm:
        high = shoe.heel.height_mm + added_by_rocker(shoe)
        yield Dimension("heel", (-8, 0), (-8, max(high, 1)), figure(round(high)))
    puff = shoe.toe_puff
    if puff and puff.kind == "wall":
        bottom, high = float(stack.last_bottom[-1]), puff.wall_height_mm or WALL_MM
        says = figure(high) if puff.wall_height_mm else "?"
        yield Dimension("toe_puff", (length + 8, bottom), (length + 8, bottom + high), says)
    elif float(stack.under_sole[-1]) > 1 and (shoe.sole or shoe.rocker):
        toe, said_toe = float(stack.under_sole[-1]), float(stack_of(shoe, Edge.MEDIAL).under_sole[-1])
        yield Dimension("rocker" if shoe.rocker else "sole", (length + 8, 0), (length + 8, toe), f"{said_toe:.0f}")


def _calls(shoe: Shoe, stack: Stack, edge: Edge) -> Iterator[Call]:
    yield from _of_the_shell(shoe, stack, edge)
    if edge == Edge.MEDIAL:
        yield from _of_the_insole(shoe, stack)
        yield from _at_the_stations(shoe, stack)
    elif words := _extended(shoe, edge):
        yield Call("heel", (stack.breast_mm - 5, 4), f"heel {words}", Zone.BELOW)


def _extended(shoe: Shoe, edge: Edge) -> str:
    """On this side, how much further forward the heel comes."""
    more = shoe.heel and (shoe.heel.extended_medial_mm if edge == Edge.MEDIAL else shoe.heel.extended_lateral_mm)
    return f"extended {edge.value} {mm(more)}" if more else ""


def _of_the_shell(shoe: Shoe, stack: Stack, edge: Edge) -> Iterator[Call]:
    length, stiffener = shoe.form.length_mm, shoe.stiffener
    if stiffener and (reach := reach_of(shoe, edge)):
        x = 0.45 * reach
        z = stack.at(x, stack.last_bottom) + 20
        words = stiffener_words(shoe, edge)
        yield Call("stiffener", (x, z), words, Zone.ABOVE)
    elif stiffener:
        yield Call(
            "stiffener", (0.1 * length, stack.at(0.1 * length, stack.last_bottom) + 20), "no stiffener here", Zone.ABOVE
        )
    for outline, relief in reliefs_seen_from(shoe, stack, edge):
        if relief_edge(relief) is not None:
            yield Call(
                "reliefs",
                (float(outline[:, 0].mean()), float(outline[:, 1].max())),
                relief_words(shoe, relief),
                Zone.ABOVE,
            )
    for outline, zone in soft_zones_seen_from(shoe, stack, edge):
        if zone.place in SEEN_FROM or edge == Edge.MEDIAL:
            at = (float(outline[:, 0].mean()), float(outline[:, 1].max()) - 2)
            yield Call("soft_zones", at, f"{SOFT.get(zone.softness, zone.softness)}, {zone.place}", Zone.ABOVE)
    if edge == Edge.LATERAL:
        given = shoe.upper and shoe.upper.topline_lateral_mm
    else:
        given = shoe.upper and shoe.upper.topline_medial_mm
    if given and boot_top(shoe) is None:
        at = (0.24 * length, float(stack.last_bottom[0]) + topline(shoe, edge))
        yield Call("upper", at, f"topline {edge.value} {mm(given)}", Zone.ABOVE)
    if edge == Edge.MEDIAL:
        yield from _over_the_foot(shoe, stack)


def _over_the_foot(shoe: Shoe, stack: Stack) -> Iterator[Call]:
    """What is the same from either side, called once."""
    length = shoe.form.length_mm
    if long := puff_length(shoe):
        puff = shoe.toe_puff
        x = length - 0.6 * long
        z = stack.at(x, stack.last_bottom) + (7 if puff and puff.kind == "wall" else 14)
        yield Call("toe_puff", (x, z), puff_words(shoe), Zone.ABOVE)
    elif shoe.toe_puff:
        x = 0.9 * length
        yield Call("toe_puff", (x, stack.at(x, stack.last_top)), "no toe puff", Zone.ABOVE)
    if shoe.upper and shoe.upper.tongue:
        at = (0.5 * length, stack.at(0.5 * length, stack.last_top) - 3)
        yield Call("upper", at, f"tongue {shoe.upper.tongue.removesuffix(' tongue')}", Zone.ABOVE)
    if shoe.upper and shoe.upper.collar_padding_mm:
        u, v = collar_shape(shoe, stack, Edge.MEDIAL)[:2].mean(axis=0)
        yield Call("upper", (float(u), float(v) - 4), f"collar padded {mm(shoe.upper.collar_padding_mm)}", Zone.ABOVE)
    if shoe.orthosis_room:
        x = 0.3 * length
        yield Call(
            "orthosis_room", (x, stack.at(x, stack.last_bottom) + 60), f"room for {shoe.orthosis_room}", Zone.ABOVE
        )
    if shoe.toe_filler:
        x = length - 0.7 * filler_length(shoe)
        yield Call("toe_filler", (x, stack.at(x, stack.last_bottom) + 9), f"toe filler: {shoe.toe_filler}", Zone.ABOVE)


def stiffener_words(shoe: Shoe, edge: Edge) -> str:
    """Reach by its name and in mm, and what is particular on this side."""
    stiffener = shoe.stiffener
    if stiffener is None:
        return ""
    reach, below = stiffener.reach_mm(edge), None
    below = stiffener.medial_below_malleolus_mm if edge == Edge.MEDIAL else stiffener.lateral_below_malleolus_mm
    high = ankle_height(shoe, edge)
    thick = f"{stiffener.thickness_mm:g} thick" if stiffener.thickness_mm else ""
    thin = f"thinned to {stiffener.thinned_to_mm:g}" if stiffener.thinned_to_mm else ""
    return said(
        f"stiffener {stiffener.reach(edge)} " + (mm(reach) if reach else "(mm not said)"),
        f"ankle-high {mm(high)}" if high else "",
        f"{figure(below)} under the malleolus" if below is not None and not high else "",
        thick if edge == Edge.MEDIAL else "",
        thin if edge == Edge.MEDIAL else "",
    )


def puff_words(shoe: Shoe) -> str:
    puff = shoe.toe_puff
    if puff is None:
        return ""
    depth = puff.toe_depth_mm
    return said(
        f"toe puff {puff.kind} " + (mm(puff.length_mm) if puff.length_mm else "(mm not said)"),
        (f"wall {mm(puff.wall_height_mm)}, soft roof" if puff.wall_height_mm else "soft roof")
        if puff.kind == "wall"
        else "",
        f"depth + {figure(depth)}" if depth else "",
    )


def _of_the_insole(shoe: Shoe, stack: Stack) -> Iterator[Call]:
    length, insole = shoe.form.length_mm, shoe.insole
    if insole:
        x = 0.36 * length
        finished = (insole.finished_heel_mm, insole.finished_waist_mm, insole.finished_forepart_mm)
        heights = " / ".join("–" if each is None else f"{each:g}" for each in finished)
        words = said(
            f"insole {insole.thickness_mm:g} mm" if insole.thickness_mm else "insole",
            "blocked" if insole.blocked else "flat",
            f"heel / waist / forepart {heights}" if any(finished) else "",
            f"hollow beneath: {insole.hollowed_beneath}" if insole.hollowed_beneath else "",
            f"sock {insole.sock}" if insole.sock else "",
        )
        yield Call(
            "insole", (x, (stack.at(x, stack.last_bottom) + stack.at(x, stack.under_insole)) / 2), words, Zone.BELOW
        )
        if insole.inlay_heel_mm or insole.inlay_forepart_mm:
            x = 0.46 * length
            words = (
                f"room for an inlay, heel {insole.inlay_heel_mm or 0:g} / forepart {insole.inlay_forepart_mm or 0:g} mm"
            )
            yield Call("insole", (x, stack.at(x, stack.under_foot) + 2), words, Zone.BELOW)


def _at_the_stations(shoe: Shoe, stack: Stack) -> Iterator[Call]:
    """How thick what lies under the insole is at heel, apex or joint, and toe."""
    length, raised, rocker, heel = shoe.form.length_mm, shoe.height_raise, shoe.rocker, shoe.heel
    parts = "sole rocker height_raise"
    on_sole = (raised.on_sole_heel_mm, raised.on_sole_ball_mm, raised.on_sole_toe_mm) if raised else (None,) * 3
    words = said(
        f"lift in the shoe {figure(raised.in_shoe_heel_mm)}" if raised and raised.in_shoe_heel_mm else "",
        _raised(on_sole[0]),
        _sole_at(shoe, sole_thickness(shoe), is_given=True),
        _heel_at(shoe),
        "soft wedge" if heel and heel.cushion_heel else "",
        _extended(shoe, Edge.MEDIAL),
    )
    if words:
        z = 1.0 if shoe.sole or shoe.heel else stack.at(0.06 * length, stack.last_bottom) + 2
        yield Call(f"{parts} heel", (0.06 * length, z), f"at the heel: {words}", Zone.BELOW)
    x, name = shoe.form.heel_to_joint_mm, "joint"
    if rocker:
        x = rocker.apex_percent / 100 * length
        name = f"apex {rocker.apex_percent:g} % = {x:.0f} mm, {rocker.angle_deg:g}°{' curved' if rocker.curved else ''}"
    for place, at, high in ((name, x, on_sole[1]), ("at the toe", 0.975 * length, on_sole[2])):
        under, is_toe = stack.at(at, stack.under_sole), place == "at the toe"
        where = " at the joint" if rocker and not is_toe and high else ""
        words = said(
            _raised(high) + where,
            _sole_at(shoe, stack.at(at, stack.over_sole) - under),
            "" if is_toe else shoe.construction,
            _leading(shoe) if is_toe else "",
        )
        if words or (rocker and not is_toe):
            says = f"{'at the joint' if place == 'joint' else place}: {words}" if words else place
            yield Call(parts if words else "rocker", (at, under + 0.5), says, Zone.BELOW)


def added_by_rocker(shoe: Shoe) -> float:
    """How much higher a heel stands than it was said, in mm: as a rocker's sole holds the joint higher over the ground."""
    if shoe.rocker is None or shoe.heel is None:
        return 0.0
    stack = stack_of(shoe, Edge.MEDIAL)
    added = stack.at(shoe.form.heel_to_joint_mm, stack.over_sole) - sole_thickness(shoe)
    return added if added >= LEAST_ADDED_MM else 0.0


LEAST_ADDED_MM = 2.0
"""Less is not said: the bench keeps a heel to so much."""


def _heel_at(shoe: Shoe) -> str:
    if shoe.heel is None or not shoe.heel.height_mm:
        return ""
    added = added_by_rocker(shoe)
    return f"heel {figure(shoe.heel.height_mm)}" + (f" + {added:.0f} for the rocker" if added else "")


def _leading(shoe: Shoe) -> str:
    sole = shoe.sole
    if sole is None:
        return ""
    more = sole.toe_spring_extra_mm
    return said(f"spring + {figure(more)}" if more else "", f"edge {sole.leading_edge}" if sole.leading_edge else "")


def _raised(height: float | None) -> str:
    return f"raise {height:g}" if height else ""


def _sole_at(shoe: Shoe, thick: float, *, is_given: bool = False) -> str:
    """A sole whose thickness nobody said has none at any place; one read off the drawing is said in whole mm."""
    if shoe.sole is None:
        return ""
    if not shoe.sole.thickness_mm:
        return "sole (mm not said)"
    return f"sole {figure(thick) if is_given or not shoe.rocker else f'{thick:.0f}'}"
