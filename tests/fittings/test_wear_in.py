"""The wear-in tables: from memory, unchecked, but for the 15 minutes that a published leaflet names."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.fittings.wear_in import (
    FRAGILE,
    NO_SENSATION,
    ORDINARY,
    TABLES,
    WearIn,
    in_hours,
    offered_first,
    steps_by_figures,
)
from shared.calculations import BadInput


@pytest.mark.parametrize(
    ("table", "first", "last"),
    [
        (ORDINARY, ("Day 1", "1 hour, indoors"), ("Week 2", "all day by day 10")),
        (FRAGILE, ("Day 1", "30 minutes"), ("Week 4", "all day")),
        (
            NO_SENSATION,
            ("Day 1", "30 minutes, then look; stop if there is a mark"),
            ("Week 4", "all day only after the review"),
        ),
    ],
)
def test_a_table_begins_and_ends_as_the_workshop_starts_with_it(
    table: WearIn, first: tuple[str, str], last: tuple[str, str]
) -> None:
    assert [(step.when, step.wear) for step in (table.steps[0], table.steps[-1])] == [first, last]


def test_no_table_claims_a_source() -> None:
    assert {table.standing for table in TABLES.values()} == {"from memory, unchecked"}


@pytest.mark.parametrize(
    ("conditions", "table"),
    [
        ([], ORDINARY),
        (["hammer_toe"], ORDINARY),
        (["oedema"], FRAGILE),
        (["arterial_disease", "callus"], FRAGILE),
        (["oedema", "loss_of_protective_sensation"], NO_SENSATION),
    ],
)
def test_the_slowest_table_that_a_finding_asks_for_is_offered_first(conditions: list[str], table: WearIn) -> None:
    assert offered_first(conditions) == table


@pytest.mark.parametrize("table", [FRAGILE, NO_SENSATION])
def test_a_foot_at_risk_may_keep_a_mark_for_fifteen_minutes(table: WearIn) -> None:
    assert table.redness == "15 minutes (published: easy-read leaflet of a UK hospital)"


def test_every_condition_that_chooses_a_table_is_on_the_list_of_conditions() -> None:
    from cases.fittings.wear_in import _NEEDS_FRAGILE_TABLE, _NEEDS_SENSATION_TABLE
    from cases.patients.conditions import CONDITIONS

    assert (_NEEDS_FRAGILE_TABLE | _NEEDS_SENSATION_TABLE) - CONDITIONS.keys() == set()


# A person's own table ------------------------------------------------------------------------------------------------


def by_figures(start_hours: float, growth_hours: float, days: int) -> list[str]:
    steps = steps_by_figures(start_hours=start_hours, growth_hours=growth_hours, days=days)
    return [f"{step.when}: {step.wear}" for step in steps]


def test_half_an_hour_and_half_an_hour_more_each_day_comes_to_all_day_on_the_sixteenth() -> None:
    """30 + 15 × 30 minutes = 8 hours, by hand."""
    assert by_figures(0.5, 0.5, 28) == [
        "Day 1: 30 minutes",
        "Day 2: 1 hour",
        "Day 3: 1 hour 30 minutes",
        "Day 4: 2 hours",
        "Days 5 to 7: 2 hours 30 minutes, 30 minutes more each day",
        "Days 8 to 14: 4 hours, 30 minutes more each day",
        "Day 15: 7 hours 30 minutes",
        "From day 16: all day",
    ]


def test_what_is_not_reached_in_time_the_review_decides() -> None:
    assert by_figures(0.5, 0.25, 5)[-2:] == ["Day 5: 1 hour 30 minutes", "After day 5: as the review says"]


def test_without_growth_every_day_is_the_first_one() -> None:
    assert by_figures(0.5, 0, 7)[-2:] == ["Days 5 to 7: 30 minutes", "After day 7: as the review says"]


@given(st.floats(0.25, 8), st.floats(0, 4), st.integers(1, 28))
def test_a_table_of_figures_never_lets_a_day_out(start: float, growth: float, days: int) -> None:
    rows = [step.when for step in steps_by_figures(start_hours=start, growth_hours=growth, days=days)]
    named = [int(number) for row in rows[:-1] for number in re.findall(r"\d+", row)]
    first_of_the_last_row = int(re.findall(r"\d+", rows[-1])[0])
    assert named == sorted(named)
    assert max(named, default=0) in {first_of_the_last_row, first_of_the_last_row - 1}


@pytest.mark.parametrize(
    ("figures", "sentence"),
    [
        ((0, 0.5, 14), "start_hours is 0 h; allowed is 0.25 to 8 h"),
        ((1, 5, 14), "growth_hours is 5 h; allowed is 0 to 4 h"),
        ((1, 1, 40), "days is 40 days; allowed is 1 to 28 days"),
    ],
)
def test_figures_that_nobody_wears_shoes_in_by_are_refused(figures: tuple[float, float, int], sentence: str) -> None:
    with pytest.raises(BadInput) as refused:
        by_figures(*figures)
    assert str(refused.value) == sentence


def test_hours_are_said_as_a_leaflet_says_them() -> None:
    assert [in_hours(each) for each in (0.25, 1, 1.75, 3)] == ["15 minutes", "1 hour", "1 hour 45 minutes", "3 hours"]
