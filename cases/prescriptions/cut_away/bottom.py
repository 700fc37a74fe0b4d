"""What lies under and in the bottom of the shoe, seen from one side: insole and what is in it, raise, sole, heel."""

import re
from collections.abc import Iterator

import numpy as np

from cases.prescriptions.cut_away.sheet import Points, Shape, band
from cases.prescriptions.cut_away.stack import Stack, sole_thickness
from cases.prescriptions.shoe import Form, MetatarsalSupport, Shank, Shoe
from shared.sides import Edge

LEAST_SEEN_MM = 0.4
"""Thinner than this a layer is not drawn."""
SEAT_FRONT, SEAT_MIDDLE, SEAT_BACK = 0.24, 0.12, 0.03
"""Of the length: where a carbon zone may begin. From memory."""
CARBON_BEHIND_JOINT_MM = 12.0
"""How far behind the joint a zone begins that is said to begin behind it: where a shank ends. Common practice, no source."""
DOUBLED_ENDS_MM = 20.0
"""Behind the joint. From memory."""
DOUBLED_FROM = 0.02
CUSHION_FROM_TO = {"heel": (0.03, 0.24), "full": (0.02, 0.98)}
"""Of the length. From memory."""
WEDGE_FROM_TO = {"heel": (0.0, 0.25), "forefoot": (0.60, 0.95)}
"""Of the length: under what a wedge stands. From memory."""
REAR_IN_SEAT_MM = 25.0
SHANKS_APART_MM = 22.0
"""From middle to middle, where nobody said: common practice, no source."""
SCOURED_BEHIND_JOINT_MM, SCOURED_BEFORE_TOE_MM, SCOURED_RIM_MM = 12.0, 15.0, 11.0
"""Where the scoured zone lies while nobody said it: common practice, no source."""
CARBON_MM_A_PLY = 0.28
BAR_LONG_MM, DOME_LONG_MM = 15.0, 55.0
SOCK_BEHIND_JOINT_MM, HEEL_SOCK_TO = 5.0, 0.34
TOE_PROP_LONG_MM = 20.0
FILLER_OF_LENGTH = 0.25
"""Where sock, toe prop and filler lie while nobody said it. From memory."""


def under_the_foot(shoe: Shoe, stack: Stack, edge: Edge) -> Iterator[Shape]:
    """The layers from the ground up."""
    x, sole = stack.x, sole_thickness(shoe)
    rear, fore = x <= stack.breast_mm, x >= stack.breast_mm
    if shoe.sole:
        under = np.where(rear, stack.over_sole - sole, stack.under_sole) if shoe.heel else stack.under_sole
        yield Shape("sole", "sole", band(x[fore], stack.over_sole[fore], under[fore]))
        yield Shape("sole", "sole", band(x[rear], stack.over_sole[rear], under[rear]))
    if shoe.heel:
        over = stack.over_sole[rear] - sole
        yield Shape("heel", "heel", band(x[rear], over, np.minimum(stack.under_sole[rear], over)))
        if shoe.heel.cushion_heel:
            soft = x <= 0.14 * shoe.form.length_mm
            low = np.interp(x[soft], [0, 0.14 * shoe.form.length_mm], [0.35, 1.0])
            top = stack.over_sole[soft] - sole
            yield Shape("cushion", "heel", band(x[soft], top, top * low))
    if float((stack.under_insole - stack.over_sole).max()) > LEAST_SEEN_MM:
        yield Shape("raise", "height_raise", band(x, stack.under_insole, stack.over_sole))
    if shoe.insole:
        yield Shape("insole", "insole", band(x, stack.last_bottom, stack.under_insole))
    for wedge in shoe.wedges:
        if wedge.edge == edge.value:
            along = places(stack, *(part * shoe.form.length_mm for part in WEDGE_FROM_TO[wedge.place]))
            top = line(along, stack, stack.over_sole)
            yield Shape("wedge", "wedges", band(along, top, top - wedge.height_mm))


