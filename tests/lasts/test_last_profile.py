"""The layer along a last as a drawing: left as left, to the scale it says, and the same in words."""

import math

import pytest

from cases.lasts.drawings.last_profile import MARGIN_MM, TIMES_LARGER, ProfileDrawing, profile_drawing
from shared.sides import Side
from tests.lasts.test_alteration import alter

LENGTH_MM = 280.0


def drawn(side: Side, *, joint_mm: float = 4 * math.pi, instep_mm: float = 0.0) -> ProfileDrawing | None:
    target = {"joint": 250 + joint_mm, "instep": 255 + instep_mm}
    found = alter(target, {"joint": 250, "instep": 255}, last_length_mm=LENGTH_MM, heel_to_joint_mm=200.0)
    return profile_drawing(found, side=side, length_mm=LENGTH_MM)


@pytest.mark.parametrize(("side", "joint_x"), [(Side.LEFT, MARGIN_MM + 80), (Side.RIGHT, MARGIN_MM + 200)])
def test_the_toe_of_left_points_left_and_that_of_right_right(side: Side, joint_x: float) -> None:
    drawing = drawn(side)
    assert drawing is not None
    joint = next(tick for tick in drawing.ticks if tick.label == "joint")
    assert (joint.x, joint.does, drawing.toe_x < drawing.heel_x) == (joint_x, "+4 mm", side is Side.LEFT)


def test_the_thickest_bar_is_as_high_as_the_layer_so_many_times() -> None:
    drawing = drawn(Side.LEFT)
    assert drawing is not None
    assert (max(bar.height for bar in drawing.bars), drawing.says.split(". ")[0]) == (
        4.0 * TIMES_LARGER,
        f"LEFT: layer along the last, {TIMES_LARGER} times as thick as it is",
    )


def test_what_is_taken_down_hangs_below_the_line_and_is_drawn_hollow() -> None:
    drawing = drawn(Side.RIGHT, joint_mm=-3 * math.pi)
    assert drawing is not None
    assert {(bar.is_taken, bar.y == drawing.ground) for bar in drawing.bars} == {(True, True)}


def test_every_bar_and_word_lies_within_the_frame() -> None:
    drawing = drawn(Side.LEFT, joint_mm=30, instep_mm=-20)
    assert drawing is not None
    lies_within = [bar.y >= 0 and bar.y + bar.height <= drawing.height for bar in drawing.bars]
    lies_within += [0 <= tick.x <= drawing.width and tick.y <= drawing.height for tick in drawing.ticks]
    assert all(lies_within)


def test_the_words_say_what_is_done_at_each_station() -> None:
    drawing = drawn(Side.LEFT, instep_mm=-2 * math.pi)
    assert drawing is not None
    assert drawing.says.endswith("joint build up 4 mm, instep take down 2 mm.")


def test_a_last_that_is_left_as_it_is_has_no_drawing() -> None:
    assert drawn(Side.LEFT, joint_mm=0.0) is None
