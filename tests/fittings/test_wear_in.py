"""The wear-in tables: from memory, unchecked, but for the 15 minutes that a published leaflet names."""

import pytest

from cases.fittings.wear_in import FRAGILE, NO_SENSATION, ORDINARY, TABLES, WearIn, offered_first


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
