"""The measures of a foot."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.lasts.measures import MEASURES, asks_third_take, label, value_of


def test_sixteen_measures_are_taken_of_each_foot() -> None:
    assert [kind.key for kind in MEASURES] == [
        "foot_length",
        "heel_to_joint",
        "heel_to_fifth",
        "joint_width",
        "heel_width",
        "joint_girth",
        "waist_girth",
        "instep_girth",
        "short_heel_girth",
        "long_heel_girth",
        "ankle_girth",
        "toe_depth",
        "instep_height",
        "medial_malleolus_height",
        "lateral_malleolus_height",
        "calf_girth",
    ]


def test_the_tape_is_laid_twice_only_at_joint_instep_and_short_heel() -> None:
    assert [kind.key for kind in MEASURES if kind.second_take] == ["joint_girth", "instep_girth", "short_heel_girth"]


def test_every_measure_says_what_tape_stick_or_caliper_touches() -> None:
    assert {kind.touches.split(":")[0] for kind in MEASURES} == {"tape", "stick", "caliper"}


def test_a_measure_of_an_older_list_is_shown_as_it_stands() -> None:
    assert label("second_instep_girth") == "second_instep_girth"


def test_two_takes_stand_for_their_mean() -> None:
    assert value_of([Decimal(250), Decimal(253)]) == Decimal("251.5")


def test_a_third_take_leaves_the_one_that_slipped_aside() -> None:
    assert value_of([Decimal(253), Decimal(235), Decimal(252)]) == Decimal(252)


@given(st.lists(st.decimals(min_value=1, max_value=999, places=1), min_size=1, max_size=3))
def test_a_value_lies_between_its_takes(takes: list[Decimal]) -> None:
    assert min(takes) <= value_of(takes) <= max(takes)


@pytest.mark.parametrize(
    ("takes", "asked"),
    [(["250", "253"], False), (["250", "253.1"], True), (["250"], False), (["250", "260", "255"], False)],
)
def test_a_third_take_is_asked_beyond_three_millimetres(takes: list[str], *, asked: bool) -> None:
    assert asks_third_take([Decimal(take) for take in takes], above_mm=Decimal(3)) is asked
