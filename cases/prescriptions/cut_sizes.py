"""How large a piece is cut: what the shoe asks and the margins that are trimmed off on the last.

Lengths in mm, results to be read in whole mm. Margins are the workshop's settings: common practice, no source.
"""

from dataclasses import dataclass

from shared.calculations import check_within
from shared.workings import Status, Workings

STARTING_PIECE = "A starting piece: wet leather moves by 3 to 8 % (from memory), so it is trimmed on the last."
SIZES = "geometry of the last's outline; margins are workshop settings, common practice, no source"
MOST_MM = 3000.0

Given = tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class Piece:
    """One piece to cut: so long along the foot or its edge, so broad across it."""

    long_mm: float
    broad_mm: float
    workings: Workings


def stiffener_piece(
    *, medial_reach_mm: float, lateral_reach_mm: float, back_height_mm: float, margin_mm: float
) -> Piece:
    """A stiffener laid flat: both reaches along the feather edge, its height and the lasting margin. Raises `BadInput`."""
    _check(
        medial_reach_mm=medial_reach_mm,
        lateral_reach_mm=lateral_reach_mm,
        back_height_mm=back_height_mm,
        margin_mm=margin_mm,
    )
    return _piece(
        "stiffener",
        medial_reach_mm + lateral_reach_mm,
        back_height_mm + margin_mm,
        formula="both reaches along the feather edge × (back height + margin)",
        given=(
            ("Reach medial", f"{medial_reach_mm:.0f} mm"),
            ("Reach lateral", f"{lateral_reach_mm:.0f} mm"),
            ("Back height", f"{back_height_mm:.0f} mm"),
            ("Lasting margin", f"{margin_mm:g} mm"),
        ),
    )


def puff_piece(*, length_mm: float, over_toes_mm: float, margin_mm: float) -> Piece:
    """A puff over the toes: `length_mm` along the top down to the feather edge, `over_toes_mm` across at its back edge.

    Raises `BadInput`.
    """
    _check(length_mm=length_mm, over_toes_mm=over_toes_mm, margin_mm=margin_mm)
    return _piece(
        "toe puff",
        length_mm + margin_mm,
        over_toes_mm + 2 * margin_mm,
        formula="(length + margin) × (over the toes + a margin each side)",
        given=(
            ("Over the toe to its feather edge", f"{length_mm:.0f} mm"),
            ("Over the toes at its back edge", f"{over_toes_mm:.0f} mm"),
            ("Margin", f"{margin_mm:g} mm all round the toe"),
        ),
    )


def wall_puff_piece(*, round_the_toe_mm: float, wall_mm: float, fade_mm: float, margin_mm: float) -> Piece:
    """A band round the toe, full as high as the wall, then to nothing. Raises `BadInput`."""
    _check(round_the_toe_mm=round_the_toe_mm, wall_mm=wall_mm, fade_mm=fade_mm, margin_mm=margin_mm)
    return _piece(
        "toe puff, wall",
        round_the_toe_mm,
        wall_mm + fade_mm + margin_mm,
        formula="round the toe × (wall + its fade + margin)",
        given=(
            ("Round the toe", f"{round_the_toe_mm:.0f} mm"),
            ("Wall", f"{wall_mm:g} mm, then to nothing over {fade_mm:g} mm"),
            ("Margin", f"{margin_mm:g} mm"),
        ),
    )


def insole_piece(
    *,
    length_mm: float,
    width_mm: float,
    oversize_mm: float,
    turn_up_medial_mm: float = 0.0,
    turn_up_lateral_mm: float = 0.0,
    turn_up_heel_mm: float = 0.0,
) -> Piece:
    """An insole cut full; `width_mm` is the greatest of the finished one. Raises `BadInput`."""
    turned = {"medial": turn_up_medial_mm, "lateral": turn_up_lateral_mm, "heel": turn_up_heel_mm}
    _check(length_mm=length_mm, width_mm=width_mm, oversize_mm=oversize_mm)
    _check(**{f"turn_up_{place}_mm": mm for place, mm in turned.items()})
    return _piece(
        "insole",
        length_mm + 2 * oversize_mm + turn_up_heel_mm,
        width_mm + 2 * oversize_mm + turn_up_medial_mm + turn_up_lateral_mm,
        formula="finished + oversize all round + what is turned up",
        given=(
            ("Finished", f"{length_mm:.0f} × {width_mm:.0f} mm"),
            ("Oversize", f"{oversize_mm:g} mm all round"),
            *((f"Turned up, {place}", f"{mm:g} mm") for place, mm in turned.items() if mm),
        ),
    )


