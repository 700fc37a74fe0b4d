"""Arrived, done, missed, cancelled; and the to-call list."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest

from cases.diary import actions, queries
from cases.diary.clock import in_words
from cases.diary.models import Call, CallState, Visit, VisitStatus
from cases.patients.models import Patient
from shared.models import Deed
from shared.refusals import Refused
from tests.factories.base import constraint_broken_by, setting_up
from tests.factories.diary import make_call, make_visit, visit_kind
from tests.factories.patients import make_patient
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

Change = Callable[..., None]


@pytest.fixture
def visit(clinician: Person, now: datetime) -> Visit:
    return make_visit(starts_at=now, kind="review", clinician=clinician)


@pytest.mark.parametrize(
    ("change", "before", "after"),
    [
        (actions.arrive, "booked", "arrived"),
        (actions.arrive, "missed", "arrived"),
        (actions.complete_visit, "booked", "done"),
        (actions.complete_visit, "arrived", "done"),
        (actions.miss_visit, "booked", "missed"),
        (actions.cancel_visit, "booked", "cancelled"),
        (actions.cancel_visit, "arrived", "cancelled"),
        (actions.take_back, "arrived", "booked"),
        (actions.take_back, "done", "booked"),
        (actions.take_back, "missed", "booked"),
    ],
)
def test_a_visit_goes_its_way(
    visit: Visit, reception: Person, now: datetime, change: Change, *, before: str, after: str
) -> None:
    with setting_up():
        Visit.objects.filter(pk=visit.pk).update(status=before)
    change(visit, by=reception, at=now)
    visit.refresh_from_db()
    assert visit.status == after


@pytest.mark.parametrize(
    ("change", "standing"),
    [
        (actions.arrive, "done"),
        (actions.arrive, "cancelled"),
        (actions.arrive, "arrived"),
        (actions.complete_visit, "missed"),
        (actions.complete_visit, "cancelled"),
        (actions.complete_visit, "done"),
        (actions.miss_visit, "arrived"),
        (actions.miss_visit, "missed"),
        (actions.cancel_visit, "done"),
        (actions.cancel_visit, "cancelled"),
        (actions.take_back, "booked"),
        (actions.take_back, "cancelled"),
    ],
)
def test_a_visit_that_took_another_way_is_refused_in_a_sentence(
    visit: Visit, reception: Person, now: datetime, change: Change, standing: str
) -> None:
    with setting_up():
        Visit.objects.filter(pk=visit.pk).update(status=standing)
    with pytest.raises(Refused) as refused:
        change(visit, by=reception, at=now)
    assert refused.value.message == f"This visit was already {standing}."


@pytest.mark.parametrize("change", [actions.arrive, actions.complete_visit, actions.miss_visit])
def test_what_is_still_to_come_has_not_happened(visit: Visit, reception: Person, now: datetime, change: Change) -> None:
    with pytest.raises(Refused, match="still to come"):
        change(visit, by=reception, at=now - timedelta(days=1))


def test_what_is_still_to_come_can_be_cancelled(visit: Visit, reception: Person, now: datetime) -> None:
    actions.cancel_visit(visit, by=reception, at=now - timedelta(days=1))
    visit.refresh_from_db()
    assert visit.status == VisitStatus.CANCELLED


def test_who_comes_after_all_finds_the_time_taken(
    visit: Visit, clinician: Person, reception: Person, now: datetime
) -> None:
    actions.miss_visit(visit, by=reception, at=now)
    make_visit(starts_at=now, clinician=clinician)
    with pytest.raises(Refused) as refused:
        actions.arrive(visit, by=reception, at=now)
    assert refused.value.message == "This clinician already has another visit at that time."


def test_a_missed_visit_puts_its_client_on_the_to_call_list(visit: Visit, reception: Person, now: datetime) -> None:
    actions.miss_visit(visit, by=reception, at=now)
    call = Call.objects.get()
    assert (call.patient, call.kind, call.due_on, call.state) == (
        visit.patient,
        visit.kind,
        now.date(),
        CallState.OPEN,
    )


def test_who_came_after_all_need_not_be_called(visit: Visit, reception: Person, now: datetime) -> None:
    actions.miss_visit(visit, by=reception, at=now)
    actions.arrive(visit, by=reception, at=now)
    assert Call.objects.get().state == CallState.NOT_NEEDED


def test_who_was_marked_as_missed_by_mistake_need_not_be_called(visit: Visit, reception: Person, now: datetime) -> None:
    actions.miss_visit(visit, by=reception, at=now)
    actions.take_back(visit, by=reception, at=now)
    assert Call.objects.get().state == CallState.NOT_NEEDED


def test_a_missed_visit_whose_time_was_given_away_cannot_be_taken_back(
    visit: Visit, clinician: Person, reception: Person, now: datetime
) -> None:
    actions.miss_visit(visit, by=reception, at=now)
    make_visit(starts_at=now, clinician=clinician)
    with pytest.raises(Refused) as refused:
        actions.take_back(visit, by=reception, at=now)
    assert refused.value.message == "This clinician already has another visit at that time."


def test_what_was_taken_back_is_said_in_the_story(visit: Visit, reception: Person, now: datetime) -> None:
    actions.arrive(visit, by=reception, at=now)
    actions.take_back(visit, by=reception, at=now)
    assert Deed.objects.get(action="visit_booked").says == (
        f"Taken back what was marked, so booked as before: review, {in_words(visit.day)}."
    )


@pytest.mark.parametrize(
    ("status", "days_ago", "is_listed"),
    [
        ("booked", 1, True),
        ("arrived", 1, True),
        ("booked", 40, True),
        ("booked", 0, False),
        ("done", 1, False),
        ("missed", 1, False),
        ("cancelled", 1, False),
    ],
)
def test_a_past_visit_that_nobody_settled_is_listed(
    now: datetime, status: VisitStatus, days_ago: int, *, is_listed: bool
) -> None:
    visit = make_visit(starts_at=now - timedelta(days=days_ago), status=status)
    assert queries.unmarked_visits(now.date()) == ([visit] if is_listed else [])


def test_past_visits_that_nobody_settled_stand_oldest_first(now: datetime) -> None:
    later, earlier = (make_visit(starts_at=now - timedelta(days=days)) for days in (1, 9))
    assert queries.unmarked_visits(now.date()) == [earlier, later]


def test_a_cancelled_visit_about_a_pair_puts_its_client_on_the_to_call_list(
    clinician: Person, reception: Person, now: datetime
) -> None:
    pair, patient = uuid4(), make_patient()
    visit = make_visit(starts_at=now, patient=patient, clinician=clinician, kind="rough-fitting", about_uuid=pair)
    actions.cancel_visit(visit, by=reception, at=now)
    call = Call.objects.get()
    assert (call.patient, call.kind, call.about_uuid, call.why, call.due_on) == (
        patient,
        visit.kind,
        pair,
        f"Cancelled: rough fitting on {in_words(now.date())}",
        now.date(),
    )


def test_a_cancelled_visit_about_nothing_asks_for_no_call(visit: Visit, reception: Person, now: datetime) -> None:
    actions.cancel_visit(visit, by=reception, at=now)
    assert Call.objects.count() == 0


def test_a_change_of_a_visit_is_one_deed_that_names_the_client(visit: Visit, reception: Person, now: datetime) -> None:
    actions.arrive(visit, by=reception, at=now)
    deed = Deed.objects.get(action="visit_arrived")
    assert (deed.patient_uuid, deed.who_uuid, deed.done_at) == (visit.patient.uuid, reception.uuid, now)


# The to-call list ---------------------------------------------------------------------------------------------


@pytest.fixture
def ask(reception: Person, now: datetime) -> Callable[..., Call]:
    patient = make_patient()

    def _ask(**asked: Any) -> Call:
        usual = {
            "patient": patient,
            "why": "Review is due",
            "kind": visit_kind("review"),
            "due_on": now.date(),
            "by": reception,
            "at": now,
        }
        return actions.ask_for_call(**{**usual, **asked})

    return _ask


def test_a_call_asked_for_twice_stands_once(ask: Callable[..., Call]) -> None:
    assert ask().pk == ask(why="Said in other words").pk


def test_a_call_asked_for_an_earlier_day_is_brought_forward(ask: Callable[..., Call], now: datetime) -> None:
    first = ask(due_on=now.date() + timedelta(days=7))
    ask(why="It is ready already", due_on=now.date())
    first.refresh_from_db()
    assert (first.due_on, first.why) == (now.date(), "It is ready already")


def test_a_call_asked_for_a_later_day_stays_as_it_is(ask: Callable[..., Call], now: datetime) -> None:
    first = ask()
    ask(why="Said in other words", due_on=now.date() + timedelta(days=7))
    first.refresh_from_db()
    assert (first.due_on, first.why) == (now.date(), "Review is due")


def test_calls_about_two_pairs_stand_apart(ask: Callable[..., Call]) -> None:
    assert ask(about_uuid=uuid4()).pk != ask(about_uuid=uuid4()).pk


def test_what_was_settled_can_be_asked_for_again(ask: Callable[..., Call], reception: Person, now: datetime) -> None:
    first = ask()
    actions.settle_call(first, state=CallState.NOT_NEEDED, by=reception, at=now)
    assert ask().pk != first.pk


def test_the_database_keeps_one_open_call_for_one_thing(patient_call: Call) -> None:
    again = lambda: Call.objects.create(
        patient=patient_call.patient, kind=patient_call.kind, why="again", due_on=patient_call.due_on
    )
    assert constraint_broken_by(again) == "one_open_call_for_one_thing"


@pytest.fixture
def patient_call(db: None, now: datetime) -> Call:
    return make_call(due_on=now.date())


def test_no_answer_counts_a_try_and_asks_nothing_else(patient_call: Call, reception: Person, now: datetime) -> None:
    actions.note_call_try(patient_call, by=reception, at=now)
    patient_call.refresh_from_db()
    assert (patient_call.tries, patient_call.last_tried_at, patient_call.due_on) == (1, now, now.date())


def test_later_moves_the_call_to_that_day(patient_call: Call, reception: Person, now: datetime) -> None:
    next_week = now.date() + timedelta(days=7)
    actions.note_call_try(patient_call, call_again_on=next_week, by=reception, at=now)
    assert (queries.calls_due(now.date()), queries.calls_later(now.date())) == ([], [patient_call])


def test_a_settled_call_is_not_tried_again(patient_call: Call, reception: Person, now: datetime) -> None:
    actions.settle_call(patient_call, state=CallState.BOOKED, by=reception, at=now)
    with pytest.raises(Refused) as refused:
        actions.note_call_try(patient_call, by=reception, at=now)
    assert refused.value.message == "This call was already settled: booked."


def test_a_call_is_not_settled_as_open(patient_call: Call, reception: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="settled as booked or as not needed"):
        actions.settle_call(patient_call, state=CallState.OPEN, by=reception, at=now)


def test_whoever_was_never_called_comes_before_whoever_did_not_answer(patient_call: Call, now: datetime) -> None:
    tried = make_call(due_on=now.date() - timedelta(days=9), last_tried_at=now, tries=1)
    tried_longer_ago = make_call(due_on=now.date(), last_tried_at=now - timedelta(days=1), tries=1)
    assert queries.calls_due(now.date()) == [patient_call, tried_longer_ago, tried]


def test_nobody_is_called_before_the_day(now: datetime) -> None:
    make_call(due_on=now.date() + timedelta(days=1))
    assert queries.calls_due(now.date()) == []


def test_a_missed_visit_seen_twice_makes_one_call(patient: Patient, reception: Person, now: datetime) -> None:
    for hour in (0, 1):
        missed = make_visit(starts_at=now + timedelta(hours=hour), kind="review", patient=patient)
        actions.miss_visit(missed, by=reception, at=now)
    assert Call.objects.filter(patient=patient).count() == 1


@pytest.fixture
def patient(db: None) -> Patient:
    return make_patient()
