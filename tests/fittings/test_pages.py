"""The page of a visit, and the three records as a clinician meets them."""

import re
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cases.bench.models import Pair, PairVisit
from cases.diary.models import Visit, VisitStatus
from cases.fittings import actions
from cases.fittings.entries import FittingNote, FootReview
from cases.fittings.models import Fitting, HandOver, Review
from tests.factories.bench import make_pair
from tests.factories.diary import make_visit
from tests.factories.fittings import (
    finished_pair,
    lasted_pair,
    make_hand_over,
    make_review,
    visit_about,
    worn_pair,
)
from tests.factories.patients import make_finding, make_red_flag
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person], Client]


@pytest.fixture
def earlier() -> datetime:
    """A moment of today that has passed, for pages read the clock themselves."""
    return timezone.now() - timedelta(minutes=1)


@pytest.fixture
def at_work(signed_in: SignIn, clinician: Person) -> Client:
    return signed_in(clinician)


def words_of(response: Any) -> str:
    body = response.content.decode().split("<main", 1)[1]
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", body))


# The page of a visit ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "words", "url_name"),
    [
        ("assessment", "Measure", "measures-new"),
        ("measures-and-cast", "Measure", "measures-new"),
        ("choice", "Prescribe", "prescription-new"),
        ("trial-shoe", "Record the fitting", "fitting-new"),
        ("rough-fitting", "Record the fitting", "fitting-new"),
        ("final-fitting", "Record the fitting", "fitting-new"),
        ("hand-over", "Hand over", "hand-over-new"),
        ("review", "Record the review", "review-new"),
        ("alteration", "Take in a repair", "repair-open"),
    ],
)
def test_a_visit_offers_the_one_next_thing(
    at_work: Client, earlier: datetime, *, kind: str, words: str, url_name: str
) -> None:
    visit = make_visit(starts_at=earlier, kind=kind)
    of_the_visit = url_name in {"fitting-new", "hand-over-new", "review-new"}
    address = reverse(url_name, args=[visit.uuid if of_the_visit else visit.patient.uuid])
    page = at_work.get(reverse("visit", args=[visit.uuid])).content.decode()
    assert re.findall(r'class="button primary big" href="([^"?]+)[^"]*">([^<]+)<', page) == [(address, words)]


@pytest.mark.parametrize("status", [VisitStatus.CANCELLED, VisitStatus.MISSED])
def test_a_visit_that_did_not_take_place_offers_nothing(
    at_work: Client, earlier: datetime, status: VisitStatus
) -> None:
    visit = make_visit(starts_at=earlier, kind="review", status=status)
    assert "primary" not in at_work.get(reverse("visit", args=[visit.uuid])).content.decode().split("<main")[1]


def test_a_visit_to_come_says_when(at_work: Client, tomorrow: datetime) -> None:
    visit = make_visit(starts_at=tomorrow, kind="review")
    assert "Still to come. Record the review on" in words_of(at_work.get(reverse("visit", args=[visit.uuid])))


def test_reception_sees_the_visit_without_a_clinicians_button(
    signed_in: SignIn, reception: Person, earlier: datetime
) -> None:
    visit = make_visit(starts_at=earlier, kind="review")
    said = words_of(signed_in(reception).get(reverse("visit", args=[visit.uuid])))
    assert ("Review" in said, "Record the review" in said) == (True, False)


def test_after_an_accepted_final_fitting_the_same_visit_offers_the_hand_over(
    at_work: Client, clinician: Person, earlier: datetime
) -> None:
    pair = finished_pair(by=clinician, at=earlier)
    visit = visit_about(pair, kind="final-fitting", by=clinician, at=earlier)
    actions.record_fitting(visit, pair=pair, kind="final", outcome="accept", by=clinician, at=earlier)
    assert (
        reverse("hand-over-new", args=[visit.uuid]) in at_work.get(reverse("visit", args=[visit.uuid])).content.decode()
    )


