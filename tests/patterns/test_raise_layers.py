"""Layers of a raise on the sole, and the lift in the shoe."""

from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cases.patterns.drafting.pieces import LineKind, Piece
from cases.patterns.drafting.raise_layers import layers_of, raise_layers
from cases.prescriptions.cut_away.stack import raise_on_sole
from cases.prescriptions.shoe import Shoe
from tests.patterns.figures import STARTING
from tests.prescriptions.shoes import FORM, a_shoe

# Layers of 6 mm, cut 4 mm beyond the feather edge: workshop settings, from memory.


def raised(heel: float | None, ball: float | None, toe: float | None, **changes: Any) -> Shoe:
    return a_shoe(height_raise={"on_sole_heel_mm": heel, "on_sole_ball_mm": ball, "on_sole_toe_mm": toe, **changes})


def layers(shoe: Shoe) -> tuple[Piece, ...]:
    return raise_layers(shoe, STARTING)


def heights(piece: Piece) -> tuple[float, ...]:
    return tuple(figure for name, figure in piece.facts if name.startswith("height at"))


def test_without_a_raise_nothing_is_cut() -> None:
    assert layers(a_shoe(height_raise=None)) == ()


def test_a_raise_of_nothing_is_no_layer() -> None:
    assert layers(raised(0, None, None)) == ()


def test_a_raise_is_cut_in_layers_counted_from_the_foot_down() -> None:
    """22, 18 and 8 mm by hand: four sheets of 6 cover 24; each is as high as what is left over the sheets under it."""
    assert [(each.key, *heights(each)) for each in layers(raised(22, 18, 8))] == [
        ("raise_layer_1", 4, 0, 0),
        ("raise_layer_2", 6, 6, 0),
        ("raise_layer_3", 6, 6, 2),
        ("raise_layer_4", 6, 6, 6),
    ]


@settings(deadline=None, max_examples=50)
@given(heel=st.floats(0, 80), ball=st.floats(0, 80), toe=st.floats(0, 80), sheet=st.floats(2, 40))
def test_the_layers_are_together_as_high_as_the_raise_at_heel_joint_and_toe(
    heel: float, ball: float, toe: float, sheet: float
) -> None:
    shoe = raised(heel, ball, toe)
    pieces = raise_layers(shoe, replace(STARTING, raise_layer_mm=sheet))
    together = np.sum([heights(each) for each in pieces], axis=0) if pieces else np.zeros(3)
    assert together.tolist() == pytest.approx([heel, ball, toe], abs=0.1)


@settings(deadline=None)
@given(heel=st.floats(0, 60), ball=st.floats(0, 60), toe=st.floats(0, 60))
def test_the_layers_are_together_as_high_as_the_raise_everywhere(heel: float, ball: float, toe: float) -> None:
    shoe, x = raised(heel, ball, toe), np.linspace(0, 285, 96)
    together = sum((each.height(shoe, x) for each in layers_of(shoe, 6)), np.zeros(96))
    assert together == pytest.approx(raise_on_sole(shoe, x), abs=0.1)


def test_a_sliver_that_is_left_over_is_shared_by_the_last_two_layers() -> None:
    """12.4 = 6 + 3.2 + 3.2, rather than 6 + 6 + 0.4."""
    assert [each.split_to_mm or each.thickness_mm for each in layers(raised(12.4, 12.4, 12.4))] == pytest.approx(
        [3.2, 3.2, 6]
    )


def test_a_layer_that_is_left_over_is_split_from_its_sheet() -> None:
    first = layers(raised(22, 18, 8))[0]
    assert (first.thickness_mm, first.split_to_mm) == (6, 4)


def test_a_layer_is_cut_beyond_the_feather_edge() -> None:
    lowest = layers(raised(22, 18, 8))[-1]
    away = shapely.distance(shapely.Polygon(FORM.outline.points[:, ::-1]), shapely.points(lowest.outline))
    assert (away.min(), away.max()) == pytest.approx((4, 4), abs=0.05)


def test_a_layer_ends_where_the_raise_is_no_higher_than_what_lies_under_it() -> None:
    """From 18 mm at the joint to 8 at the toe it falls to 12, the third layer's under face, after 6 tenths of the way."""
    second = layers(raised(22, 18, 8))[1]
    assert second.outline[:, 1].max() == pytest.approx(205 + 0.6 * (285 - 205), abs=0.1)


def test_a_layer_is_skived_from_where_it_is_no_longer_whole() -> None:
    (skive,) = [line for line in layers(raised(22, 18, 8))[1].lines if line.kind is LineKind.SKIVE]
    assert (skive.words, skive.points[:, 1].tolist()) == (
        "from 6 mm to nothing over 48 mm",
        pytest.approx([205, 205], abs=0.7),
    )


def test_a_layer_that_is_whole_everywhere_is_not_skived() -> None:
    assert [line for each in layers(raised(6, 6, 6)) for line in each.lines if line.kind is LineKind.SKIVE] == []


def test_a_raise_of_heel_and_toe_alone_has_its_upper_layers_apart() -> None:
    pieces = layers(raised(9, 0, 9))
    assert [heights(each) for each in pieces] == [(0, 0, 3), (3, 0, 0), (0, 0, 6), (6, 0, 0)]


def test_a_raise_of_one_height_has_layers_of_one_shape() -> None:
    first, second = layers(raised(12, 12, 12))
    assert np.array_equal(first.outline, second.outline)


def test_a_layer_weighs_by_its_mean_height() -> None:
    """A wedge from 6 mm over 15 % of the length to nothing at the joint, on the form's own plan."""
    (wedge,) = layers(raised(6, 0, 0))
    x = np.linspace(0, 205, 2001)
    edge = FORM.outline.points
    tip = int(edge[:, 0].argmax())
    medial, lateral = edge[: tip + 1], np.concatenate([edge[tip:], edge[:1]])[::-1]
    broad = np.interp(x, medial[:, 0], medial[:, 1]) - np.interp(x, lateral[:, 0], lateral[:, 1])
    high = np.interp(x, [0.15 * 285, 205], [6, 0])
    assert wedge.mean_thickness_mm == pytest.approx(np.trapezoid(broad * high, x) / np.trapezoid(broad, x), rel=0.005)


def test_a_lift_in_the_shoe_is_a_wedge_to_nothing_at_the_joint_line() -> None:
    shoe = raised(None, None, None, in_shoe_heel_mm=8)
    (lift,) = layers(shoe)
    front = min(shoe.form.joint_line_mm(u) - v for u, v in lift.outline)
    assert (lift.key, heights(lift), front) == ("heel_lift", (8, 4, 0), pytest.approx(0, abs=0.01))


def test_a_lift_is_cut_to_the_finished_insole() -> None:
    (lift,) = layers(raised(None, None, None, in_shoe_heel_mm=8))
    assert lift.polygon.within(shapely.Polygon(FORM.outline.points[:, ::-1]).buffer(0.01))
