"""Sizes of the parts to cut, in whole mm: starting pieces, cut full and trimmed on the last."""

from cases.prescriptions.cut_away.bottom import carbon_zone, joint_at_shank, scoured_zone, shank_ends
from cases.prescriptions.cut_away.shell import back_height, puff_length, reach_of
from cases.prescriptions.cut_away.toes import across_the_toes, over_the_toe
from cases.prescriptions.cut_sizes import (
    Piece,
    carbon_piece,
    insole_piece,
    puff_piece,
    shank_piece,
    stiffener_piece,
    wall_puff_piece,
    zone_piece,
)
from cases.prescriptions.implied.figures import Workshop
from cases.prescriptions.implied.told import Told
from cases.prescriptions.shoe import Shoe
from cases.prescriptions.weight_of_shoe import Plan
from shared.sides import Edge


def cuts_told(shoe: Shoe, workshop: Workshop) -> dict[str, Told]:
    """Every part that is cut, by its key."""
    plan = Plan.of(shoe)
    return {
        key: Told(piece.workings)
        for key, piece in (
            ("cut_stiffener", _stiffener(shoe, workshop)),
            ("cut_puff", _puff(shoe, plan, workshop)),
            ("cut_insole", _insole(shoe, plan, workshop)),
            ("cut_cushion", _cushion(shoe, plan, workshop)),
            ("cut_shank", _shank(shoe)),
            ("cut_carbon", _carbon(shoe, plan, workshop)),
        )
        if piece is not None
    }


def _stiffener(shoe: Shoe, workshop: Workshop) -> Piece | None:
    reaches = {edge: reach_of(shoe, edge) for edge in Edge}
    if shoe.stiffener is None or not sum(reaches.values()):
        return None
    return stiffener_piece(
        medial_reach_mm=reaches[Edge.MEDIAL],
        lateral_reach_mm=reaches[Edge.LATERAL],
        back_height_mm=back_height(shoe),
        margin_mm=workshop.weight.stiffener_margin_mm,
    )


def _puff(shoe: Shoe, plan: Plan, workshop: Workshop) -> Piece | None:
    long, puff, margin = puff_length(shoe), shoe.toe_puff, workshop.figures.puff_margin_mm
    if puff is None or not long or puff.kind == "steel":
        return None
    length = shoe.form.length_mm
    if puff.kind == "wall":
        return wall_puff_piece(
            round_the_toe_mm=plan.edge_mm(length - long, length),
            wall_mm=puff.wall_height_mm or workshop.weight.puff_wall_mm,
            fade_mm=workshop.figures.puff_wall_fade_mm,
            margin_mm=margin,
        )
    return puff_piece(
        length_mm=over_the_toe(shoe, length - long), over_toes_mm=across_the_toes(shoe, length - long), margin_mm=margin
    )


def _insole(shoe: Shoe, plan: Plan, workshop: Workshop) -> Piece | None:
    insole = shoe.insole
    if insole is None:
        return None
    return insole_piece(
        length_mm=shoe.form.length_mm,
        width_mm=float(plan.width.max()),
        oversize_mm=workshop.figures.insole_cut_oversize_mm,
        turn_up_medial_mm=insole.turn_up_medial_mm or 0.0,
        turn_up_lateral_mm=insole.turn_up_lateral_mm or 0.0,
        turn_up_heel_mm=insole.turn_up_heel_mm or 0.0,
    )


def _cushion(shoe: Shoe, plan: Plan, workshop: Workshop) -> Piece | None:
    insole = shoe.insole
    if insole is None or insole.scoured_to_mm is None:
        return None
    start, end = scoured_zone(shoe)
    return zone_piece(
        start_mm=max(start, 0.0),
        end_mm=max(end, 0.0),
        width_mm=plan.broadest_mm(start, end),
        rim_mm=workshop.figures.scoured_rim_mm if insole.scoured_rim_mm is None else insole.scoured_rim_mm,
        scoured_to_mm=insole.scoured_to_mm,
    )


def _shank(shoe: Shoe) -> Piece | None:
    shank = shoe.shank
    if shank is None:
        return None
    return shank_piece(
        heel_to_joint_line_mm=joint_at_shank(shoe.form, shank),
        rear_end_in_seat_mm=shank_ends(shoe)[0],
        front_end_behind_joint_mm=shank.front_end_behind_joint_mm,
        width_mm=shank.width_mm,
        thickness_mm=shank.thickness_mm,
        count=shank.count,
    )


def _carbon(shoe: Shoe, plan: Plan, workshop: Workshop) -> Piece | None:
    carbon = shoe.carbon_zone
    if carbon is None:
        return None
    start, end = carbon_zone(shoe)
    return carbon_piece(
        start_mm=max(start, 0.0),
        end_mm=max(end, 0.0),
        width_mm=plan.broadest_mm(start, end),
        edge_mm=workshop.figures.carbon_edge_in_mm,
        plies=carbon.plies,
        overlap_on_shank_mm=carbon.overlap_on_shank_mm,
    )
