"""A review as a clinician records and reads it."""

from collections.abc import Callable
from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cases.diary.models import Visit
from cases.fittings.entries import FootReview
from cases.fittings.models import Review
from tests.factories.fittings import (
    make_review,
    visit_about,
    worn_pair,
)
from tests.words import words_of
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]


@pytest.fixture
def review_visit(clinician: Person, earlier: datetime) -> Visit:
    pair = worn_pair(by=clinician, at=earlier)
    return visit_about(pair, kind="review", by=clinician, at=earlier)


REVIEW = {
    "worn": "part of the day",
    "hours_a_day": "4.5",
    "walking_before": "to the gate",
    "walking_now": "to the shop",
    "pain_before": "7",
    "pain_now": "2",
    "left_skin": "clear",
    "left_shoe": "sits well",
    "right_skin": "red at the heel",
    "right_shoe": "topline hard",
    "plan": "Pad the topline.",
}


def test_a_review_is_recorded_foot_by_foot(at_work: Client, review_visit: Visit) -> None:
    answer = at_work.post(reverse("review-new", args=[review_visit.uuid]), REVIEW)
    review = Review.objects.get()
    assert [(foot.side, foot.skin, foot.shoe) for foot in review.feet.all()] == [
        ("left", "clear", "sits well"),
        ("right", "red at the heel", "topline hard"),
    ]
    assert (answer.status_code, answer["Location"]) == (303, reverse("review", args=[review.uuid]))


def test_the_skin_of_both_feet_is_asked_for(at_work: Client, review_visit: Visit) -> None:
    answer = at_work.post(reverse("review-new", args=[review_visit.uuid]), {**REVIEW, "right_skin": ""})
    assert (answer.status_code, Review.objects.count()) == (422, 0)


def test_a_review_is_read_with_left_under_left(at_work: Client, clinician: Person, earlier: datetime) -> None:
    pair = worn_pair(by=clinician, at=earlier)
    feet = [FootReview("right", "red at the heel"), FootReview("left", "clear at the toes")]
    review = make_review(pair, by=clinician, at=earlier, feet=feet)
    said = words_of(at_work.get(reverse("review", args=[review.uuid])))
    order = ["LEFT", "clear at the toes", "RIGHT", "red at the heel", "Print the review letter"]
    assert sorted(order, key=said.index) == order


@pytest.mark.parametrize("who", ["reception", "maker", "administrator"])
def test_a_review_is_read_by_those_who_read_what_was_found(
    signed_in: SignIn, request: pytest.FixtureRequest, clinician: Person, earlier: datetime, *, who: str
) -> None:
    review = make_review(worn_pair(by=clinician, at=earlier), by=clinician, at=earlier)
    client = signed_in(request.getfixturevalue(who))
    assert client.get(reverse("review", args=[review.uuid])).status_code == 403


anything = st.text(max_size=300) | st.sampled_from(["-1", "1e400", "NaN", "9999-12-31", "\x00", "11", "0001-01-01"])


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(typed=st.dictionaries(st.sampled_from([*REVIEW, "why_not_worn", "next_review_on"]), anything))
def test_whatever_is_sent_to_a_review_is_answered_in_words(
    at_work: Client, review_visit: Visit, typed: dict[str, str]
) -> None:
    form = {**typed, "worn": "perhaps", "submission": str(uuid4())}
    answer = at_work.post(reverse("review-new", args=[review_visit.uuid]), form)
    assert (answer.status_code, Review.objects.count()) == (422, 0)
