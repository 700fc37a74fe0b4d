"""The shoe from behind: the back of the stiffener, what is relieved in it, posting, wedges, flares and the heel.

As a person behind the wearer sees it: LEFT's medial side lies right.
"""

from collections.abc import Iterator

import numpy as np

from cases.prescriptions.cut_away.sheet import Call, Dimension, Points, Shape, View, Zone, ellipse, figure, mm
from cases.prescriptions.cut_away.shell import (
    ORDINARY_BACK_MM,
    ankle_height,
    back_height,
    boot_top,
    reach_of,
    relief_edge,
    relief_height,
    relief_words,
    topline,
)
from cases.prescriptions.cut_away.stack import sole_thickness, stack_of
from cases.prescriptions.shoe import Shoe
from shared.sides import Edge

SIGN = {Edge.MEDIAL: 1.0, Edge.LATERAL: -1.0}
STANDS_AT = 0.92
"""Of the heel's width: how wide the sole is under it. From memory."""


def view_from_behind(shoe: Shoe) -> View:
    """The back of a shoe, to the topline."""
    half = shoe.form.heel_width_mm / 2
    stack = stack_of(shoe, Edge.MEDIAL)
    seat, under = float(stack.last_bottom[0]), float(stack.under_insole[0])
    top = boot_top(shoe)
    high = seat + (
        top if top is not None else max(back_height(shoe) + 8, topline(shoe, Edge.MEDIAL), topline(shoe, Edge.LATERAL))
    )
    flares = {Edge(flare.edge): flare.width_mm for flare in shoe.flares}
    return View(
        title="from behind",
        shapes=tuple(_shapes(shoe, half=half, seat=seat, high=high, under=under, flares=flares)),
        dimensions=tuple(_dimensions(shoe, half=half, seat=seat)),
        calls=tuple(_calls(shoe, half=half, seat=seat, under=under)),
        left="LATERAL",
        right="MEDIAL",
    )


def _shapes(
    shoe: Shoe, *, half: float, seat: float, high: float, under: float, flares: dict[Edge, float]
) -> Iterator[Shape]:
    yield Shape("upper" if shoe.upper else "form", "upper" if shoe.upper else "", _barrel(half, seat, high))
    for edge in Edge:
        if reach_of(shoe, edge) > 0:
            side = ankle_height(shoe, edge) or 0.85 * back_height(shoe)
            yield Shape(
                "stiffener",
                "stiffener",
                _half_of_back(edge, half=half, seat=seat, high=high, back=back_height(shoe), side=side),
            )
    for relief in shoe.reliefs:
        place = relief_edge(relief)
        middle = 0.0 if place is None else 0.8 * half * SIGN[place]
        wide = relief.width_mm / 2 * (1.0 if place is None else 0.4)
        outline = ellipse(middle, seat + relief_height(shoe, relief), wide, relief.height_mm / 2)
        yield Shape("relief", "reliefs", outline)
    yield from _under_the_seat(shoe, half=half, seat=seat, under=under, flares=flares)
    yield from _tilts(shoe, half=half, seat=seat, over=under - _raise_at_heel(shoe))


def _under_the_seat(
    shoe: Shoe, *, half: float, seat: float, under: float, flares: dict[Edge, float]
) -> Iterator[Shape]:
    wide = STANDS_AT * half
    sole = sole_thickness(shoe)
    over = under - _raise_at_heel(shoe)
    lift = _lift_in_the_shoe(shoe)
    if lift > 0.4:
        yield Shape("raise", "height_raise", _slab(wide, seat + lift, seat))
    if shoe.insole and seat - under > 0.2:
        yield Shape("insole", "insole", _slab(wide, seat, under))
    if under - over > 0.4:
        yield Shape("raise", "height_raise", _slab(wide, under, over))
    medial, lateral = (wide + flares.get(edge, 0.0) for edge in (Edge.MEDIAL, Edge.LATERAL))
    bottom = max(over - sole, 0.0) if shoe.heel else 0.0
    if shoe.sole:
        at = (wide, wide) if shoe.heel else (medial, lateral)
        yield Shape("sole", "sole", np.array([(-wide, over), (wide, over), (at[0], bottom), (-at[1], bottom)]))
    if shoe.heel and bottom > 0.4:
        yield Shape("heel", "heel", np.array([(-wide, bottom), (wide, bottom), (medial, 0.0), (-lateral, 0.0)]))
    for edge, width in flares.items():
        sign, top = SIGN[edge], bottom if shoe.heel and bottom > 0.4 else over
        yield Shape("flare", "flares", np.array([(sign * wide, top), (sign * (wide + width), 0.0), (sign * wide, 0.0)]))


