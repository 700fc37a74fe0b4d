"""A review at the level of the action and, going round it, of the database."""

from collections.abc import Callable
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from cases.bench.models import Pair
from cases.diary.models import Call, CallState, Visit, VisitStatus
from cases.fittings.entries import FootReview
from cases.fittings.models import Review
from shared.refusals import NotAllowed, Refused
from tests.factories.base import constraint_broken_by
from tests.factories.fittings import finished_pair, make_review, visit_about, worn_pair
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

LookAtIt = Callable[..., Review]


@pytest.fixture
def pair(clinician: Person, now: datetime) -> Pair:
    return worn_pair(by=clinician, at=now)


@pytest.fixture
def visit(pair: Pair, clinician: Person, now: datetime) -> Visit:
    return visit_about(pair, kind="review", by=clinician, at=now)


@pytest.fixture
def look_at_it(pair: Pair, visit: Visit, clinician: Person, now: datetime) -> LookAtIt:
    def _review(**said: Any) -> Review:
        return make_review(pair, **{"visit": visit, "by": clinician, "at": now, **said})

    return _review


def test_a_review_keeps_the_skin_and_the_shoe_of_each_foot(look_at_it: LookAtIt) -> None:
    review = look_at_it(feet=[FootReview("left", "clear", "sits well"), FootReview("right", "red at the heel")])
    assert [(foot.side, foot.skin, foot.shoe) for foot in review.feet.all()] == [
        ("left", "clear", "sits well"),
        ("right", "red at the heel", ""),
    ]


def test_a_review_completes_its_visit(look_at_it: LookAtIt, visit: Visit) -> None:
    look_at_it()
    visit.refresh_from_db()
    assert visit.status == VisitStatus.DONE


def test_a_review_answers_its_call_and_asks_for_the_next(look_at_it: LookAtIt, pair: Pair, now: datetime) -> None:
    look_at_it(next_review_on=now.date() + timedelta(days=90))
    calls = Call.objects.filter(about_uuid=pair.uuid, kind__key="review").order_by("pk")
    assert [(call.state, call.due_on) for call in calls] == [
        (CallState.NOT_NEEDED, now.date() + timedelta(days=7)),
        (CallState.OPEN, now.date() + timedelta(days=83)),
    ]


def test_a_pair_is_reviewed_at_visit_after_visit(
    look_at_it: LookAtIt, pair: Pair, clinician: Person, now: datetime
) -> None:
    look_at_it()
    make_review(pair, by=clinician, at=now + timedelta(hours=2))
    assert Review.objects.filter(pair=pair).count() == 2


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"worn": "not at all"}, "Say why the pair is not worn"),
        ({"worn": "now and then"}, "Say how the pair is worn"),
        ({"hours_a_day": Decimal(25)}, "24 hours"),
        ({"hours_a_day": Decimal(-1)}, "24 hours"),
        ({"pain_before": 11}, "from 0 to 10"),
        ({"pain_now": -1}, "from 0 to 10"),
        ({"plan": " "}, "the plan"),
        ({"feet": [FootReview("left", "clear")]}, "the skin of the RIGHT foot"),
        ({"feet": [FootReview("left", " "), FootReview("right", "clear")]}, "the skin of the LEFT foot"),
        ({"feet": [FootReview("left", "clear")] * 2 + [FootReview("right", "clear")]}, "each foot .* once"),
    ],
)
def test_what_does_not_fit_is_said(look_at_it: LookAtIt, said: dict[str, Any], sentence: str) -> None:
    with pytest.raises(Refused, match=sentence):
        look_at_it(**said)


def test_a_next_review_lies_ahead(look_at_it: LookAtIt, now: datetime) -> None:
    with pytest.raises(Refused, match="comes after today"):
        look_at_it(next_review_on=now.date())


def test_a_pair_not_yet_with_its_client_is_not_reviewed(clinician: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="finished, waiting for the client"):
        make_review(finished_pair(by=clinician, at=now), by=clinician, at=now)


def test_a_review_is_recorded_once(look_at_it: LookAtIt) -> None:
    look_at_it()
    with pytest.raises(Refused, match="This review was already recorded by Clara Clinician"):
        look_at_it()


def test_a_manager_records_no_review(look_at_it: LookAtIt, manager: Person) -> None:
    with pytest.raises(NotAllowed):
        look_at_it(by=manager)


@pytest.mark.parametrize(
    ("wrong", "constraint"),
    [
        ({"worn": "not at all"}, "not_worn_says_why"),
        ({"worn": "sideways"}, "wear_is_known"),
        ({"pain_now": 11}, "pain_is_0_to_10"),
        ({"hours_a_day": Decimal("24.5")}, "a_day_has_24_hours"),
        ({"plan": ""}, "a_review_has_a_plan"),
    ],
)
def test_the_database_refuses_a_review_that_cannot_be(
    pair: Pair, visit: Visit, clinician: Person, now: datetime, *, wrong: dict[str, Any], constraint: str
) -> None:
    usual = {"worn": "all day", "plan": "goes on", **wrong}
    write = lambda: Review.objects.create(visit=visit, pair=pair, by=clinician, at=now, **usual)
    assert constraint_broken_by(write) == constraint


def test_the_database_keeps_a_review_as_it_was(look_at_it: LookAtIt) -> None:
    review = look_at_it()
    assert constraint_broken_by(lambda: Review.objects.filter(pk=review.pk).update(plan="x")) == "review_is_final"


def test_the_database_keeps_the_feet_of_a_review(look_at_it: LookAtIt) -> None:
    review = look_at_it()
    assert constraint_broken_by(lambda: review.feet.update(skin="clear as glass")) == "review_foot_is_final"