# A fitting ----------------------------------------------------------------------------------------------------


@pytest.fixture
def fitting_visit(clinician: Person, earlier: datetime) -> Visit:
    pair = make_pair(by=clinician, at=earlier)
    return visit_about(pair, kind="trial-shoe", by=clinician, at=earlier)


FITTING = {
    "kind": "trial shoe",
    "outcome": "accept",
    "left_0_place": "heel",
    "left_0_found": "slips",
    "left_0_to_do": "pad 2 mm",
    "right_1_found": "sits well",
    "note": "",
}


def test_a_fitting_is_recorded_foot_by_foot(at_work: Client, fitting_visit: Visit) -> None:
    answer = at_work.post(reverse("fitting-new", args=[fitting_visit.uuid]), FITTING)
    fitting = Fitting.objects.get()
    found = [(each.side, each.place, each.found, each.to_do) for each in fitting.findings.all()]
    assert found == [("left", "heel", "slips", "pad 2 mm"), ("right", "", "sits well", "")]
    assert (answer.status_code, answer["Location"]) == (303, reverse("fitting", args=[fitting.uuid]))


def test_the_fields_of_a_fitting_stand_left_on_the_left(at_work: Client, fitting_visit: Visit) -> None:
    page = at_work.get(reverse("fitting-new", args=[fitting_visit.uuid])).content.decode()
    order = ['class="foot left"', 'name="left_3_to_do"', 'class="foot right"', 'name="right_0_place"']
    assert sorted(order, key=page.index) == order


def test_a_double_click_records_one_fitting(at_work: Client, fitting_visit: Visit) -> None:
    form = {**FITTING, "submission": str(uuid4())}
    answers = [at_work.post(reverse("fitting-new", args=[fitting_visit.uuid]), form) for _ in range(2)]
    assert ([answer.status_code for answer in answers], Fitting.objects.count()) == ([303, 303], 1)


def test_a_second_fitting_of_one_visit_is_told_who_was_first(at_work: Client, fitting_visit: Visit) -> None:
    at_work.post(reverse("fitting-new", args=[fitting_visit.uuid]), FITTING)
    answer = at_work.post(reverse("fitting-new", args=[fitting_visit.uuid]), FITTING)
    assert (answer.status_code, Fitting.objects.count()) == (409, 1)
    assert "This fitting was already recorded by Clara Clinician" in words_of(answer)


def test_a_refused_fitting_keeps_what_was_typed(at_work: Client, fitting_visit: Visit) -> None:
    answer = at_work.post(
        reverse("fitting-new", args=[fitting_visit.uuid]), {**FITTING, "outcome": "alter", "left_0_to_do": ""}
    )
    assert (answer.status_code, 'value="slips"' in answer.content.decode()) == (409, True)


@pytest.mark.parametrize("who", ["reception", "maker", "manager", "administrator"])
@pytest.mark.parametrize("url_name", ["fitting-new", "hand-over-new", "review-new"])
def test_only_a_clinician_records(
    signed_in: SignIn, request: pytest.FixtureRequest, earlier: datetime, *, who: str, url_name: str
) -> None:
    visit = make_visit(starts_at=earlier)
    client = signed_in(request.getfixturevalue(who))
    assert client.post(reverse(url_name, args=[visit.uuid]), {}).status_code == 403


def test_a_visit_about_no_pair_asks_which(at_work: Client, clinician: Person, earlier: datetime) -> None:
    first = make_pair(by=clinician, at=earlier)
    second = make_pair(by=clinician, at=earlier, patient=first.patient)
    visit = make_visit(starts_at=earlier, kind="trial-shoe", patient=first.patient)
    said = words_of(at_work.get(reverse("fitting-new", args=[visit.uuid])))
    assert [f"Pair {pair.number}" in said for pair in (first, second)] == [True, True]


