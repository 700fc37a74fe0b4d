"""Where the parts in the bottom of a shoe lie, seen from above: one geometry for the drawing and for what is cut.

Lengths in mm; x forward from the back of the heel, y towards medial. What is said to lie so far behind the joint lies so
far behind the joint line, which runs from the 1st to the 5th joint and not straight across.
"""

from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from cases.lasts.outline import PlanShape
from cases.prescriptions.cut_away.bottom import (
    BAR_LONG_MM,
    DOME_LONG_MM,
    DOUBLED_ENDS_MM,
    SCOURED_RIM_MM,
    SHANKS_APART_MM,
    TOE_PROP_LONG_MM,
    carbon_zone,
    scoured_zone,
    shank_ends,
    sock_end,
    turn_up_zone,
)
from cases.prescriptions.shoe import MetatarsalSupport, Shoe, outline_once
from shared.sides import Edge

Points = NDArray[np.float64]

FAR_MM = 500.0
NEAR_JOINT_MM = 30.0
"""What ends less than this behind the 1st joint ends along the joint line, not straight across. From memory."""
CARBON_INSIDE_MM = 9.0
"""Common practice, no source."""
DOUBLED_INSIDE_MM, FULL_CUSHION_INSIDE_MM, PROP_INSIDE_MM = 6.0, 5.0, 8.0
"""How far inside the feather edge these end. From memory."""
HEEL_CUSHION_AT = 0.14
"""Of the length: the middle of the heel. From memory."""
HEEL_CUSHION_MM = 60.0
HEEL_RIM_MM = 4.0
"""From memory: at least so much of the insole stays round a heel cushion."""
FRONT_ROUND_MM = 10.0
"""What ends straight across before the toe has its corners rounded so. From memory."""
DOME_ACROSS_MM = 40.0
DOME_LATERAL_OF_WIDTH = 0.08
"""Of the joint width: so far lateral of the axis, which runs to the 2nd toe, lies the middle of 2nd and 3rd joint. From memory."""
BAR_OF_WIDTH = 0.8
"""Of the joint width: how far across a bar is. From memory."""
DOME_WIDEST_AT = 0.4
"""Of its length, from the front. From memory."""
BIG_TOE_OF_WIDTH = 0.32
"""Of the width across the toes; the others share the rest alike. From memory."""
PROP_AT = 0.55
"""Of the way from the joint line to the tip: the hollow under bent toes. From memory."""


def largest(geometry: shapely.Geometry) -> shapely.Polygon:
    """The largest part of what was cut or shrunk, without holes; an empty polygon where nothing is left."""
    parts = [each for each in getattr(geometry, "geoms", [geometry]) if isinstance(each, shapely.Polygon)]
    if not parts:
        return shapely.Polygon()
    return shapely.Polygon(max(parts, key=lambda each: float(each.area)).exterior)


def inside(shoe: Shoe, rim_mm: float) -> shapely.Polygon:
    """The outline of the form with a rim taken off; empty where nothing is left."""
    return _inside(shoe.form.plan_shape, rim_mm)


def beyond(shoe: Shoe, by_mm: float) -> shapely.Polygon:
    """The outline of the form with as much put on all round."""
    return _inside(shoe.form.plan_shape, -by_mm)


@lru_cache(maxsize=512)
def _inside(shape: PlanShape, rim_mm: float) -> shapely.Polygon:
    return largest(outline_once(shape).polygon.buffer(-rim_mm))


def ahead_of_joint(shoe: Shoe, polygon: shapely.Polygon, by_mm: float) -> shapely.Polygon:
    """What of a polygon lies ahead of a line `by_mm` ahead of the joint line."""
    ends = [(shoe.form.joint_line_mm(y) + by_mm, y) for y in (-FAR_MM, FAR_MM)]
    beyond_all = max(x for x, _ in ends) + FAR_MM
    zone = shapely.Polygon([*ends, (beyond_all, FAR_MM), (beyond_all, -FAR_MM)])
    return largest(polygon.intersection(zone))


def behind_joint(shoe: Shoe, polygon: shapely.Polygon, by_mm: float) -> shapely.Polygon:
    """What of a polygon lies behind a line `by_mm` behind the joint line."""
    ends = [(shoe.form.joint_line_mm(y) - by_mm, y) for y in (-FAR_MM, FAR_MM)]
    behind_all = min(x for x, _ in ends) - FAR_MM
    zone = shapely.Polygon([*ends, (behind_all, FAR_MM), (behind_all, -FAR_MM)])
    return largest(polygon.intersection(zone))


