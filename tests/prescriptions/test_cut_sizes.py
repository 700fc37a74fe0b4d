"""Sizes of the pieces to cut, by hand. Margins are common practice, no source."""

import pytest

from cases.prescriptions import cut_sizes
from cases.prescriptions.cut_sizes import Piece

BY_HAND: dict[str, tuple[Piece, str]] = {
    "133 + 116 = 249; 52 + 13 = 65": (
        cut_sizes.stiffener_piece(medial_reach_mm=133, lateral_reach_mm=116, back_height_mm=52, margin_mm=13),
        "249 × 65 mm",
    ),
    "57 + 12 = 69; 120 + 2 × 12 = 144": (
        cut_sizes.puff_piece(length_mm=57, over_toes_mm=120, margin_mm=12),
        "69 × 144 mm",
    ),
    "14 + 12 + 12 = 38": (
        cut_sizes.wall_puff_piece(round_the_toe_mm=180, wall_mm=14, fade_mm=12, margin_mm=12),
        "180 × 38 mm",
    ),
    "285 + 2 × 9 + 6 = 309; 100 + 2 × 9 + 12 + 5 = 135": (
        cut_sizes.insole_piece(
            length_mm=285,
            width_mm=100,
            oversize_mm=9,
            turn_up_medial_mm=12,
            turn_up_lateral_mm=5,
            turn_up_heel_mm=6,
        ),
        "309 × 135 mm",
    ),
    "270 − 193 = 77; 100 − 2 × 11 = 78": (
        cut_sizes.zone_piece(start_mm=193, end_mm=270, width_mm=100, rim_mm=11, scoured_to_mm=0.5),
        "77 × 78 mm",
    ),
    "191 − 25 − 12 = 154, two of them": (
        cut_sizes.shank_piece(
            heel_to_joint_line_mm=191,
            rear_end_in_seat_mm=25,
            front_end_behind_joint_mm=12,
            width_mm=10,
            thickness_mm=1.2,
            count=2,
        ),
        "2 of 154 × 10 mm",
    ),
    "273 − 70 = 203; 100 − 2 × 9 = 82": (
        cut_sizes.carbon_piece(start_mm=70, end_mm=273, width_mm=100, edge_mm=9, plies=5, overlap_on_shank_mm=30),
        "5 plies of 203 × 82 mm",
    ),
}


@pytest.mark.parametrize("arithmetic", list(BY_HAND))
def test_a_piece_is_as_large_as_its_arithmetic_says(arithmetic: str) -> None:
    piece, size = BY_HAND[arithmetic]
    assert piece.workings.result == size


def test_a_zone_that_its_rims_use_up_is_nothing_and_not_less() -> None:
    piece = cut_sizes.zone_piece(start_mm=200, end_mm=190, width_mm=20, rim_mm=11, scoured_to_mm=0.5)
    assert (piece.long_mm, piece.broad_mm) == (0, 0)
