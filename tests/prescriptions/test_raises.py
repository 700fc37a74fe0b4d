"""Raises and wedges by hand: what goes where, and what the pitch becomes."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.prescriptions.raises import RaisePlan, change_of_pitch, raise_plan, wedge_height
from shared.calculations import BadInput


def plan(
    difference_mm: float, *, part: float = 1.0, limit: float = 10, ball: float = 0.5, toe: float = 0.3
) -> RaisePlan:
    return raise_plan(
        difference_mm=difference_mm,
        corrected_part=part,
        in_shoe_limit_mm=limit,
        ball_part=ball,
        toe_part=toe,
        heel_to_ball_mm=140,
    )


def test_what_the_shoe_holds_goes_in_the_shoe() -> None:
    found = plan(8)
    assert (found.in_shoe_heel_mm, found.on_sole_heel_mm) == (8, 0)


def test_what_is_above_its_limit_goes_on_the_sole() -> None:
    """30 mm: 10 in the shoe, 20 on the sole; half at the joint, three tenths at the toe."""
    found = plan(30)
    shares = (found.in_shoe_heel_mm, found.on_sole_heel_mm, found.on_sole_ball_mm, found.on_sole_toe_mm)
    assert shares == pytest.approx((10, 20, 10, 6))


def test_a_first_raise_begins_with_a_part_of_the_difference() -> None:
    assert plan(30, part=0.6).corrected_mm == pytest.approx(18)


def test_a_raise_halved_at_the_joint_steepens_the_pitch_by_the_other_half() -> None:
    """20 mm, ball 0.5: joint 10 mm, pitch + 10 mm, by hand."""
    found = plan(20, limit=0)
    assert (found.on_sole_ball_mm, found.pitch_change_mm) == (10, 10)


def test_heel_and_joint_raised_alike_leave_the_pitch() -> None:
    assert plan(20, limit=0, ball=1.0).pitch_change_mm == 0


def test_the_change_of_pitch_in_degrees_is_its_rise_over_heel_to_joint() -> None:
    change = change_of_pitch(in_shoe_heel_mm=8, on_sole_heel_mm=22, on_sole_ball_mm=18, heel_to_ball_mm=140)
    assert (change.change_mm, change.change_deg) == pytest.approx((12, math.degrees(math.atan(12 / 140))))


def test_the_heel_stands_higher_in_its_stiffener_by_what_lies_in_the_shoe() -> None:
    assert plan(18, limit=15).heel_out_of_stiffener_mm == 15


@given(st.floats(0, 100), st.floats(0, 1), st.floats(0, 20))
def test_the_shares_make_up_what_is_corrected(difference: float, part: float, limit: float) -> None:
    found = plan(difference, part=part, limit=limit)
    assert found.in_shoe_heel_mm + found.on_sole_heel_mm == pytest.approx(found.corrected_mm)


@given(st.floats(0, 100), st.floats(0, 20))
def test_nothing_is_ever_more_at_the_toe_than_at_the_joint_or_the_heel(difference: float, limit: float) -> None:
    found = plan(difference, limit=limit)
    assert found.on_sole_toe_mm <= found.on_sole_ball_mm <= found.on_sole_heel_mm


def test_a_wedge_of_four_millimetres_at_a_heel_is_three_and_a_half_degrees() -> None:
    """65 mm wide: 65·tan 3.5° = 3.98 mm, by hand."""
    assert wedge_height(width_mm=65, angle_deg=3.5).height_mm == pytest.approx(3.98, abs=0.005)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"difference_mm": -3}, "difference_mm is -3 mm; allowed is 0 to 150 mm"),
        ({"part": 60}, "corrected_part is 60; allowed is 0 to 1"),
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(change: dict[str, float], sentence: str) -> None:
    with pytest.raises(BadInput) as refused:
        plan(**{"difference_mm": 30, **change})
    assert str(refused.value) == sentence
