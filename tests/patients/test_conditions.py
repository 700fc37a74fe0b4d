"""The closed list. Grouping and wording: common practice, no source."""

import pytest

from cases.patients import conditions, red_flags
from cases.patients.conditions import CONDITIONS, Condition

EVERY = pytest.mark.parametrize("condition", CONDITIONS.values(), ids=lambda condition: condition.key)


@EVERY
def test_a_condition_fits_the_column_that_keeps_its_key(condition: Condition) -> None:
    assert condition.key.isidentifier()
    assert len(condition.key) <= 40


@EVERY
def test_a_condition_has_a_clinical_word_and_a_plain_one(condition: Condition) -> None:
    assert condition.label.strip() != ""
    assert condition.plain.strip() != ""


@EVERY
def test_a_suggested_place_fits_the_column_that_keeps_it(condition: Condition) -> None:
    assert [place for place in condition.places if len(place) > 80] == []


@EVERY
def test_no_word_of_a_condition_names_a_side_by_inside_or_outside(condition: Condition) -> None:
    said = f"{condition.label} {condition.plain} {condition.asks} {condition.places}".lower()
    assert [word for word in ("inside", "outside", "inner", "outer") if word in said] == []


def test_no_key_stands_twice() -> None:
    assert len({entry.key for _, group in all_groups() for entry in group}) == sum(len(g) for _, g in all_groups())


def all_groups() -> list[tuple[str, list[Condition]]]:
    return conditions.by_group(on_a_foot=True) + conditions.by_group(on_a_foot=False)


def test_every_condition_is_offered_once() -> None:
    assert sorted(entry.key for _, group in all_groups() for entry in group) == sorted(CONDITIONS)


def test_every_sign_that_a_condition_may_be_is_a_red_flag() -> None:
    assert {entry.sign for entry in CONDITIONS.values() if entry.sign} <= set(red_flags.SIGNS)


def test_a_condition_without_a_side_suggests_no_place_on_a_foot() -> None:
    assert [entry.key for entry in CONDITIONS.values() if not entry.on_a_foot and entry.places] == []


def test_the_question_fixed_or_flexible_is_put_for_deformities_alone() -> None:
    assert [entry.key for entry in CONDITIONS.values() if entry.has_flexibility and not entry.is_deformity] == []


def test_a_place_typed_in_other_capitals_and_spaces_is_the_suggested_one() -> None:
    assert conditions.place_as_suggested("  2ND   Toe ") == "2nd toe"


def test_a_place_of_ones_own_is_kept_with_single_spaces() -> None:
    assert conditions.place_as_suggested(" scar  over  the cuboid ") == "scar over the cuboid"


def test_a_sign_of_an_older_list_is_shown_as_it_stands() -> None:
    assert red_flags.words("sign_of_long_ago") == "sign_of_long_ago"


def test_the_clinical_word_is_looked_up_by_key() -> None:
    assert conditions.label("haglund") == "Haglund's deformity"
