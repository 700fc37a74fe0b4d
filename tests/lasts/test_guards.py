"""What the database itself keeps of measures, casts and lasts, by going round the actions."""

from datetime import date
from decimal import Decimal
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from cases.lasts.models import Cast, Last, LastAgreement, Measure, MeasureSet
from tests.factories.base import setting_up
from tests.factories.lasts import agreed, make_cast, make_last, make_measure_set
from tests.factories.staff import make_person

pytestmark = pytest.mark.django_db


def refusal_of(change: Any) -> str:
    """The name of the constraint by which the database refuses a change."""
    with pytest.raises(IntegrityError) as refused, transaction.atomic(), setting_up():
        change()
    name = refused.value.__cause__.diag.constraint_name  # type: ignore[union-attr]
    return str(name)


def change_of_a_last(last: Last, **changes: Any) -> Any:
    return lambda: Last.objects.filter(pk=last.pk).update(**changes)


@pytest.mark.parametrize(
    "change",
    [
        {"length_mm": Decimal(290)},
        {"heel_height_mm": Decimal(30)},
        {"alteration_note": "built up at the joint"},
        {"side": "right"},
        {"number": "another"},
    ],
    ids=lambda change: next(iter(change)),
)
def test_an_agreed_last_does_not_change_without_counting_up(change: dict[str, Any]) -> None:
    last = agreed(make_last())
    assert refusal_of(change_of_a_last(last, **change)) == "an_agreed_last_counts_up"


def test_a_last_never_counts_down_to_a_state_already_agreed() -> None:
    last = agreed(make_last())
    with setting_up():
        Last.objects.filter(pk=last.pk).update(version=2, length_mm=Decimal(290))
    assert refusal_of(change_of_a_last(last, version=1)) == "an_agreed_last_counts_up"


@pytest.mark.parametrize("change", [{"place": "rack B2"}, {"condition": "hinge worn"}], ids=["place", "condition"])
def test_an_agreed_last_may_be_put_elsewhere(change: dict[str, Any]) -> None:
    last = agreed(make_last())
    with setting_up():
        Last.objects.filter(pk=last.pk).update(**change)
    assert Last.objects.filter(pk=last.pk, version=1, **change).count() == 1


def test_a_last_that_nobody_agreed_may_still_be_put_right() -> None:
    last = make_last()
    with setting_up():
        Last.objects.filter(pk=last.pk).update(length_mm=Decimal(290))
    assert Last.objects.get(pk=last.pk).length_mm == Decimal(290)


def test_an_agreement_is_not_changed() -> None:
    last = agreed(make_last())
    assert refusal_of(lambda: last.agreements.update(at=timezone.now())) == "last_agreement_is_final"


def test_an_agreement_is_not_deleted() -> None:
    last = agreed(make_last())
    assert refusal_of(lambda: last.agreements.all().delete()) == "last_agreement_is_final"


def test_a_last_is_agreed_only_in_the_state_in_which_it_stands() -> None:
    last, person = make_last(), make_person()
    agreement = LastAgreement(last=last, last_version=2, by=person, at=timezone.now())
    assert refusal_of(agreement.save) == "a_last_is_agreed_as_it_stands"


def test_one_state_of_a_last_is_agreed_once() -> None:
    last = agreed(make_last())
    again = LastAgreement(last=last, last_version=1, by=make_person(), at=timezone.now())
    assert refusal_of(again.save) == "a_state_of_a_last_is_agreed_once"


def test_a_number_is_given_once_for_each_foot() -> None:
    last = make_last(side="left")
    assert refusal_of(lambda: make_last_in_a_savepoint(number=last.number)) == "a_last_number_is_given_once"


def make_last_in_a_savepoint(**fields: Any) -> Last:
    """A last within the deed that is already open."""
    return Last.objects.create(
        **{
            "number": "1",
            "side": "left",
            "origin": "made",
            "making": "tape",
            "length_mm": 285,
            "heel_height_mm": 22,
            "toe_spring_mm": 12,
            "place": "rack A1",
            "made_on": date(2026, 11, 2),
            **fields,
        }
    )


@pytest.mark.parametrize(
    ("field", "value", "constraint"),
    [
        ("side", "both", "last_side_is_known"),
        ("origin", "found", "last_origin_is_known"),
        ("making", "guess", "last_making_is_known"),
        ("length_mm", 79, "last_length_is_plausible"),
        ("length_mm", 401, "last_length_is_plausible"),
        ("heel_height_mm", 121, "last_heel_is_plausible"),
        ("toe_spring_mm", 61, "last_toe_spring_is_plausible"),
        ("place", "  ", "a_last_has_a_number_and_a_place"),
        ("number", "", "a_last_has_a_number_and_a_place"),
    ],
)
def test_a_last_that_cannot_be_is_not_kept(field: str, value: Any, constraint: str) -> None:
    assert refusal_of(lambda: make_last_in_a_savepoint(**{field: value})) == constraint


def take(measure_set: MeasureSet, **fields: Any) -> Any:
    values = {"side": "left", "name": "waist_girth", "take": 1, "value_mm": 240, **fields}
    return lambda: Measure.objects.create(measure_set=measure_set, **values)


@pytest.mark.parametrize(
    ("fields", "constraint"),
    [
        ({"name": "foot_length"}, "a_take_is_kept_once"),
        ({"side": "both"}, "measure_side_is_known"),
        ({"take": 4}, "measure_takes_are_three"),
        ({"value_mm": 0}, "measure_is_plausible"),
        ({"value_mm": 1500}, "measure_is_plausible"),
    ],
)
def test_a_measure_that_cannot_be_is_not_kept(fields: dict[str, Any], constraint: str) -> None:
    assert refusal_of(take(make_measure_set(), **fields)) == constraint


@pytest.mark.parametrize(
    ("field", "value", "constraint"),
    [
        ("method", "guess", "measure_method_is_known"),
        ("load", "hanging", "measure_load_is_known"),
        ("heel_height_mm", 121, "heel_height_is_plausible"),
    ],
)
def test_a_sitting_that_cannot_be_is_not_kept(field: str, value: Any, constraint: str) -> None:
    sitting = make_measure_set()
    assert refusal_of(lambda: MeasureSet.objects.filter(pk=sitting.pk).update(**{field: value})) == constraint


@pytest.mark.parametrize(
    ("fields", "constraint"),
    [
        ({"side": "both"}, "cast_side_is_known"),
        ({"place": " "}, "a_cast_is_kept_somewhere"),
        ({"destroyed_on": date(2026, 11, 3)}, "a_destroyed_cast_says_why"),
        ({"destroyed_on": date(2026, 11, 3), "destroyed_why": "  "}, "a_destroyed_cast_says_why"),
        ({"destroyed_on": date(2026, 11, 1), "destroyed_why": "broken"}, "a_cast_is_made_before_it_is_destroyed"),
    ],
    ids=["no side", "no place", "no reason", "empty reason", "before it was made"],
)
def test_a_cast_that_cannot_be_is_not_kept(fields: dict[str, Any], constraint: str) -> None:
    cast = make_cast(made_on=date(2026, 11, 2))
    assert refusal_of(lambda: Cast.objects.filter(pk=cast.pk).update(**fields)) == constraint
