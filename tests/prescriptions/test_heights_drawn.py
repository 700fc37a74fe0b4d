"""Heights read back off the drawing: a foot stands in it as high as its layers are prescribed, and as the panel says."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from cases.prescriptions.cut_away.pair import views_of
from cases.prescriptions.cut_away.sheet import View
from cases.prescriptions.cut_away.shell import relief_height, under_the_ankle
from cases.prescriptions.implied import implied_of
from cases.prescriptions.shoe import Shoe
from shared.sides import Edge, Side
from tests.prescriptions.shoes import FORM, a_relief, a_shoe
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


def spans(view: View, kind: str, x: float) -> list[tuple[float, float]]:
    """From where to where each layer of a kind is drawn at a place along the foot, in mm over the ground."""
    found = []
    for shape in view.shape(kind):
        upper, lower = np.array_split(shape.points, 2)
        if upper[0, 0] - 0.01 <= x <= upper[-1, 0] + 0.01:
            found.append((float(np.interp(x, *lower[::-1].T)), float(np.interp(x, *upper.T))))
    return found


def span(view: View, kind: str, x: float) -> tuple[float, float]:
    """From the lowest to the highest of all layers of a kind; nothing where there is none."""
    found = spans(view, kind, x)
    return min((low for low, _ in found), default=0.0), max((high for _, high in found), default=0.0)


def thick(view: View, kind: str, x: float) -> float:
    """Of all layers of a kind together."""
    return sum(high - low for low, high in spans(view, kind, x))


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
    usual, springs = (
        thick(side_views(a_shoe(rocker={}, sole={"toe_spring_extra_mm": more}))[0], "sole", FORM.heel_to_joint_mm)
        for more in (None, 4)
    )
    assert usual - springs == pytest.approx(4, abs=0.1)


# Heel and raise -------------------------------------------------------------------------------------------------------

RAISES: dict[str, dict[str, Any]] = {
    "none": {},
    "higher at the heel": {"height_raise": {"on_sole_heel_mm": 22.0, "on_sole_ball_mm": 18.0, "on_sole_toe_mm": 8.0}},
    "halved at the joint": {"height_raise": {"on_sole_heel_mm": 40.0, "on_sole_ball_mm": 20.0, "on_sole_toe_mm": 12.0}},
    "alike": {"height_raise": {"on_sole_heel_mm": 8.0, "on_sole_ball_mm": 8.0, "on_sole_toe_mm": 8.0}},
    "in the shoe": {"height_raise": {"in_shoe_heel_mm": 10.0}},
    "in the shoe and on the sole": {
        "height_raise": {"in_shoe_heel_mm": 8, "on_sole_heel_mm": 22, "on_sole_ball_mm": 18, "on_sole_toe_mm": 8}
    },
    "under a rocker": {
        "rocker": {"angle_deg": 12},
        "height_raise": {"in_shoe_heel_mm": 8, "on_sole_heel_mm": 22, "on_sole_ball_mm": 18, "on_sole_toe_mm": 8},
    },
    "more at the joint than at the heel": {"height_raise": {"on_sole_heel_mm": 6.0, "on_sole_ball_mm": 12.0}},
    "with a heel that is not the last's": {
        "heel": {"height_mm": 30},
        "height_raise": {"in_shoe_heel_mm": 6.0, "on_sole_heel_mm": 10.0, "on_sole_ball_mm": 5.0},
    },
}
LAYERS = ("sole", "heel", "raise", "insole")


@pytest.mark.parametrize("side", [Side.LEFT, Side.RIGHT])
@pytest.mark.parametrize("changes", RAISES.values(), ids=list(RAISES))
def test_a_foot_stands_in_the_drawing_as_high_as_the_panel_says(changes: dict[str, Any], side: Side) -> None:
    shoe = replace(a_shoe(**changes), side=side)
    view, back = side_views(shoe)[0], FORM.length_mm * 0.03
    drawn = {
        "heel_height": max(span(view, kind, back)[1] for kind in LAYERS),
        "joint_height": sum(thick(view, kind, FORM.heel_to_joint_mm) for kind in LAYERS),
        "toe_height": sum(thick(view, kind, TOE) for kind in LAYERS),
    }
    assert {key: f"{mm:.0f} mm" for key, mm in drawn.items()} == {key: told(shoe, key) for key in drawn}


@pytest.mark.parametrize("side", [Side.LEFT, Side.RIGHT])
@pytest.mark.parametrize("changes", RAISES.values(), ids=list(RAISES))
def test_the_raise_is_drawn_at_heel_joint_and_toe_as_it_is_prescribed(changes: dict[str, Any], side: Side) -> None:
    shoe = replace(a_shoe(**changes), side=side)
    raised, view = shoe.height_raise, side_views(shoe)[0]
    drawn = [thick(view, "raise", x) for x in (FORM.length_mm * 0.03, FORM.heel_to_joint_mm, TOE)]
    assert drawn == pytest.approx(
        [
            (raised.in_shoe_heel_mm or 0) + (raised.on_sole_heel_mm or 0),
            raised.on_sole_ball_mm or 0,
            raised.on_sole_toe_mm or 0,
        ]
        if raised
        else [0, 0, 0],
        abs=0.01,
    )


@pytest.mark.parametrize("changes", RAISES.values(), ids=list(RAISES))
def test_the_heel_is_drawn_as_high_as_its_figure_says_whatever_lies_over_it(changes: dict[str, Any]) -> None:
    shoe = a_shoe(**changes)
    heel = thick(side_views(shoe)[0], "heel", FORM.length_mm * 0.03)
    (said,) = [each.says for each in views_of(shoe).medial.dimensions if each.part == "heel"]
    assert f"{heel:.0f}" == said


@pytest.mark.parametrize("changes", [each for name, each in RAISES.items() if name != "under a rocker"])
def test_the_heel_stands_over_the_joint_by_the_pitch_that_the_panel_says(changes: dict[str, Any]) -> None:
    shoe = a_shoe(**changes)
    view = side_views(shoe)[0]
    heel, joint = (
        max(span(view, kind, x)[1] for kind in LAYERS) for x in (FORM.length_mm * 0.03, FORM.heel_to_joint_mm)
    )
    assert told(shoe, "pitch").startswith(f"{heel - joint:.0f} mm, ")


@pytest.mark.parametrize("changes", RAISES.values(), ids=list(RAISES))
def test_from_behind_the_foot_stands_as_high_as_from_the_side(changes: dict[str, Any]) -> None:
    views = views_of(a_shoe(**changes))
    top = max(float(shape.points[:, 1].max()) for kind in LAYERS for shape in views.behind.shape(kind))
    assert f"{top:.0f} mm" == told(a_shoe(**changes), "heel_height")


# On a lift in the shoe ------------------------------------------------------------------------------------------------

LIFTED: dict[str, Any] = {"height_raise": {"in_shoe_heel_mm": 6.0}}


@pytest.mark.parametrize("side", [Side.LEFT, Side.RIGHT])
def test_a_relief_lies_over_the_seat_of_a_foot_that_stands_on_a_lift(side: Side) -> None:
    """30 over the seat is 36 over the insole that the stiffener stands on, from each side and from behind."""
    shoe = replace(a_shoe(**LIFTED, reliefs=(a_relief(above_seat_mm=30),)), side=side)
    behind, back = views_of(shoe).behind, FORM.length_mm * 0.03
    insole = [
        *(span(view, "insole", back)[1] for view in side_views(shoe)),
        float(behind.shape("insole")[0].points[:, 1].max()),
    ]
    reliefs = [view.shape("relief")[0].points[:, 1] for view in (*side_views(shoe), behind)]
    middles = [(each.min() + each.max()) / 2 for each in reliefs]
    assert np.subtract(middles, insole) == pytest.approx([36, 36, 36], abs=0.1)


def test_the_words_of_a_relief_over_a_lift_say_both_heights() -> None:
    says = {call.says for call in views_of(a_shoe(**LIFTED, reliefs=(a_relief(above_seat_mm=30),))).behind.calls}
    assert says == {"relief back of the heel 34 × 26 mm, thinned to 0.8, 30 over the seat, 36 over the insole"}


def test_a_lift_ends_at_the_joint_and_a_relief_further_forward_is_lifted_by_less() -> None:
    """From 0.15 of 285 mm to the joint at 205, a relief 0.22 ahead: 6 × (205 − 62.7) / (205 − 42.75) = 5.26 mm."""
    relief = a_relief(place="lateral side of the heel", above_seat_mm=22)
    assert relief_height(a_shoe(**LIFTED), relief) == pytest.approx(27.26, abs=0.01)


def test_the_stiffener_stands_on_the_insole_and_so_much_less_of_it_behind_the_heel() -> None:
    """52 high, the heel 6 up in it."""
    shoe = a_shoe(**LIFTED)
    view = side_views(shoe)[0]
    top = view.shape("stiffener")[0].points[:, 1].max()
    assert top - span(view, "raise", FORM.length_mm * 0.03)[1] == pytest.approx(46, abs=0.1)


def test_a_top_edge_under_the_malleolus_rises_with_the_foot() -> None:
    """72 − 10, at 0.25 of the length on a lift of 6 × (205 − 71.25) / (205 − 42.75) = 4.95 mm."""
    below = {"stiffener": {"lateral_below_malleolus_mm": 10.0}}
    heights = [under_the_ankle(a_shoe(**below, **lift), Edge.LATERAL) for lift in ({}, LIFTED)]
    assert heights == pytest.approx([62, 66.95], abs=0.01)