def across(polygon: shapely.Polygon, start: float, end: float) -> shapely.Polygon:
    """What of a polygon lies between two places along the foot, cut straight across."""
    return largest(shapely.clip_by_rect(polygon, start, -FAR_MM, end, FAR_MM)) if end > start else shapely.Polygon()


def turned_up(shoe: Shoe, edge: Edge) -> tuple[float, float]:
    """Along the foot: where an insole is turned up at a side. On the lateral side it ends before the 5th joint."""
    start, end = turn_up_zone(shoe)
    before_joint = shoe.form.heel_to_joint_mm - end
    joint_at = shoe.form.outline.medial_joint if edge == Edge.MEDIAL else shoe.form.outline.lateral_joint
    return start, max(min(end, joint_at[0] - before_joint), start)


def sock(shoe: Shoe) -> shapely.Polygon:
    """The lining on the insole: whole, to behind the joints, or in the heel alone; empty where there is none."""
    end, outline = sock_end(shoe), shoe.form.outline.polygon
    if end is None:
        return shapely.Polygon()
    if end < shoe.form.heel_to_joint_mm - NEAR_JOINT_MM:
        return across(outline, -FAR_MM, end)
    return outline if end >= shoe.form.length_mm else behind_joint(shoe, outline, shoe.form.heel_to_joint_mm - end)


@lru_cache(maxsize=512)
def _to_a_round_front(shape: PlanShape, rim_mm: float, start: float, end: float) -> shapely.Polygon:
    """Between two places along the foot, the corners at the front rounded."""
    cut = across(_inside(shape, rim_mm), start, end)
    rounded = across(cut, end - 4 * FRONT_ROUND_MM, FAR_MM).buffer(-FRONT_ROUND_MM).buffer(FRONT_ROUND_MM)
    return largest(across(cut, -FAR_MM, end - 2 * FRONT_ROUND_MM).union(rounded))


def scoured(shoe: Shoe) -> shapely.Polygon:
    """The zone of the forepart that is scoured, and its cushion; with the ordinary rim where none was said."""
    rim = shoe.insole.scoured_rim_mm if shoe.insole else None
    start, end = scoured_zone(shoe)
    behind = start - shoe.form.heel_to_joint_mm
    rim = SCOURED_RIM_MM if rim is None else rim
    zone = _to_a_round_front(shoe.form.plan_shape, rim, -FAR_MM, end)
    return ahead_of_joint(shoe, zone, behind)


def doubled(shoe: Shoe, *, behind_joint_mm: float = DOUBLED_ENDS_MM) -> shapely.Polygon:
    """The second layer of the rear, round the seat as the insole is."""
    return behind_joint(shoe, inside(shoe, DOUBLED_INSIDE_MM), behind_joint_mm)


def full_cushion(shoe: Shoe) -> shapely.Polygon:
    return inside(shoe, FULL_CUSHION_INSIDE_MM)


def heel_cushion(shoe: Shoe, *, diameter_mm: float = HEEL_CUSHION_MM) -> shapely.Polygon:
    """A disc in the middle of the heel; smaller where the heel leaves less than a rim round it."""
    middle = shapely.Point(HEEL_CUSHION_AT * shoe.form.length_mm, 0.0)
    most = shoe.form.outline.polygon.exterior.distance(middle) - HEEL_RIM_MM
    return middle.buffer(max(min(diameter_mm / 2, most), 0.0), quad_segs=24)


def support(shoe: Shoe, one: MetatarsalSupport) -> shapely.Polygon:
    """A dome or a bar where it lies: a bar along the joint line, a dome along the foot behind 2nd and 3rd joint."""
    medial, lateral = np.array(shoe.form.outline.medial_joint), np.array(shoe.form.outline.lateral_joint)
    if one.kind == "bar":
        middle = (medial + lateral) / 2 - [one.behind_joint_line_mm, 0.0]
        along = (medial - lateral) / np.hypot(*(medial - lateral))
        lies = support_piece(one, joint_width_mm=shoe.form.joint_width_mm)
        turned = np.column_stack(
            [lies[:, 0] * along[1] + lies[:, 1] * along[0], lies[:, 1] * along[1] - lies[:, 0] * along[0]]
        )
        return shapely.Polygon(turned + middle)
    at = -DOME_LATERAL_OF_WIDTH * shoe.form.joint_width_mm
    leading = shoe.form.joint_line_mm(at) - one.behind_joint_line_mm
    alone = support_piece(one, joint_width_mm=shoe.form.joint_width_mm)
    return shapely.Polygon(alone + np.array([leading, at]))