def test_the_chosen_pair_is_the_visits_pair_from_then_on(at_work: Client, clinician: Person, earlier: datetime) -> None:
    first = make_pair(by=clinician, at=earlier)
    make_pair(by=clinician, at=earlier, patient=first.patient)
    visit = make_visit(starts_at=earlier, kind="trial-shoe", patient=first.patient)
    at_work.post(f"{reverse('fitting-new', args=[visit.uuid])}?pair={first.uuid}", FITTING)
    assert PairVisit.objects.get(visit=visit).pair == first


def test_another_clients_pair_cannot_be_chosen(at_work: Client, clinician: Person, earlier: datetime) -> None:
    elsewhere = make_pair(by=clinician, at=earlier)
    visit = make_visit(starts_at=earlier, kind="trial-shoe")
    at_work.post(f"{reverse('fitting-new', args=[visit.uuid])}?pair={elsewhere.uuid}", FITTING)
    assert Fitting.objects.count() == 0


def test_a_client_without_a_pair_is_told_where_one_comes_from(at_work: Client, earlier: datetime) -> None:
    visit = make_visit(starts_at=earlier, kind="trial-shoe")
    said = words_of(at_work.get(reverse("fitting-new", args=[visit.uuid])))
    assert "No pair has been opened" in said


def test_a_maker_reads_what_is_to_be_done(
    signed_in: SignIn, maker: Person, clinician: Person, earlier: datetime
) -> None:
    pair = lasted_pair(by=clinician, at=earlier)
    visit = visit_about(pair, kind="rough-fitting", by=clinician, at=earlier)
    fitting = actions.record_fitting(
        visit,
        pair=pair,
        kind="rough",
        outcome="alter",
        findings=[FittingNote("right", "joint, lateral", "presses", "ease 3 mm")],
        by=clinician,
        at=earlier,
    )
    said = words_of(signed_in(maker).get(reverse("fitting", args=[fitting.uuid])))
    assert said.index("RIGHT") < said.index("ease 3 mm")


# A hand-over --------------------------------------------------------------------------------------------------


@pytest.fixture
def finished(clinician: Person, earlier: datetime) -> Pair:
    return finished_pair(by=clinician, at=earlier)


@pytest.fixture
def hand_over_visit(finished: Pair, clinician: Person, earlier: datetime) -> Visit:
    return visit_about(finished, kind="hand-over", by=clinician, at=earlier)


@pytest.fixture
def home_going() -> dict[str, str]:
    return {
        "red_flags_asked": "on",
        "cautions_explained": "on",
        "hands_can_close_it": "on",
        "wear_in": "ordinary",
        "collected_by": "a daughter",
        "review_due_on": str(timezone.localdate() + timedelta(days=14)),
        "note": "",
    }


def test_a_pair_goes_home_with_what_was_said(
    at_work: Client, hand_over_visit: Visit, home_going: dict[str, str]
) -> None:
    answer = at_work.post(reverse("hand-over-new", args=[hand_over_visit.uuid]), home_going)
    record = HandOver.objects.get()
    assert (record.collected_by, record.hands_can_close_it, record.both_shoes_lifted) == ("a daughter", True, False)
    assert answer["Location"] == reverse("hand-over", args=[record.uuid])


def test_an_open_red_flag_is_listed_before_anything_else(at_work: Client, hand_over_visit: Visit) -> None:
    make_red_flag(hand_over_visit.patient, sign="open_or_infected_wound")
    said = words_of(at_work.get(reverse("hand-over-new", args=[hand_over_visit.uuid])))
    order = ["To be answered first", "Open or infected wound where a shoe touches , LEFT", "Asked again today"]
    assert sorted(order, key=said.index) == order


