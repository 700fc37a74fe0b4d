"""The shell of the shoe over the last: upper, stiffener with its reliefs, toe puff, seen from one side."""

from collections.abc import Iterator

import numpy as np

from cases.prescriptions.cut_away.edges import along
from cases.prescriptions.cut_away.sheet import Points, band, ellipse, figure, said
from cases.prescriptions.cut_away.stack import Stack, lifted_at
from cases.prescriptions.reaches import ReachWords
from cases.prescriptions.shoe import Relief, Shoe, SoftZone
from shared.sides import Edge

THROAT_AT = 0.53
"""Of the length: where a low shoe opens. From memory."""
TOPLINE_OVER_STIFFENER_MM = 8.0
COLLAR_HIGH_MM = 8.0
"""How far down from the topline a padded collar is drawn. From memory."""
BOOT_FRONT_AT = 0.42
"""Of the length: the front of a boot's shaft. From memory."""
BOOT_TOPS_MM = {"ankle boot": 115.0, "high boot": 175.0}
"""How high over its seat a boot stands where nobody said. From memory."""
MOST_DRAWN_MM = 120.0
"""A higher shaft is drawn broken off here, where nothing is closed in any more."""
ORDINARY_BACK_MM = 50.0
ORDINARY_REACHES = {"short": 0.45, "medium": 0.65, "long": 0.90}
"""Parts of the feather edge from centre back to the joint, for a reach whose mm are not said yet: common practice, no source."""
FRONT_HEIGHT_MM = 24.0
PUFF_OF_LENGTH = {"light": 0.15, "standard": 0.20, "wall": 0.20, "steel": 0.20}
"""Of the last's length, for a puff whose length is not said yet: common practice, no source."""
WALL_MM = 14.0
ANKLE_HIGH_OVER_MALLEOLUS_MM = 30.0
RELIEF_BESIDE_AT, RELIEF_BESIDE_BACK_AT = 0.22, 0.08
"""Of the length: how far ahead a relief lies that is said to be at a side of the heel, at a side of its back, where only
its height over the seat is said. From memory."""
STIFFENER_END_ROUND_MM = 12.0
MALLEOLUS_AT, EAR_HALF = 0.25, 0.12
"""Of the length: how far ahead of the back of the heel the malleoli stand, and half of how broad an ankle-high side is
over one. From memory."""


def back_height(shoe: Shoe) -> float:
    given = shoe.stiffener.back_height_mm if shoe.stiffener else None
    return given or ORDINARY_BACK_MM


def topline(shoe: Shoe, edge: Edge) -> float:
    """How high over the seat the topline stands at the side of the heel."""
    given = None
    if shoe.upper:
        given = shoe.upper.topline_medial_mm if edge == Edge.MEDIAL else shoe.upper.topline_lateral_mm
    return given or back_height(shoe) + TOPLINE_OVER_STIFFENER_MM


def boot_top(shoe: Shoe) -> float | None:
    """How high over the seat a boot's shaft is drawn; None for a low shoe."""
    ordinary = BOOT_TOPS_MM.get(shoe.upper.height) if shoe.upper else None
    if ordinary is None:
        return None
    sides = [height for edge in Edge if (height := ankle_height(shoe, edge))]
    return max(
        min(ordinary, MOST_DRAWN_MM), back_height(shoe) + TOPLINE_OVER_STIFFENER_MM, *(each + 8.0 for each in sides)
    )


def ankle_height(shoe: Shoe, edge: Edge) -> float | None:
    """How high over its feather edge an ankle-high side of the stiffener stands; None where it is not ankle-high."""
    stiffener, form = shoe.stiffener, shoe.form
    malleolus = form.medial_malleolus_mm if edge == Edge.MEDIAL else form.lateral_malleolus_mm
    if stiffener is None or not stiffener.is_ankle_high(edge):
        return None
    over = stiffener.above_malleolus_mm or ANKLE_HIGH_OVER_MALLEOLUS_MM
    return (malleolus or 75.0) + lifted_at(shoe, MALLEOLUS_AT * form.length_mm) + over


def upper_shape(shoe: Shoe, stack: Stack, edge: Edge) -> Points:
    """The closed line of the upper from the feather at the toe over the throat to the back."""
    x, shaft = stack.x, np.array(_topline_shape(shoe, stack, edge))
    vamp = x >= (BOOT_FRONT_AT if boot_top(shoe) is not None else THROAT_AT) * shoe.form.length_mm
    over = np.column_stack([x[vamp], stack.last_top[vamp]])[::-1]
    back = stack.back[stack.back[:, 1] < shaft[-1, 1]]
    return np.concatenate([np.column_stack([x, stack.last_bottom]), over, shaft, back])


def _topline_shape(shoe: Shoe, stack: Stack, edge: Edge) -> list[tuple[float, float]]:
    """From the throat, or the front of the shaft, to the back."""
    length, seat, top = shoe.form.length_mm, float(stack.last_bottom[0]), boot_top(shoe)
    if top is not None:
        front = BOOT_FRONT_AT * length - 6
        return [(front, seat + top), (0.02 * length, seat + top), (0.02 * length, float(stack.back[0, 1]))]
    at_side, at_back = seat + topline(shoe, edge), seat + back_height(shoe) + TOPLINE_OVER_STIFFENER_MM
    return [(0.40 * length, at_side + 6), (0.22 * length, at_side), (0.015 * length, at_back)]


