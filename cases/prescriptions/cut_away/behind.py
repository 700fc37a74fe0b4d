"""The shoe from behind: the back of the stiffener, what is relieved in it, wedges, flares and the heel.

As a person behind the wearer sees it: LEFT's medial side lies right, RIGHT's medial side lies left.
"""

from collections.abc import Iterator

import numpy as np

from cases.prescriptions.cut_away.sheet import MARGIN_MM, Measure, Page, Points, Shape, View, Word, mm
from cases.prescriptions.cut_away.shell import back_height, ellipse, is_boot, relief_edge, relief_words, topline
from cases.prescriptions.cut_away.stack import stack_of
from cases.prescriptions.shoe import Shoe
from shared.sides import Edge, Side

BOOT_OVER_STIFFENER_MM = 45.0


def view_from_behind(shoe: Shoe) -> View:
    """The back of a shoe, to the topline."""
    half = shoe.form.heel_width_mm / 2
    flares = {flare.edge: flare.width_mm for flare in shoe.flares}
    seat = float(stack_of(shoe, Edge.MEDIAL).last_bottom[0])
    high = seat + max(back_height(shoe), topline(shoe, Edge.MEDIAL), topline(shoe, Edge.LATERAL))
    high += BOOT_OVER_STIFFENER_MM if is_boot(shoe) else 10.0
    width = float(np.ceil(2 * (half + max(flares.values(), default=0.0) + MARGIN_MM + 6)))
    height = float(np.ceil(high + 2 * MARGIN_MM + 6))
    page = Page(
        width=width,
        height=height,
        zero_u=width / 2,
        zero_v=height - MARGIN_MM - 6,
        is_mirrored=shoe.side is Side.RIGHT,
    )
    medial_right = shoe.side is Side.LEFT
    title = f"{shoe.side.label}, from behind"
    return View(
        title=title,
        width=width,
        height=height,
        shapes=tuple(_shapes(shoe, page, seat=seat, high=high, flares=flares)),
        measures=tuple(_measures(shoe, page, seat=seat)),
        words=(
            Word(width / 2, height - 3, title),
            Word(width - 2 if medial_right else 2, 9, "MEDIAL", "end" if medial_right else "start"),
            Word(2 if medial_right else width - 2, 9, "LATERAL", "start" if medial_right else "end"),
        ),
    )


def _shapes(shoe: Shoe, page: Page, *, seat: float, high: float, flares: dict[str, float]) -> Iterator[Shape]:
    half = shoe.form.heel_width_mm / 2
    yield Shape("upper", page.path(_barrel(half, seat, high)), "")
    for edge in Edge:
        if not shoe.stiffener or shoe.stiffener.reach(edge) == "none":
            continue
        low = _side_low(shoe, edge)
        words = f"stiffener {edge.value}, back {mm(back_height(shoe))}"
        yield Shape("stiffener", page.path(_half_of_back(half, seat, back_height(shoe), low, edge)), words)
    for relief in shoe.reliefs:
        place = relief_edge(relief)
        middle = 0.0 if place is None else (0.8 * half if place == Edge.MEDIAL else -0.8 * half)
        above = relief.above_seat_mm if relief.above_seat_mm is not None else 0.6 * back_height(shoe)
        wide = relief.width_mm / 2 * (1.0 if place is None else 0.4)
        yield Shape(
            "relief", page.path(ellipse(middle, seat + above, wide, relief.height_mm / 2)), relief_words(relief)
        )
    medial, lateral = (half * 0.92 + flares.get(edge.value, 0.0) for edge in (Edge.MEDIAL, Edge.LATERAL))
    heel = np.array([(-0.92 * half, seat - 1), (0.92 * half, seat - 1), (medial, 0.0), (-lateral, 0.0)])
    words = "; ".join(f"flare {edge} {mm(width)}" for edge, width in flares.items())
    yield Shape("heel", page.path(heel), words)
    for wedge in shoe.wedges:
        if wedge.place == "heel":
            out = half * 0.92 * (1 if wedge.edge == Edge.MEDIAL else -1)
            triangle = np.array([(out, seat - 1), (out, seat - 1 - wedge.height_mm), (-out, seat - 1)])
            yield Shape("wedge", page.path(triangle), f"heel wedge {wedge.edge} {mm(wedge.height_mm)}")


def _barrel(half: float, seat: float, high: float) -> Points:
    """The heel as it stands: round below, drawn in above."""
    v = np.linspace(0, 1, 30)
    out = half * np.where(v < 0.3, 0.80 + 0.20 * np.sin(v / 0.3 * np.pi / 2), 1 - 0.22 * np.maximum((v - 0.3) / 0.7, 0) ** 1.5)
    z = seat + v * (high - seat)
    return np.concatenate([np.column_stack([out, z]), np.column_stack([-out, z])[::-1]])


def _half_of_back(half: float, seat: float, back: float, side: float, edge: Edge) -> Points:
    sign = 1 if edge == Edge.MEDIAL else -1
    v = np.linspace(0, 1, 12)
    out = half * (0.80 + 0.20 * np.sin(v * np.pi / 2))
    rim = np.column_stack([sign * out, seat + v * side])
    return np.concatenate([[(0.0, seat)], rim, [(0.0, seat + back)]])


def _side_low(shoe: Shoe, edge: Edge) -> float:
    """How high the stiffener's edge stands at the side of the heel."""
    stiffener, form = shoe.stiffener, shoe.form
    malleolus = form.medial_malleolus_mm if edge == Edge.MEDIAL else form.lateral_malleolus_mm
    if stiffener and malleolus and stiffener.is_ankle_high(edge):
        return malleolus + (stiffener.above_malleolus_mm or 30.0)
    return 0.85 * back_height(shoe)


def _measures(shoe: Shoe, page: Page, *, seat: float) -> Iterator[Measure]:
    if shoe.stiffener and shoe.stiffener.back_height_mm:
        yield page.measure((0, seat), (0, seat + shoe.stiffener.back_height_mm), mm(shoe.stiffener.back_height_mm))