def in_the_bottom(shoe: Shoe, stack: Stack, edge: Edge) -> Iterator[Shape]:
    """What lies in, on or under the insole."""
    length, joint, insole = shoe.form.length_mm, shoe.form.heel_to_joint_mm, shoe.insole
    lift = stack.under_foot - stack.last_bottom
    if float(lift.max()) > LEAST_SEEN_MM:
        lifted = lift > 0.05
        under = stack.last_bottom[lifted]
        yield Shape("raise", "height_raise", band(stack.x[lifted], under + lift[lifted], under))
    if insole and insole.rear_doubled_mm:
        x = places(stack, DOUBLED_FROM * length, joint - DOUBLED_ENDS_MM)
        under = line(x, stack, stack.under_insole)
        yield Shape("doubled", "insole", band(x, under, under - insole.rear_doubled_mm))
    if insole:
        yield from _on_the_insole(shoe, stack, edge)
    for cushion in shoe.cushions:
        if cushion.place in CUSHION_FROM_TO:
            # On the insole or its lift: it takes of the room for the foot.
            x = places(stack, *(part * length for part in CUSHION_FROM_TO[cushion.place]))
            top = line(x, stack, stack.under_foot) + cushion.thickness_mm
        else:
            x = places(stack, *scoured_zone(shoe))
            top = line(x, stack, stack.under_insole) + min(cushion.thickness_mm, 2.5)
        yield Shape("cushion", "cushions", band(x, top, top - cushion.thickness_mm))
    for support in shoe.metatarsal_supports:
        ends = support_ends(support, joint)
        yield Shape("support", "metatarsal_supports", _hump(*ends, high=support.height_mm, stack=stack))
    if shoe.toe_prop:
        yield Shape("toe prop", "toe_prop", _hump(*toe_prop_zone(shoe), high=shoe.toe_prop.height_mm, stack=stack))
    if shoe.shank:
        x = places(stack, *shank_ends(shoe))
        top = line(x, stack, stack.under_insole)
        yield Shape("shank", "shank", band(x, top, top - max(shoe.shank.thickness_mm, 1.6)))
    if shoe.carbon_zone:
        x = places(stack, *carbon_zone(shoe))
        top = line(x, stack, stack.under_insole) - (1.6 if shoe.shank else 0.0)
        yield Shape("carbon", "carbon_zone", band(x, top, top - max(CARBON_MM_A_PLY * shoe.carbon_zone.plies, 2.0)))


def _on_the_insole(shoe: Shoe, stack: Stack, edge: Edge) -> Iterator[Shape]:
    insole, length, joint = shoe.insole, shoe.form.length_mm, shoe.form.heel_to_joint_mm
    if insole is None:
        return
    if insole.inlay_heel_mm or insole.inlay_forepart_mm:
        bottom = stack.under_foot
        room = np.interp(stack.x, [0.2 * length, joint], [insole.inlay_heel_mm or 0, insole.inlay_forepart_mm or 0])
        yield Shape("inlay", "insole", band(stack.x, bottom + room, bottom))
    beside = turned_up_mm(shoe, edge)
    for high, (start, end) in ((beside, turn_up_zone(shoe)), (insole.turn_up_heel_mm, (0.0, 0.22 * length))):
        if high:
            x = places(stack, start, end)
            rise = (
                np.sin(np.clip((x - start) / (end - start), 0, 1) * np.pi) ** 0.5
                if start
                else np.cos(x / end * np.pi / 2) ** 0.5
            )
            bed = line(x, stack, stack.last_bottom)
            yield Shape("turned up", "insole", band(x, bed + high * rise, bed))


ARCHED = np.cos(np.linspace(-np.pi / 2, np.pi / 2, 15))


def _hump(start: float, end: float, *, high: float, stack: Stack) -> Points:
    """On the foot bed."""
    x = start + (end - start) * np.arange(15) / 14
    bed = np.interp(x, stack.x, stack.last_bottom)
    return band(x, bed + high * ARCHED, bed)


def support_ends(support: MetatarsalSupport, joint: float) -> tuple[float, float]:
    """A dome's leading edge, a bar's crest lies so far behind the joint line."""
    is_bar = support.kind == "bar"
    long = support.long_mm or (BAR_LONG_MM if is_bar else DOME_LONG_MM)
    middle = joint - support.behind_joint_line_mm - (0 if is_bar else long / 2)
    return middle - long / 2, middle + long / 2


def shank_ends(shoe: Shoe) -> tuple[float, float]:
    """From the back of the heel to where a shank begins and ends.

    Its front is said from the joint line where that comes nearest to it: the line slants, so that is the lateral corner.
    """
    shank = shoe.shank
    if shank is None:
        return 0.0, 0.0
    rear = REAR_IN_SEAT_MM if shank.rear_end_in_seat_mm is None else shank.rear_end_in_seat_mm
    return rear, joint_at_shank(shoe.form, shank) - shank.front_end_behind_joint_mm


