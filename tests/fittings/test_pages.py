"""The page of a visit, and a hand-over as a clinician meets it."""

import re
from collections.abc import Callable
from datetime import datetime, timedelta
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cases.bench.actions import FinalEntry, record_final
from cases.bench.models import Pair
from cases.bench.queries import final_sheet
from cases.diary.models import Visit, VisitStatus
from cases.fittings import actions
from cases.fittings.models import HandOver
from cases.patients.actions import answer_red_flag
from tests.factories.bench import bring_to, bring_to_the_end, make_pair
from tests.factories.diary import make_visit
from tests.factories.fittings import (
    finished_pair,
    make_hand_over,
    visit_about,
    worn_pair,
)
from tests.factories.lasts import make_measure_set
from tests.factories.patients import make_finding, make_patient, make_red_flag
from tests.factories.prescriptions import make_prescription, make_signed_prescription
from tests.words import words_of
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]

# The page of a visit -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("kind", "words", "url_name"),
    [
        ("assessment", "Record what was found", "finding-add"),
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


def offered(at_work: Client, visit: Visit) -> list[tuple[str, str]]:
    page = at_work.get(reverse("visit", args=[visit.uuid])).content.decode()
    return re.findall(r'class="button primary big" href="([^"?]+)[^"]*">([^<]+)<', page)


@pytest.fixture
def assessment(earlier: datetime) -> Visit:
    visit = make_visit(starts_at=earlier, kind="assessment")
    make_finding(visit.patient)
    return visit


def test_who_was_examined_is_measured(at_work: Client, assessment: Visit) -> None:
    assert offered(at_work, assessment) == [(reverse("measures-new", args=[assessment.patient.uuid]), "Measure")]


def test_who_was_measured_is_prescribed_for(at_work: Client, assessment: Visit) -> None:
    make_measure_set(patient=assessment.patient, visit=assessment)
    assert offered(at_work, assessment) == [(reverse("prescription-new", args=[assessment.patient.uuid]), "Prescribe")]


def test_a_draft_of_the_day_is_gone_on_with(at_work: Client, assessment: Visit) -> None:
    make_measure_set(patient=assessment.patient, visit=assessment)
    draft = make_prescription(patient=assessment.patient)
    assert offered(at_work, assessment) == [(reverse("prescription", args=[draft.uuid]), "Go on with the draft")]


def test_what_was_signed_is_opened_on_the_bench(at_work: Client, assessment: Visit) -> None:
    make_measure_set(patient=assessment.patient, visit=assessment)
    version = make_signed_prescription(patient=assessment.patient)
    assert offered(at_work, assessment) == [(reverse("pair-open", args=[version.uuid]), "Open the pair on the bench")]


def test_once_the_pair_is_open_the_assessment_asks_for_nothing_more(
    at_work: Client, assessment: Visit, clinician: Person
) -> None:
    make_measure_set(patient=assessment.patient, visit=assessment)
    version = make_signed_prescription(patient=assessment.patient)
    make_pair(prescription=version, by=clinician, at=timezone.now())
    assert offered(at_work, assessment) == []


def test_an_assessment_says_what_the_client_was_referred_for(at_work: Client, earlier: datetime) -> None:
    visit = make_visit(starts_at=earlier, patient=make_patient(referral_reason="the heel rubs"))
    assert "the heel rubs" in words_of(at_work.get(reverse("visit", args=[visit.uuid])))


def test_the_page_of_a_visit_begins_with_an_open_red_flag(at_work: Client, assessment: Visit) -> None:
    make_red_flag(assessment.patient, sign="open_or_infected_wound")
    said = words_of(at_work.get(reverse("visit", args=[assessment.uuid])))
    assert "LEFT: Open or infected wound" in said


@pytest.mark.parametrize("status", [VisitStatus.ARRIVED, VisitStatus.DONE, VisitStatus.MISSED])
def test_a_mistaken_mark_is_taken_back_by_one_touch(at_work: Client, earlier: datetime, status: VisitStatus) -> None:
    visit = make_visit(starts_at=earlier, status=status)
    at_work.post(reverse("visit-take-back", args=[visit.uuid]))
    visit.refresh_from_db()
    assert visit.status == VisitStatus.BOOKED


def test_a_visit_at_which_something_was_recorded_took_place(at_work: Client, clinician: Person, now: datetime) -> None:
    pair = worn_pair(by=clinician, at=now)
    visit = HandOver.objects.get(pair=pair).visit
    answer = at_work.post(reverse("visit-take-back", args=[visit.uuid]))
    visit.refresh_from_db()
    assert (answer.status_code, visit.status) == (409, VisitStatus.DONE)
    assert "A hand-over was recorded at this visit" in answer.content.decode()


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


# A hand-over ---------------------------------------------------------------------------------------------------


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


def test_what_differed_at_the_final_check_stands_at_the_hand_over(
    at_work: Client, clinician: Person, earlier: datetime
) -> None:
    pair = make_pair(by=clinician, at=earlier)
    bring_to(pair, "final-check", by=clinician, at=earlier)
    sheet = final_sheet(pair, on=timezone.localdate(earlier))
    assert sheet
    left_stand = next(seen for seen in sheet.seen if seen.name == "left-stand")
    entry = FinalEntry(left_stand, answer="rocks a little: he knows")
    record_final(pair, [entry], by=clinician, at=earlier)
    bring_to_the_end(pair, by=clinician, at=earlier)
    visit = visit_about(pair, kind="hand-over", by=clinician, at=earlier)
    page = at_work.get(reverse("hand-over-new", args=[visit.uuid])).content.decode()
    said = re.findall(r"<li><strong>(LEFT|RIGHT)</strong> (.*?) <span", page)
    assert said == [("LEFT", "stands flat on the board and does not rock. rocks a little: he knows")]


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


def test_a_wound_answered_on_an_earlier_day_is_asked_about_again(
    at_work: Client, hand_over_visit: Visit, earlier: datetime, clinician: Person
) -> None:
    patient = hand_over_visit.patient
    make_finding(patient, condition="open_wound", place="under the 1st joint")
    flag = make_red_flag(patient, sign="open_or_infected_wound")
    last_week = earlier - timedelta(days=7)
    answer_red_flag(flag, what_was_done="Dressed.", referred_to="the foot clinic", by=clinician, at=last_week)
    said = words_of(at_work.get(reverse("hand-over-new", args=[hand_over_visit.uuid])))
    assert (
        "Open wound, under the 1st joint LEFT may be a red flag" in said,
        "sent to the foot clinic. Is it there again, or worse?" in said,
        "Raise a red flag, LEFT" in said,
    ) == (True, True, True)


def test_a_wound_that_has_healed_is_said_without_leaving_the_hand_over(at_work: Client, hand_over_visit: Visit) -> None:
    finding = make_finding(hand_over_visit.patient, condition="open_wound")
    here = reverse("hand-over-new", args=[hand_over_visit.uuid])
    answer = at_work.post(reverse("finding-end", args=[finding.uuid]), {"next": here})
    assert (answer.status_code, answer.headers["Location"]) == (303, here)


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


def test_a_persons_own_table_is_read_with_what_it_was_worked_out_to(
    at_work: Client, hand_over_visit: Visit, home_going: dict[str, str]
) -> None:
    own = {"wear_in": "by-figures", "start_hours": "0.5", "growth_hours": "0.5", "days": "14"}
    answer = at_work.post(reverse("hand-over-new", args=[hand_over_visit.uuid]), home_going | own, follow=True)
    said = words_of(answer)
    assert "By figures for this person When Worn for Day 1 30 minutes Day 2 1 hour" in said
    assert "A mark that has not gone in 15 minutes" in said


def test_a_persons_own_table_without_its_figures_comes_back_with_what_was_typed(
    at_work: Client, hand_over_visit: Visit, home_going: dict[str, str]
) -> None:
    own = {"wear_in": "by-figures", "start_hours": "0.5", "days": "14"}
    answer = at_work.post(reverse("hand-over-new", args=[hand_over_visit.uuid]), home_going | own)
    assert (answer.status_code, "Say this, or choose one of the workshop" in answer.content.decode()) == (422, True)


# Hostile forms -------------------------------------------------------------------------------------------------

anything = st.text(max_size=300) | st.sampled_from(["-1", "1e400", "NaN", "9999-12-31", "\x00", "11", "0001-01-01"])


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    typed=st.dictionaries(
        st.sampled_from(["wear_in", "start_hours", "growth_hours", "days", "collected_by", "review_due_on", "note"]),
        anything,
    )
)
def test_whatever_is_sent_to_a_hand_over_lets_no_pair_go_unexplained(
    at_work: Client, hand_over_visit: Visit, typed: dict[str, str]
) -> None:
    form = {**typed, "red_flags_asked": "on", "submission": str(uuid4())}
    answer = at_work.post(reverse("hand-over-new", args=[hand_over_visit.uuid]), form)
    assert (answer.status_code in {409, 422}, HandOver.objects.count()) == (True, 0)