def _tilts(shoe: Shoe, *, half: float, seat: float, over: float) -> Iterator[Shape]:
    """Posting on the insole, wedges under it: triangles, high on the side they are named after."""
    wide, on = STANDS_AT * half, seat + _lift_in_the_shoe(shoe)
    for edge, degrees in _rear_posting(shoe):
        rise = 2 * wide * np.tan(np.radians(degrees))
        sign = SIGN[edge]
        yield Shape("posting", "insole", np.array([(sign * wide, on), (sign * wide, on + rise), (-sign * wide, on)]))
    for wedge in shoe.wedges:
        if wedge.place == "heel":
            sign = SIGN[Edge(wedge.edge)]
            corners = [(sign * wide, over), (sign * wide, over - wedge.height_mm), (-sign * wide, over)]
            yield Shape("wedge", "wedges", np.array(corners))


def _raise_at_heel(shoe: Shoe) -> float:
    return (shoe.height_raise.on_sole_heel_mm or 0.0) if shoe.height_raise else 0.0


def _slab(half: float, top: float, low: float) -> Points:
    return np.array([(-half, top), (half, top), (half, low), (-half, low)])


def _lift_in_the_shoe(shoe: Shoe) -> float:
    return (shoe.height_raise.in_shoe_heel_mm or 0.0) if shoe.height_raise else 0.0


def _rear_posting(shoe: Shoe) -> list[tuple[Edge, float]]:
    insole = shoe.insole
    if insole is None:
        return []
    given = ((Edge.MEDIAL, insole.posting_rear_medial_deg), (Edge.LATERAL, insole.posting_rear_lateral_deg))
    return [(edge, degrees) for edge, degrees in given if degrees]


def _barrel(half: float, seat: float, high: float) -> Points:
    """The heel as it stands: round below, drawn in above."""
    z = np.linspace(seat, high, 24)
    out = _out(half, seat, high, z)
    return np.concatenate([np.column_stack([out, z]), np.column_stack([-out, z])[::-1]])


def _out(half: float, seat: float, high: float, z: Points) -> Points:
    """How far the heel stands out at a height."""
    v = (z - seat) / (high - seat)
    low = 0.80 + 0.20 * np.sin(np.minimum(v / 0.3, 1) * np.pi / 2)
    out: Points = half * np.where(v < 0.3, low, 1 - 0.22 * np.maximum((v - 0.3) / 0.7, 0) ** 1.5)
    return out


def _half_of_back(edge: Edge, *, half: float, seat: float, high: float, back: float, side: float) -> Points:
    z = np.linspace(seat, seat + side, 14)
    rim = np.column_stack([SIGN[edge] * _out(half, seat, high, z), z])
    if side > back:
        # Ankle-high sides stand beside the heel cord: the back between them stays at its own height.
        inner = SIGN[edge] * 0.45 * half
        return np.concatenate([[(0.0, seat)], rim, [(inner, seat + side), (inner, seat + back), (0.0, seat + back)]])
    return np.concatenate([[(0.0, seat)], rim, [(0.0, seat + back)]])


def _dimensions(shoe: Shoe, *, half: float, seat: float) -> Iterator[Dimension]:
    if shoe.stiffener and any(reach_of(shoe, edge) > 0 for edge in Edge):
        given = shoe.stiffener.back_height_mm
        top = seat + (given or ORDINARY_BACK_MM)
        yield Dimension("stiffener", (-half - 7, seat), (-half - 7, top), figure(given) if given else "?")


def _calls(shoe: Shoe, *, half: float, seat: float, under: float) -> Iterator[Call]:
    for relief in shoe.reliefs:
        place = relief_edge(relief)
        if place is None:
            at = (0.4 * relief.width_mm, seat + relief_height(shoe, relief))
            yield Call("reliefs", at, relief_words(shoe, relief), Zone.BESIDE)
    for edge, degrees in _rear_posting(shoe):
        at = (SIGN[edge] * 0.7 * half, seat + _lift_in_the_shoe(shoe) + 1)
        yield Call("insole", at, f"posting rear {edge.value} {degrees:g}°", Zone.BESIDE)
    for wedge in shoe.wedges:
        if wedge.place == "heel":
            at = (SIGN[Edge(wedge.edge)] * 0.7 * half, under - _raise_at_heel(shoe) - 1)
            yield Call("wedges", at, f"heel wedge {wedge.edge} {mm(wedge.height_mm)}", Zone.BESIDE)
    for flare in shoe.flares:
        at = (SIGN[Edge(flare.edge)] * STANDS_AT * half, 1)
        yield Call("flares", at, f"flare {flare.edge} {mm(flare.width_mm)}", Zone.BESIDE)