def collar_shape(shoe: Shoe, stack: Stack, edge: Edge) -> Points:
    """The padding under the topline."""
    along = _topline_shape(shoe, stack, edge)[: 2 if boot_top(shoe) is not None else 3]
    high = min(COLLAR_HIGH_MM, TOPLINE_OVER_STIFFENER_MM)
    return np.array([*along, *((x, z - high) for x, z in reversed(along))])


def reach_of(shoe: Shoe, edge: Edge) -> float:
    """How far along the feather edge the stiffener comes on one side, in mm; 0 where it has none there."""
    stiffener = shoe.stiffener
    if stiffener is None or stiffener.reach(edge) == "none":
        return 0.0
    given = stiffener.reach_mm(edge)
    if given is not None:
        return given
    words = ReachWords(stiffener.medial_reach, stiffener.lateral_reach)
    return ORDINARY_REACHES[stiffener.reach(edge)] * shoe.form.arc_mm(words.arc_of(edge))


def stiffener_shape(shoe: Shoe, stack: Stack, edge: Edge) -> Points | None:
    """From the back to the end of its reach, high at the back, low and round in front; the sides higher where asked."""
    reach = reach_of(shoe, edge)
    if reach <= 0 or shoe.stiffener is None:
        return None
    end, _ = along(shoe, edge, reach)
    rounding = min(shoe.stiffener.front_height_mm or FRONT_HEIGHT_MM, STIFFENER_END_ROUND_MM, end)
    x = np.concatenate(
        [np.linspace(0.0, end - rounding, 24), end - rounding + rounding * np.sin(np.linspace(0.2, 1.57, 7))]
    )
    x[-1] = end
    near = np.clip((x - (end - rounding)) / rounding, 0, 1)
    height = stiffener_height(shoe, edge, x, end) - rounding * (1 - np.sqrt(1 - near**2))
    bottom = np.interp(x, stack.x, stack.last_bottom)
    over = 200.0 if boot_top(shoe) is not None else 0.0
    top = np.minimum(bottom + height, np.interp(x, stack.x, stack.last_top) + over)
    return band(x, top, bottom)


def stiffener_height(shoe: Shoe, edge: Edge, x: Points, end: float) -> Points:
    """How high over the feather edge the stiffener stands at places x of a side that ends at `end`, before rounding.

    As high as said at the back and at the end. Between them an ankle-high side rises over the malleolus, and a
    relieved one dips under it where it would stand higher.
    """
    back = back_height(shoe)
    front = (shoe.stiffener.front_height_mm if shoe.stiffener else None) or FRONT_HEIGHT_MM
    height: Points = front + (back - front) * (1 - x / end) ** 1.4
    middle = malleolus_ahead(shoe, end)
    over = ankle_height(shoe, edge)
    under = under_the_ankle(shoe, edge)
    sides = front + (back - front) * (1 - middle / end) ** 1.4
    more = over - sides if over is not None else min((under or sides) - sides, 0.0)
    if more:
        height = height + more * _hump(x, middle=middle, broad=EAR_HALF * shoe.form.length_mm, end=end)
    return height


def malleolus_ahead(shoe: Shoe, end: float) -> float:
    """How far ahead of the back of the heel a side that ends at `end` rises or dips for the malleolus."""
    return min(MALLEOLUS_AT * shoe.form.length_mm, 0.6 * end)


def _hump(x: Points, *, middle: float, broad: float, end: float) -> Points:
    """1 in the middle, broad and round there, and 0 at the back and at the end."""
    least = np.exp(-((np.where(x < middle, middle, end - middle) / broad) ** 3))
    hump: Points = (np.exp(-((np.abs(x - middle) / broad) ** 3)) - least) / (1 - least)
    return hump


def under_the_ankle(shoe: Shoe, edge: Edge) -> float | None:
    """How high over its feather edge the top of a side stands at most, under the malleolus; None where nobody said it."""
    stiffener, form = shoe.stiffener, shoe.form
    malleolus = form.medial_malleolus_mm if edge == Edge.MEDIAL else form.lateral_malleolus_mm
    if stiffener is None or malleolus is None:
        return None
    below = stiffener.medial_below_malleolus_mm if edge == Edge.MEDIAL else stiffener.lateral_below_malleolus_mm
    return None if below is None else malleolus + lifted_at(shoe, MALLEOLUS_AT * form.length_mm) - below


SOFT = {"softer": "softer leather", "stretch": "stretch leather", "unbacked": "no backing", "padded": "padded"}
SEEN_FROM = {
    "1st joint": Edge.MEDIAL,
    "medial ankle": Edge.MEDIAL,
    "5th joint": Edge.LATERAL,
    "lateral ankle": Edge.LATERAL,
}
"""Soft zones of one side; the others are seen from both."""