def zone_piece(*, start_mm: float, end_mm: float, width_mm: float, rim_mm: float, scoured_to_mm: float) -> Piece:
    """A scoured zone and the cushion in it, from `start_mm` to `end_mm` ahead of the heel. Raises `BadInput`."""
    _check(start_mm=start_mm, end_mm=end_mm, width_mm=width_mm, rim_mm=rim_mm, scoured_to_mm=scoured_to_mm)
    return _piece(
        "scoured zone and its cushion",
        end_mm - start_mm,
        width_mm - 2 * rim_mm,
        formula="length of the zone × (width − a rim each side)",
        given=(
            ("From the back of the heel", f"{start_mm:.0f} to {end_mm:.0f} mm"),
            ("Rim left", f"{rim_mm:g} mm"),
            ("Scoured to", f"{scoured_to_mm:g} mm"),
        ),
    )


def shank_piece(
    *,
    heel_to_joint_line_mm: float,
    rear_end_in_seat_mm: float,
    front_end_behind_joint_mm: float,
    width_mm: float,
    thickness_mm: float,
    count: float = 1,
) -> Piece:
    """A shank between the seat and the joint; a front end ahead of it is less than nothing behind. Raises `BadInput`."""
    _check(
        heel_to_joint_line_mm=heel_to_joint_line_mm,
        rear_end_in_seat_mm=rear_end_in_seat_mm,
        width_mm=width_mm,
        thickness_mm=thickness_mm,
    )
    check_within("front_end_behind_joint_mm", front_end_behind_joint_mm, -MOST_MM, MOST_MM)
    return _piece(
        "shank",
        heel_to_joint_line_mm - rear_end_in_seat_mm - front_end_behind_joint_mm,
        width_mm,
        formula="heel to the joint line at its lateral edge − both ends × width",
        given=(
            ("Heel to the joint line, at its lateral edge", f"{heel_to_joint_line_mm:.0f} mm"),
            ("Ahead of the back of the seat", f"{rear_end_in_seat_mm:.0f} mm"),
            ("Behind the joint line", f"{front_end_behind_joint_mm:g} mm"),
            ("Thickness", f"{thickness_mm:g} mm"),
        ),
        words=f"{count:.0f} of " if count > 1 else "",
    )


def carbon_piece(
    *, start_mm: float, end_mm: float, width_mm: float, edge_mm: float, plies: float, overlap_on_shank_mm: float
) -> Piece:
    """The largest ply of a carbon zone; each next one is a step shorter. Raises `BadInput`."""
    _check(
        start_mm=start_mm, end_mm=end_mm, width_mm=width_mm, edge_mm=edge_mm, overlap_on_shank_mm=overlap_on_shank_mm
    )
    check_within("plies", plies, 0, 20, unit="plies")
    return _piece(
        "carbon zone, largest ply",
        end_mm - start_mm,
        width_mm - 2 * edge_mm,
        formula="length of the zone × (width − both edges)",
        given=(
            ("From the back of the heel", f"{start_mm:.0f} to {end_mm:.0f} mm"),
            ("Short of the feather edge", f"{edge_mm:g} mm"),
            ("Overlap on the shank", f"{overlap_on_shank_mm:g} mm"),
        ),
        words=f"{plies:.0f} plies of ",
    )


def _check(**lengths_mm: float) -> None:
    for name, mm in lengths_mm.items():
        check_within(name, mm, 0, MOST_MM)


def _piece(name: str, long: float, broad: float, *, formula: str, given: Given, words: str = "") -> Piece:
    """What margins leave nothing of is nothing, not less."""
    long, broad = max(long, 0.0), max(broad, 0.0)
    sheet = Workings(
        name=f"{name}, to cut",
        result=f"{words}{long:.0f} × {broad:.0f} mm",
        formula=formula,
        inputs=given,
        source=SIZES,
        status=Status.GEOMETRY,
        cautions=(STARTING_PIECE,),
    )
    return Piece(long, broad, sheet)