def joint_at_shank(form: Form, shank: Shank) -> float:
    """How far forward the joint line lies at the lateral edge of a shank, or of the more lateral of several."""
    lateral = (shank.count - 1) / 2 * (shank.apart_mm or SHANKS_APART_MM) + shank.width_mm / 2
    return form.joint_line_mm(-lateral)


def carbon_zone(shoe: Shoe) -> tuple[float, float]:
    """From where to where the carbon lies, from the back of the heel. Words it cannot read begin at the seat's front."""
    carbon, form = shoe.carbon_zone, shoe.form
    if carbon is None:
        return 0.0, 0.0
    end = form.length_mm - carbon.ends_before_toe_mm
    return min(max(_carbon_start(carbon.starts.casefold(), form), 0.0), end), end


def _carbon_start(words: str, form: Form) -> float:
    given = re.search(r"(\d+(?:[.,]\d+)?) *(?:mm)? *(behind|from|ahead)", words)
    far = float(given[1].replace(",", ".")) if given else None
    front = SEAT_FRONT * form.length_mm
    if "joint" in words:
        return form.heel_to_joint_mm - (CARBON_BEHIND_JOINT_MM if far is None else far)
    if far is not None and "heel" in words:
        return far
    if "waist" in words or "arch" in words:
        return (front + form.heel_to_joint_mm) / 2
    if "mid" in words:
        return SEAT_MIDDLE * form.length_mm
    if any(each in words for each in ("back", "heel", "whole", "full")):
        return SEAT_BACK * form.length_mm
    return front


def sock_end(shoe: Shoe) -> float | None:
    """How far forward the sock comes by its words: a heel sock to the waist, a half one to the joint; None without one."""
    words, length = (shoe.insole.sock if shoe.insole else "").casefold(), shoe.form.length_mm
    if not words or words.startswith(("none", "no sock", "without")):
        return None
    if "half" in words:
        return shoe.form.heel_to_joint_mm - SOCK_BEHIND_JOINT_MM
    if "heel" in words:
        return HEEL_SOCK_TO * length
    return length


def toe_prop_zone(shoe: Shoe) -> tuple[float, float]:
    """Along the foot: under the bent toes, its crest behind their tips. From memory."""
    crest = 0.88 * shoe.form.length_mm
    return crest - TOE_PROP_LONG_MM / 2, crest + TOE_PROP_LONG_MM / 2


def filler_length(shoe: Shoe) -> float:
    """How far from the tip a toe filler comes back: the mm its words give, else about a forefoot's length. From memory."""
    given = re.search(r"(\d+(?:[.,]\d+)?) *mm", shoe.toe_filler)
    return float(given[1].replace(",", ".")) if given else FILLER_OF_LENGTH * shoe.form.length_mm


def turned_up_mm(shoe: Shoe, edge: Edge) -> float | None:
    """How high the insole is turned up at a side."""
    if shoe.insole is None:
        return None
    return shoe.insole.turn_up_medial_mm if edge == Edge.MEDIAL else shoe.insole.turn_up_lateral_mm


def turn_up_zone(shoe: Shoe) -> tuple[float, float]:
    """Along the foot: where an insole turned up at a side rises and comes down again. From memory."""
    return 0.22 * shoe.form.length_mm, shoe.form.heel_to_joint_mm - 10.0


def scoured_zone(shoe: Shoe) -> tuple[float, float]:
    """From where to where the forepart of the insole is scoured, from the back of the heel."""
    insole = shoe.insole
    behind = insole.scoured_behind_joint_mm if insole else None
    before = insole.scoured_before_toe_mm if insole else None
    return (
        shoe.form.heel_to_joint_mm - (SCOURED_BEHIND_JOINT_MM if behind is None else behind),
        shoe.form.length_mm - (SCOURED_BEFORE_TOE_MM if before is None else before),
    )


def places(stack: Stack, start: float, end: float) -> Points:
    """The places along the shoe between two, both among them."""
    x = stack.x
    start, end = (float(min(max(each, x[0]), x[-1])) for each in (start, end))
    return np.concatenate([[start], x[(x > start) & (x < end)], [end]])


def line(x: Points, stack: Stack, of: Points) -> Points:
    """The height of a line of the stack at other places."""
    drawn: Points = np.interp(x, stack.x, of)
    return drawn
