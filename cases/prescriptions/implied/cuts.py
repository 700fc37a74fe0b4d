"""Sizes of the parts to cut, in whole mm: starting pieces, cut full and trimmed on the last."""

import numpy as np

from cases.prescriptions.cut_away.bottom import carbon_zone, scoured_zone, shank_ends
from cases.prescriptions.cut_away.shell import WALL_MM, back_height, puff_length, reach_of
from cases.prescriptions.implied.figures import Workshop
from cases.prescriptions.implied.told import Told
from cases.prescriptions.shoe import Shoe
from cases.prescriptions.weight_of_shoe import Plan
from shared.sides import Edge
from shared.workings import Status, Workings

STARTING_PIECE = "A starting piece: wet leather moves by 3 to 8 % (from memory), so it is trimmed on the last."
SIZES = "geometry of the last's outline; margins are workshop settings, common practice, no source"
RIM_MM = 11.0


def cuts_told(shoe: Shoe, workshop: Workshop) -> dict[str, Told]:
    """Every part that is cut, by its key."""
    plan = Plan.of(shoe)
    return {
        key: told
        for key, told in (
            ("cut_stiffener", _stiffener(shoe, workshop)),
            ("cut_puff", _puff(shoe, plan, workshop)),
            ("cut_insole", _insole(shoe, plan, workshop)),
            ("cut_cushion", _cushion(shoe, plan)),
            ("cut_shank", _shank(shoe)),
            ("cut_carbon", _carbon(shoe, plan, workshop)),
        )
        if told is not None
    }


def _stiffener(shoe: Shoe, workshop: Workshop) -> Told | None:
    reaches = {edge: reach_of(shoe, edge) for edge in Edge}
    if shoe.stiffener is None or not sum(reaches.values()):
        return None
    margin = workshop.weight.stiffener_margin_mm
    high = back_height(shoe) + margin
    given = (
        *((f"Reach {edge.value}", f"{mm:.0f} mm") for edge, mm in reaches.items()),
        ("Back height", f"{back_height(shoe):.0f} mm"),
        ("Lasting margin", f"{margin:g} mm"),
    )
    return _told(
        "stiffener", sum(reaches.values()), high, "both reaches along the feather edge × (back height + margin)", given
    )


def _puff(shoe: Shoe, plan: Plan, workshop: Workshop) -> Told | None:
    long, puff, margin = puff_length(shoe), shoe.toe_puff, workshop.figures.puff_margin_mm
    if puff is None or not long or puff.kind == "steel":
        return None
    length = shoe.form.length_mm
    if puff.kind == "wall":
        wall, fade = puff.wall_height_mm or WALL_MM, workshop.figures.puff_wall_fade_mm
        edge = plan.edge_mm(length - long, length)
        given = (
            ("Round the toe", f"{edge:.0f} mm"),
            ("Wall", f"{wall:g} mm, then to nothing over {fade:g} mm"),
            ("Margin", f"{margin:g} mm"),
        )
        return _told("toe puff, wall", edge, wall + fade + margin, "round the toe × (wall + its fade + margin)", given)
    joint = shoe.form.girths_mm.get("joint", 2.5 * shoe.form.joint_width_mm)
    at = length - long
    girth = float(
        np.interp(at, [shoe.form.heel_to_joint_mm, 0.93 * length, length], [joint, 0.62 * joint, 0.25 * joint])
    )
    across = girth - float(np.interp(at, plan.x, plan.width)) + 2 * margin
    given = (
        ("Length on the last", f"{long:.0f} mm"),
        ("Over the toes at its back edge", f"{across - 2 * margin:.0f} mm"),
        ("Margin", f"{margin:g} mm all round the toe"),
    )
    return _told("toe puff", long + margin, across, "(length + margin) × (over the toes + a margin each side)", given)


def _insole(shoe: Shoe, plan: Plan, workshop: Workshop) -> Told | None:
    insole = shoe.insole
    if insole is None:
        return None
    over = workshop.figures.insole_cut_oversize_mm
    turned = {
        "medial": insole.turn_up_medial_mm or 0,
        "lateral": insole.turn_up_lateral_mm or 0,
        "heel": insole.turn_up_heel_mm or 0,
    }
    broad = float(plan.width.max())
    given = (
        ("Finished", f"{shoe.form.length_mm:.0f} × {broad:.0f} mm"),
        ("Oversize", f"{over:g} mm all round"),
        *((f"Turned up, {place}", f"{mm:g} mm") for place, mm in turned.items() if mm),
    )
    return _told(
        "insole",
        shoe.form.length_mm + 2 * over + turned["heel"],
        broad + 2 * over + turned["medial"] + turned["lateral"],
        "finished + oversize all round + what is turned up",
        given,
    )


def _cushion(shoe: Shoe, plan: Plan) -> Told | None:
    insole = shoe.insole
    if insole is None or insole.scoured_to_mm is None:
        return None
    start, end = scoured_zone(shoe)
    rim = RIM_MM if insole.scoured_rim_mm is None else insole.scoured_rim_mm
    broad = plan.broadest_mm(start, end) - 2 * rim
    given = (
        ("From the back of the heel", f"{start:.0f} to {end:.0f} mm"),
        ("Rim left", f"{rim:g} mm"),
        ("Scoured to", f"{insole.scoured_to_mm:g} mm"),
    )
    return _told(
        "scoured zone and its cushion", end - start, broad, "length of the zone × (width − a rim each side)", given
    )


def _shank(shoe: Shoe) -> Told | None:
    shank = shoe.shank
    if shank is None:
        return None
    rear, front = shank_ends(shoe)
    given = (
        ("Heel to joint", f"{shoe.form.heel_to_joint_mm:.0f} mm"),
        ("Ahead of the back of the seat", f"{rear:.0f} mm"),
        ("Behind the joint", f"{shank.front_end_behind_joint_mm:g} mm"),
        ("Thickness", f"{shank.thickness_mm:g} mm"),
    )
    words = f"{shank.count:.0f} of " if shank.count > 1 else ""
    return _told("shank", front - rear, shank.width_mm, "heel to joint − both ends × width", given, words=words)


def _carbon(shoe: Shoe, plan: Plan, workshop: Workshop) -> Told | None:
    carbon = shoe.carbon_zone
    if carbon is None:
        return None
    start, end = carbon_zone(shoe)
    inside = workshop.figures.carbon_edge_in_mm
    given = (
        ("From the back of the heel", f"{start:.0f} to {end:.0f} mm"),
        ("Short of the feather edge", f"{inside:g} mm"),
        ("Overlap on the shank", f"{carbon.overlap_on_shank_mm:g} mm"),
    )
    words = f"{carbon.plies:.0f} plies of "
    broad = plan.broadest_mm(start, end) - 2 * inside
    return _told(
        "carbon zone, largest ply", end - start, broad, "length of the zone × (width − both edges)", given, words=words
    )


def _told(
    name: str, long: float, broad: float, formula: str, given: tuple[tuple[str, str], ...], *, words: str = ""
) -> Told:
    sheet = Workings(
        name=f"{name}, to cut",
        result=f"{words}{max(long, 0):.0f} × {max(broad, 0):.0f} mm",
        formula=formula,
        inputs=given,
        source=SIZES,
        status=Status.GEOMETRY,
        cautions=(STARTING_PIECE,),
    )
    return Told(sheet)
