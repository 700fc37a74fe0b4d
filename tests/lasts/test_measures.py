"""The measures of a foot and the questions they raise."""

import csv
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.lasts.measures import (
    BY_KEY,
    CONVENTION,
    MEASURES,
    SURVEY,
    TYPING,
    MeasureAgain,
    asks_third_take,
    label,
    measure_slips,
    value_of,
)
from tests.factories.lasts import FIRST_MAN

SURVEY_ROWS = Path(__file__).resolve().parents[3] / "shared" / "data" / "ansur2_foot_public.csv"
COLUMNS = {
    "foot_length": "footlength",
    "joint_width": "footbreadthhorizontal",
    "joint_girth": "balloffootcircumference",
    "heel_to_joint": "balloffootlength",
    "heel_width": "heelbreadth",
    "short_heel_girth": "heelanklecircumference",
    "ankle_girth": "anklecircumference",
    "lateral_malleolus_height": "lateralmalleolusheight",
    "calf_girth": "calfcircumference",
}

FOOT = {name: Decimal(value) for name, value in FIRST_MAN.items()}


def foot(**changes: str) -> dict[str, Decimal]:
    return {**FOOT, **{name: Decimal(value) for name, value in changes.items()}}


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


def test_the_foot_of_a_real_person_raises_no_question() -> None:
    assert measure_slips(left=FOOT, right=FOOT) == ()


def test_a_foot_of_which_nothing_was_taken_raises_no_question() -> None:
    assert measure_slips(left={}, right=FOOT) == ()


def test_a_joint_as_far_forward_as_the_toes_is_asked_about() -> None:
    assert measure_slips(left=foot(heel_to_joint="273"), right=FOOT) == (
        MeasureAgain(
            "left",
            ("heel_to_joint", "foot_length"),
            "Heel to joint is not shorter than the foot (heel to joint, medial 273 mm, foot length 273 mm).",
            SURVEY,
        ),
    )


def test_a_joint_girth_of_twice_the_width_is_asked_about() -> None:
    assert [each.keys for each in measure_slips(left=FOOT, right=foot(joint_width="126.5"))] == [
        ("joint_width", "joint_girth")
    ]


def test_a_joint_girth_as_great_as_the_short_heel_is_asked_about() -> None:
    assert [(each.side, each.keys) for each in measure_slips(left=FOOT, right=foot(short_heel_girth="253"))] == [
        ("right", ("joint_girth", "short_heel_girth"))
    ]


@pytest.mark.parametrize(("right_mm", "asked"), [("285", False), ("285.1", True)])
def test_feet_more_than_twelve_millimetres_apart_in_length_are_asked_about(right_mm: str, *, asked: bool) -> None:
    assert bool(measure_slips(left=FOOT, right=foot(foot_length=right_mm))) is asked


@pytest.mark.parametrize(("right_mm", "asked"), [("268", False), ("268.5", True)])
def test_joints_more_than_fifteen_millimetres_apart_in_girth_are_asked_about(right_mm: str, *, asked: bool) -> None:
    assert bool(measure_slips(left=FOOT, right=foot(joint_girth=right_mm))) is asked


def test_a_question_about_both_feet_says_both_values_and_that_it_has_no_source() -> None:
    (asked,) = measure_slips(left=FOOT, right=foot(foot_length="290"))
    assert (asked.question, asked.source) == (
        "Foot length, LEFT 273 mm and RIGHT 290 mm: more than 12 mm apart.",
        CONVENTION,
    )


@pytest.mark.parametrize(("typed", "meant"), [("27.3", "273 mm"), ("7", "70 mm"), ("1010", "101 mm")])
def test_a_slip_of_ten_times_is_asked_about_with_what_may_be_meant(typed: str, meant: str) -> None:
    name = {"27.3": "foot_length", "7": "heel_width", "1010": "joint_width"}[typed]
    asked = [each.question for each in measure_slips(left=foot(**{name: typed}), right={}) if each.source == TYPING]
    kind = BY_KEY[name].label.capitalize()
    assert asked == [f"{kind} is {typed} mm: was {meant} meant?"]


KEYS = st.sampled_from([kind.key for kind in MEASURES])
VALUES = st.dictionaries(KEYS, st.decimals(min_value="0.1", max_value="1499.9", places=1))


@given(VALUES, VALUES)
def test_every_set_of_measures_gets_an_answer_with_a_question_and_a_source(
    left: dict[str, Decimal], right: dict[str, Decimal]
) -> None:
    assert all(each.question and each.source for each in measure_slips(left=left, right=right))


def feet_of_the_survey() -> list[dict[str, Decimal]]:
    with SURVEY_ROWS.open(newline="") as file:
        return [{key: Decimal(row[column]) for key, column in COLUMNS.items()} for row in csv.DictReader(file)]


@pytest.mark.skipif(not SURVEY_ROWS.exists(), reason="the open survey's rows do not lie in ../shared/data")
def test_nobody_of_the_open_survey_is_asked_to_be_measured_again() -> None:
    """ANSUR II, NATICK/TR-15/007: 4,082 men and 1,986 women, right foot."""
    feet = feet_of_the_survey()
    assert (len(feet), [each for each in feet if measure_slips(left={}, right=each)]) == (6068, [])


@pytest.mark.skipif(not SURVEY_ROWS.exists(), reason="the open survey's rows do not lie in ../shared/data")
def test_the_foot_used_throughout_is_the_first_man_of_the_survey() -> None:
    assert feet_of_the_survey()[0] == FOOT
