"""A fitting as a clinician records it and a maker reads it; and who may record at all."""

from collections.abc import Callable
from datetime import datetime
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cases.bench.models import PairVisit
from cases.diary.models import Visit
from cases.fittings import actions
from cases.fittings.entries import FittingNote
from cases.fittings.models import Fitting
from tests.factories.bench import make_pair
from tests.factories.diary import make_visit
from tests.factories.fittings import (
    lasted_pair,
    visit_about,
)
from tests.words import words_of
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]


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


@pytest.mark.parametrize(
    "url_name", ["visit", "fitting-new", "hand-over-new", "review-new", "fitting", "hand-over", "review"]
)
def test_what_does_not_exist_is_not_found(at_work: Client, url_name: str, db: None) -> None:
    from tests.factories.figures import load_figures

    load_figures()
    assert at_work.get(reverse(url_name, args=[uuid4()])).status_code == 404


anything = st.text(max_size=300) | st.sampled_from(["-1", "1e400", "NaN", "9999-12-31", "\x00", "11", "0001-01-01"])


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(typed=st.dictionaries(st.sampled_from([*FITTING, "left_2_found", "right_0_to_do"]), anything))
def test_whatever_is_sent_to_a_fitting_leaves_nothing_half_recorded(
    at_work: Client, fitting_visit: Visit, typed: dict[str, str]
) -> None:
    form = {**typed, "kind": "smooth", "submission": str(uuid4())}
    answer = at_work.post(reverse("fitting-new", args=[fitting_visit.uuid]), form)
    assert (answer.status_code, Fitting.objects.count()) == (422, 0)
