"""The side profile of a last: heel, tread and toe spring where the figures say, and its drawing the right way round."""

import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from cases.lasts.drawings.plans import profile_drawing
from cases.lasts.profile import SEAT_TO, TREAD_FROM, SideShape, profile_of, raised_bottom
from shared.calculations import BadInput
from shared.sides import Side

MENS_LAST = SideShape(
    length_mm=285, heel_to_joint_mm=205, heel_height_mm=22, toe_spring_mm=12, toe_depth_mm=29, instep_height_mm=68
)

SHAPES = st.builds(
    SideShape,
    length_mm=st.floats(140, 340),
    heel_to_joint_mm=st.just(0.0),
    heel_height_mm=st.floats(0, 90),
    toe_spring_mm=st.floats(0, 40),
    toe_depth_mm=st.floats(12, 45),
    instep_height_mm=st.floats(46, 110),
)


def test_the_seat_stands_at_the_heel_height() -> None:
    assert profile_of(MENS_LAST).bottom_at(SEAT_TO * 285 / 2) == pytest.approx(22, abs=0.1)


def test_the_joint_stands_on_the_ground() -> None:
    assert profile_of(MENS_LAST).bottom_at(205) == pytest.approx(0, abs=0.1)


def test_the_tip_is_lifted_by_the_toe_spring() -> None:
    assert profile_of(MENS_LAST).bottom_at(285) == pytest.approx(12, abs=0.1)


@pytest.mark.parametrize(("x_mm", "depth_mm"), [(0.5 * 285, 68), (0.9 * 285, 29)])
def test_instep_and_toe_are_as_deep_as_measured(x_mm: float, depth_mm: float) -> None:
    assert profile_of(MENS_LAST).depth_at(x_mm) == pytest.approx(depth_mm, abs=0.1)


def test_the_pitch_is_the_fall_from_seat_to_tread() -> None:
    """atan(rise / run), by hand."""
    run = 205 - TREAD_FROM * 285 - SEAT_TO * 285
    assert profile_of(MENS_LAST).pitch_degrees == pytest.approx(math.degrees(math.atan(22 / run)))


@given(SHAPES, st.floats(0.62, 0.94), st.floats(0, 30), st.floats(0, 20))
def test_a_last_that_is_raised_has_the_line_of_one_that_was_made_so(
    shape: SideShape, joint: float, heel: float, toe: float
) -> None:
    assume(shape.instep_height_mm > shape.toe_depth_mm)
    made = replace(shape, heel_to_joint_mm=joint * shape.length_mm)
    higher = replace(made, heel_height_mm=made.heel_height_mm + heel, toe_spring_mm=made.toe_spring_mm + toe)
    x, bottom = profile_of(made).bottom.T
    raised = bottom + raised_bottom(made, x, heel_mm=heel, toe_mm=toe)
    assert raised == pytest.approx(profile_of(higher).bottom[:, 1], abs=0.001)


@given(SHAPES, st.floats(0.62, 0.80))
def test_a_profile_is_one_simple_closed_line(shape: SideShape, joint: float) -> None:
    assume(shape.instep_height_mm > shape.toe_depth_mm)
    assert profile_of(replace(shape, heel_to_joint_mm=joint * shape.length_mm)).polygon.is_valid


@given(SHAPES, st.floats(0.62, 0.80))
def test_no_place_of_the_bottom_lies_under_the_ground(shape: SideShape, joint: float) -> None:
    bottom = profile_of(replace(shape, heel_to_joint_mm=joint * shape.length_mm)).bottom
    assert bottom[:, 1].min() == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"heel_height_mm": -3}, "heel_height_mm is -3 mm; allowed is 0 to 120 mm"),
        ({"heel_to_joint_mm": 300}, "heel_to_joint_mm is 300 mm; allowed is 156.75 to 270.75 mm"),
        ({"instep_height_mm": 25}, "instep_height_mm is 25 mm; allowed is more than the toe depth 29"),
    ],
)
def test_figures_no_last_has_are_refused_in_a_sentence(change: dict[str, float], sentence: str) -> None:
    with pytest.raises(BadInput) as refused:
        profile_of(replace(MENS_LAST, **change))
    assert str(refused.value) == sentence


def toe_end(side: Side) -> float:
    """Where on the page the lowest-lying end of the drawing is: the tip, since the heel stands high."""
    drawing = profile_drawing(profile_of(replace(MENS_LAST, heel_height_mm=60)), side)
    places = np.array([[float(part) for part in place.split()] for place in drawing.path[1:-1].split("L")])
    return float(places[places[:, 1].argmax(), 0]) - drawing.width / 2


@pytest.mark.parametrize(("side", "points_left"), [(Side.LEFT, True), (Side.RIGHT, False)])
def test_seen_from_lateral_the_left_last_points_left_and_the_right_one_right(side: Side, points_left: bool) -> None:  # noqa: FBT001
    assert (toe_end(side) < 0) is points_left


def test_a_drawing_says_in_words_which_foot_and_from_where() -> None:
    assert (
        profile_drawing(profile_of(MENS_LAST), Side.LEFT).says
        == "LEFT from the lateral side, to scale, over the ground"
    )