def support_piece(one: MetatarsalSupport, *, joint_width_mm: float) -> Points:
    """A support by itself, alike to both sides of its own axis: a bar about its middle, a dome from its leading edge."""
    wide = across_of(one, joint_width_mm=joint_width_mm) / 2
    if one.kind == "bar":
        half = (one.long_mm or BAR_LONG_MM) / 2
        straight = max(wide - half, 0.0)
        spine = shapely.LineString([(0.0, -straight), (0.0, straight)]) if straight else shapely.Point(0.0, 0.0)
        return np.asarray(spine.buffer(half, quad_segs=8).exterior.coords)[:-1]
    long, turn = one.long_mm or DOME_LONG_MM, np.linspace(0, 2 * np.pi, 72, endpoint=False)
    ends = np.where(np.cos(turn) > 0, DOME_WIDEST_AT, 1 - DOME_WIDEST_AT) * long
    return np.column_stack([ends * np.cos(turn) - DOME_WIDEST_AT * long, wide * np.sin(turn)])


def across_of(one: MetatarsalSupport, *, joint_width_mm: float) -> float:
    return one.across_mm or (BAR_OF_WIDTH * joint_width_mm if one.kind == "bar" else DOME_ACROSS_MM)


def shanks(shoe: Shoe) -> tuple[shapely.Polygon, ...]:
    """Each shank, from lateral to medial."""
    shank = shoe.shank
    if shank is None:
        return ()
    rear, front = shank_ends(shoe)
    apart = shank.apart_mm or SHANKS_APART_MM
    middles = [(place - (shank.count - 1) / 2) * apart for place in range(int(shank.count))]
    return tuple(
        shapely.box(rear, middle - shank.width_mm / 2, front, middle + shank.width_mm / 2) for middle in middles
    )


def carbon(shoe: Shoe, *, edge_in_mm: float = CARBON_INSIDE_MM, step_mm: float = 0.0) -> shapely.Polygon:
    """The carbon zone; `step_mm` takes so much off each of its ends."""
    start, end = carbon_zone(shoe)
    return _to_a_round_front(shoe.form.plan_shape, edge_in_mm, start + step_mm, end - step_mm)


def toe_prop(shoe: Shoe) -> shapely.Polygon:
    """A crest in the hollow under the toes it is for, from the medial edge of the first to the lateral edge of the last."""
    prop = shoe.toe_prop
    if prop is None:
        return shapely.Polygon()
    medial, lateral = shoe.form.outline.medial_joint[1], shoe.form.outline.lateral_joint[1]
    edges = [0.0, *np.linspace(BIG_TOE_OF_WIDTH, 1.0, 5)]
    first, last = (medial + (lateral - medial) * edges[toe] for toe in (prop.first_toe - 1, prop.last_toe))
    y = np.linspace(first, last, 15)
    ring = shoe.form.outline.points
    tip = int(ring[:, 0].argmax())
    over, under = ring[: tip + 1], ring[tip:]
    ahead = np.where(y > ring[tip, 1], _reached(over, y), _reached(under[::-1] * [1, -1], -y))
    joint = np.array([shoe.form.joint_line_mm(each) for each in y])
    middle = joint + PROP_AT * np.maximum(ahead - joint, 0.0)
    band = np.concatenate(
        [np.column_stack([middle + TOE_PROP_LONG_MM / 2, y]), np.column_stack([middle - TOE_PROP_LONG_MM / 2, y])[::-1]]
    )
    rounded = shapely.Polygon(band).buffer(-4.0).buffer(4.0)
    return largest(rounded.intersection(inside(shoe, PROP_INSIDE_MM)))


def _reached(edge: Points, out: Points) -> Points:
    """How far forward an edge, y away from the axis, still lies so far out: from its widest place to the tip."""
    fore = edge[int(edge[:, 1].argmax()) :][::-1]
    reached: Points = np.interp(out, np.maximum.accumulate(fore[:, 1]), fore[:, 0])
    return reached
