"""Heights and pitch of the layers under a foot, by hand; and the laws they keep."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.prescriptions.heights import pitch_of, stack_heights
from shared.calculations import BadInput

MM = st.floats(0, 100)


def test_heights_are_the_layers_at_each_place() -> None:
    """Heel 8 + 4.2 + 14 + 6 + 22 = 54.2; joint 4.2 + 18 + 6 = 28.2; toe 4.2 + 8 + 6 = 18.2 mm."""
    found = stack_heights(
        insole_mm=4.2,
        sole_mm=6,
        heel_mm=22,
        in_shoe_heel_mm=8,
        on_sole_heel_mm=14,
        on_sole_ball_mm=18,
        on_sole_toe_mm=8,
    )
    assert (found.heel_mm, found.joint_mm, found.toe_mm) == pytest.approx((54.2, 28.2, 18.2))


def test_each_height_opens_the_layers_it_is_made_of() -> None:
    heel, _, toe = stack_heights(insole_mm=4.2, sole_mm=6, heel_mm=22).workings
    assert (heel.result, dict(heel.inputs)["Heel"], toe.result) == ("32 mm", "22 mm", "10 mm")


def test_the_pitch_is_the_heel_over_the_joint_in_mm_and_degrees() -> None:
    """22 + 8 + 14 − 10 = 34 mm; arctan(34 / 205) = 9.42°; against the last's arctan(22 / 205) = 6.13° it is 3.29°."""
    found = pitch_of(
        heel_mm=22,
        heel_to_joint_mm=205,
        last_heel_mm=22,
        in_shoe_heel_mm=8,
        on_sole_heel_mm=14,
        on_sole_ball_mm=10,
    )
    assert (found.pitch_mm, found.pitch_deg, found.against_last_mm, found.against_last_deg) == pytest.approx(
        (34, 9.417, 12, 3.292), abs=0.001
    )


@given(MM, MM, MM, MM)
def test_the_pitch_is_the_difference_of_the_two_heights(
    heel: float, in_shoe: float, at_heel: float, ball: float
) -> None:
    raised = {"heel_mm": heel, "in_shoe_heel_mm": in_shoe, "on_sole_heel_mm": at_heel, "on_sole_ball_mm": ball}
    stack = stack_heights(insole_mm=4, sole_mm=6, **raised)
    pitch = pitch_of(heel_to_joint_mm=200, last_heel_mm=20, **raised)
    assert stack.heel_mm - stack.joint_mm == pytest.approx(pitch.pitch_mm)


def test_a_layer_that_cannot_be_is_refused_by_its_name() -> None:
    with pytest.raises(BadInput, match="sole_mm is -1 mm; allowed is 0 to 200 mm"):
        stack_heights(insole_mm=4, sole_mm=-1, heel_mm=22)