def test_an_open_red_flag_refuses_the_hand_over_in_a_sentence(
    at_work: Client, hand_over_visit: Visit, home_going: dict[str, str]
) -> None:
    make_red_flag(hand_over_visit.patient)
    answer = at_work.post(reverse("hand-over-new", args=[hand_over_visit.uuid]), home_going)
    assert (answer.status_code, HandOver.objects.count()) == (409, 0)
    assert "Not yet answered: Hot, swollen, red foot" in words_of(answer)


def test_the_cautions_stand_on_the_screen(at_work: Client, hand_over_visit: Visit) -> None:
    said = words_of(at_work.get(reverse("hand-over-new", args=[hand_over_visit.uuid])))
    cautions = [
        "Stop wearing the shoes and ask for care the same day",
        "look at the whole foot, between the toes too",
        "A mark that has not gone in 15 minutes",
    ]
    assert [caution in said for caution in cautions] == [True] * 3


def test_the_table_for_what_was_found_is_offered_first(at_work: Client, hand_over_visit: Visit) -> None:
    make_finding(hand_over_visit.patient, condition="loss_of_protective_sensation", place="forefoot")
    page = at_work.get(reverse("hand-over-new", args=[hand_over_visit.uuid])).content.decode()
    assert re.findall(r'value="([a-z-]+)"[^>]*checked', page) == ["loss-of-sensation"]


def test_a_hand_over_is_read_as_it_was(at_work: Client, finished: Pair, clinician: Person, earlier: datetime) -> None:
    record = make_hand_over(finished, by=clinician, at=earlier, wear_in="swollen-or-fragile")
    answer = at_work.get(reverse("hand-over", args=[record.uuid]))
    assert "Swollen foot or fragile skin When Worn for Day 1 30 minutes" in words_of(answer)


# A review -----------------------------------------------------------------------------------------------------


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


@pytest.mark.parametrize(
    "url_name", ["visit", "fitting-new", "hand-over-new", "review-new", "fitting", "hand-over", "review"]
)
def test_what_does_not_exist_is_not_found(at_work: Client, url_name: str, db: None) -> None:
    from tests.factories.figures import load_figures

    load_figures()
    assert at_work.get(reverse(url_name, args=[uuid4()])).status_code == 404


# Hostile forms ------------------------------------------------------------------------------------------------


anything = st.text(max_size=300) | st.sampled_from(["-1", "1e400", "NaN", "9999-12-31", "\x00", "11", "0001-01-01"])


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(typed=st.dictionaries(st.sampled_from([*FITTING, "left_2_found", "right_0_to_do"]), anything))
def test_whatever_is_sent_to_a_fitting_leaves_nothing_half_recorded(
    at_work: Client, fitting_visit: Visit, typed: dict[str, str]
) -> None:
    form = {**typed, "kind": "smooth", "submission": str(uuid4())}
    answer = at_work.post(reverse("fitting-new", args=[fitting_visit.uuid]), form)
    assert (answer.status_code, Fitting.objects.count()) == (422, 0)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(typed=st.dictionaries(st.sampled_from([*REVIEW, "why_not_worn", "next_review_on"]), anything))
def test_whatever_is_sent_to_a_review_is_answered_in_words(
    at_work: Client, review_visit: Visit, typed: dict[str, str]
) -> None:
    form = {**typed, "worn": "perhaps", "submission": str(uuid4())}
    answer = at_work.post(reverse("review-new", args=[review_visit.uuid]), form)
    assert (answer.status_code, Review.objects.count()) == (422, 0)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(typed=st.dictionaries(st.sampled_from(["wear_in", "collected_by", "review_due_on", "note"]), anything))
def test_whatever_is_sent_to_a_hand_over_lets_no_pair_go_unexplained(
    at_work: Client, hand_over_visit: Visit, typed: dict[str, str]
) -> None:
    form = {**typed, "red_flags_asked": "on", "submission": str(uuid4())}
    answer = at_work.post(reverse("hand-over-new", args=[hand_over_visit.uuid]), form)
    assert (answer.status_code in {409, 422}, HandOver.objects.count()) == (True, 0)