def soft_zones_seen_from(shoe: Shoe, stack: Stack, edge: Edge) -> Iterator[tuple[Points, SoftZone]]:
    """Where the upper gives, on this side. Places and sizes are those of an ordinary foot, from memory."""
    form, seat = shoe.form, float(stack.last_bottom[0])
    length = form.length_mm
    top = boot_top(shoe) or topline(shoe, edge)
    ankle, beside = (
        (form.medial_malleolus_mm if edge == Edge.MEDIAL else form.lateral_malleolus_mm) or 75.0,
        RELIEF_BESIDE_AT * length,
    )

    def over(x: float, part: float) -> float:
        return (1 - part) * stack.at(x, stack.last_bottom) + part * stack.at(x, stack.last_top)

    for zone in shoe.soft_zones:
        if SEEN_FROM.get(zone.place, edge) != edge:
            continue
        x, z, long, high = {
            "toes": (0.89 * length, over(0.89 * length, 0.66), 0.08 * length, 7.0),
            "instep": (0.52 * length, over(0.52 * length, 0.85), 0.09 * length, 8.0),
            "heel": (0.0, seat + 0.6 * back_height(shoe), 12.0, 12.0),
        }.get(zone.place, (beside, seat + min(ankle + lifted_at(shoe, beside), top - 14), 18.0, 13.0))
        if "joint" in zone.place:
            x = form.heel_to_joint_mm if edge == Edge.MEDIAL else form.heel_to_fifth_mm
            z, long, high = over(x, 0.4), 20.0, 11.0
        outline = ellipse(x, z, long, high)
        outline[:, 0] = np.maximum(outline[:, 0], 0.0)
        yield outline, zone


def reliefs_seen_from(shoe: Shoe, stack: Stack, edge: Edge) -> Iterator[tuple[Points, Relief]]:
    """Reliefs on this side of the heel; one at the back is seen from behind, and half of it from each side."""
    for relief in shoe.reliefs:
        if relief_edge(relief) not in {edge, None}:
            continue
        middle = relief_ahead(shoe, relief)
        seat = stack.at(middle, stack.last_bottom)
        outline = ellipse(middle, seat + relief_height(shoe, relief), relief.width_mm / 2, relief.height_mm / 2)
        outline[:, 0] = np.maximum(outline[:, 0], 0.0)
        yield outline, relief


def relief_height(shoe: Shoe, relief: Relief) -> float:
    """How high over the feather edge the middle of a relief lies: said from the foot's seat, which a lift raises."""
    if relief.above_seat_mm is None:
        return 0.6 * back_height(shoe)
    return relief.above_seat_mm + lifted_at(shoe, relief_ahead(shoe, relief))


def relief_ahead(shoe: Shoe, relief: Relief) -> float:
    """How far ahead of the back of the heel its middle lies: none at the back."""
    if relief_edge(relief) is None:
        return 0.0
    beside_back = "back" in relief.place.casefold()
    return (RELIEF_BESIDE_BACK_AT if beside_back else RELIEF_BESIDE_AT) * shoe.form.length_mm


def relief_edge(relief: Relief) -> Edge | None:
    """The side a relief lies on by its words; None for the back."""
    words = relief.place.casefold()
    return next((edge for edge in Edge if edge.value in words), None)


def relief_words(shoe: Shoe, relief: Relief) -> str:
    """What is relieved where; of a shoe whose stiffener is not prescribed, in the one that it has."""
    how = f"thinned to {relief.thinned_to_mm:g}" if relief.thinned_to_mm else relief.way
    above = ""
    if relief.above_seat_mm is not None:
        above = f"{figure(relief.above_seat_mm)} over the seat"
        if lifted_at(shoe, relief_ahead(shoe, relief)):
            above = f"{above}, {figure(relief_height(shoe, relief))} over the insole"
    of_what = "relief" if shoe.stiffener else "relief in its stiffener,"
    return said(f"{of_what} {relief.place} {relief.width_mm:g} × {relief.height_mm:g} mm", how, above)


def puff_length(shoe: Shoe) -> float:
    """How long the toe puff is, from the tip; 0 without one."""
    puff = shoe.toe_puff
    if puff is None or puff.kind == "none":
        return 0.0
    return puff.length_mm or PUFF_OF_LENGTH.get(puff.kind, 0.2) * shoe.form.length_mm


def puff_shape(shoe: Shoe, stack: Stack) -> Points | None:
    """Over the toes: the whole depth, or a band of the wall's height."""
    long, length = puff_length(shoe), shoe.form.length_mm
    if not long or shoe.toe_puff is None:
        return None
    x = np.unique(np.append(stack.x[stack.x > length - long], [length - long, length]))
    bottom, top = np.interp(x, stack.x, stack.last_bottom), np.interp(x, stack.x, stack.last_top)
    if shoe.toe_puff.kind == "wall":
        top = np.minimum(top, bottom + (shoe.toe_puff.wall_height_mm or WALL_MM))
    return band(x, top, bottom)
