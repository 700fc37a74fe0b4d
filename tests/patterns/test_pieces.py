"""One flat piece: how it lies on paper, its medial edge, its area, and a point of it shifted."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.patterns.drafting.pieces import Handle, LineKind, MedialEdge, Piece, on_paper, shifted
from shared.calculations import BadInput
from shared.sides import SIDES, Side

RECTANGLE = Piece(
    key="plate",
    part="insole",
    name="Plate",
    serves=(Side.LEFT,),
    material="veg-tan shoulder",
    thickness_mm=4.0,
    outline=np.array([(u, v) for u, v in [(0, 0), (100, 0), (100, 50), (0, 50)]], dtype=float),
    medial_edge=MedialEdge(at=(100, 25), inwards=(-1, 0)),
    handles=(Handle("corner", "medial corner", (100, 50)),),
)
HOLE = np.array([(40.0, 20.0), (60.0, 20.0), (60.0, 30.0), (40.0, 30.0)])


def test_area_and_weight_are_those_of_a_plate_worked_out_by_hand() -> None:
    # 10 cm × 5 cm − 2 cm × 1 cm = 48 cm²; 48 × 0.4 cm × 0.95 g/cm³ = 18.24 g
    plate = replace(RECTANGLE, holes=(HOLE,))
    assert [plate.area_cm2, plate.perimeter_mm, plate.weight_g(950)] == pytest.approx([48.0, 300.0, 18.24])


def test_what_is_skived_weighs_by_what_is_left() -> None:
    assert replace(RECTANGLE, mean_thickness_mm=2.0).weight_g(1000) == pytest.approx(10.0)


def test_a_sheet_without_a_thickness_has_no_weight() -> None:
    assert replace(RECTANGLE, thickness_mm=None).weight_g(1000) is None


@pytest.mark.parametrize(("side", "x"), [(Side.LEFT, 100.0), (Side.RIGHT, -100.0)])
def test_medial_lies_to_the_right_of_a_left_piece_and_to_the_left_of_a_right_one(side: Side, x: float) -> None:
    assert on_paper(np.array([[100.0, 25.0]]), side).tolist() == [[x, 25.0]]


@pytest.mark.parametrize(("side", "nicks"), [(Side.LEFT, 1), (Side.RIGHT, 2)])
def test_the_medial_edge_has_one_nick_left_and_two_right(side: Side, nicks: int) -> None:
    found = [line for line in RECTANGLE.marked(side) if line.kind is LineKind.NICK]
    assert [len(found), {float(line.points[:, 0].min()) for line in found}] == [nicks, {97.0}]


def test_a_piece_that_serves_either_foot_has_no_nick() -> None:
    either = replace(RECTANGLE, serves=SIDES)
    assert [line.kind for side in SIDES for line in either.marked(side)] == [LineKind.CUT, LineKind.CUT]


def test_a_shifted_point_moves_and_what_lies_far_from_it_stays() -> None:
    moved = shifted(RECTANGLE, "corner", medial_mm=2, along_mm=3)
    assert (moved.outline[2].tolist(), moved.outline[0].tolist(), moved.handles[0].at) == (
        [102.0, 53.0],
        [0.0, 0.0],
        (102.0, 53.0),
    )


def test_a_shift_by_which_the_line_would_cross_itself_is_refused() -> None:
    with pytest.raises(BadInput, match="does not cross itself"):
        shifted(RECTANGLE, "corner", medial_mm=-150, along_mm=-20)


def test_a_point_it_does_not_have_is_refused() -> None:
    with pytest.raises(KeyError):
        shifted(RECTANGLE, "heel", medial_mm=1, along_mm=1)


@given(medial=st.floats(-20, 20), along=st.floats(-20, 20))
def test_a_point_shifted_there_and_back_lies_where_it_lay(medial: float, along: float) -> None:
    there = shifted(RECTANGLE, "corner", medial_mm=medial, along_mm=along)
    back = shifted(there, "corner", medial_mm=-medial, along_mm=-along)
    assert back.outline[2] == pytest.approx(RECTANGLE.outline[2])
