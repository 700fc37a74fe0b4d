"""Heights read back off the drawing: a foot stands in it as high as its layers are prescribed, and as the panel says."""

from dataclasses import replace

import numpy as np
import pytest

from cases.prescriptions.cut_away.pair import views_of
from cases.prescriptions.cut_away.sheet import View
from cases.prescriptions.implied import implied_of
from cases.prescriptions.shoe import Shoe
from shared.sides import Side
from tests.prescriptions.shoes import FORM, a_shoe
from tests.prescriptions.stock import WORKSHOP

TOE = FORM.length_mm


def side_views(shoe: Shoe) -> tuple[View, View]:
    """With the toe of both to the right."""
    views = views_of(shoe)
    turned = replace(
        views.lateral,
        shapes=tuple(each._replace(points=each.points * [-1, 1]) for each in views.lateral.shapes),
    )
    return views.medial, turned


def span(view: View, kind: str, x: float) -> tuple[float, float]:
    """From where to where a kind of layer is drawn at a place along the foot, in mm over the ground."""
    heights = [
        float(z)
        for shape in view.shape(kind)
        for upper, lower in [np.array_split(shape.points, 2)]
        if upper[0, 0] - 0.01 <= x <= upper[-1, 0] + 0.01
        for z in (np.interp(x, *upper.T), np.interp(x, *lower[::-1].T))
    ]
    return (min(heights), max(heights)) if heights else (0.0, 0.0)


def told(shoe: Shoe, key: str) -> str:
    return implied_of({shoe.side: shoe}, workshop=WORKSHOP).feet[shoe.side].told[key].sheet.result


# Toe spring -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("side", [Side.LEFT, Side.RIGHT])
def test_toe_spring_that_is_added_lifts_the_toe_of_the_sole_in_both_side_views(side: Side) -> None:
    """The last springs 12 mm; 4 more are prescribed."""
    clear = [
        [
            span(view, "sole", TOE)[0]
            for view in side_views(replace(a_shoe(sole={"toe_spring_extra_mm": more}), side=side))
        ]
        for more in (None, 4)
    ]
    assert clear == [pytest.approx([12, 12], abs=0.1), pytest.approx([16, 16], abs=0.1)]


def test_a_shoe_with_toe_spring_added_is_drawn_as_on_a_last_that_was_made_so() -> None:
    added = side_views(a_shoe(sole={"toe_spring_extra_mm": 4}))
    made = side_views(replace(a_shoe(), form=replace(FORM, toe_spring_mm=16)))
    apart = [
        float(np.abs(one.points - other.points).max())
        for view, like in zip(added, made, strict=True)
        for one, other in zip(view.shapes, like.shapes, strict=True)
    ]
    assert max(apart) == pytest.approx(0, abs=0.001)


def test_the_toe_of_the_drawing_is_said_as_high_as_it_is_drawn() -> None:
    (said,) = [
        each.says for each in views_of(a_shoe(sole={"toe_spring_extra_mm": 4})).medial.dimensions if each.part == "sole"
    ]
    assert said == "16"


def test_the_sole_of_a_rocker_is_as_much_thinner_as_its_toe_springs_more() -> None:
    """The toe is where the sole's own 6 mm is left: the joint comes as much nearer the ground as the last's toe rises."""
    thick = []
    for more in (None, 4):
        low, high = span(
            side_views(a_shoe(rocker={}, sole={"toe_spring_extra_mm": more}))[0], "sole", FORM.heel_to_joint_mm
        )
        thick.append(high - low)
    assert thick[0] - thick[1] == pytest.approx(4, abs=0.1)
