"""The booking page as a person meets it."""

import re
from collections.abc import Callable
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from urllib.parse import urlencode
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
from django.test import Client
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cases.diary.models import CallState, Visit
from cases.patients.models import Patient
from tests.factories.diary import make_call, make_visit, open_the_workshop, visit_kind
from tests.factories.hours import make_closure
from tests.factories.patients import make_patient
from tests.factories.staff import make_person
from tests.words import words_of
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]
LONDON = ZoneInfo("Europe/London")


@pytest.fixture
def entries(clinician: Person, next_week: date) -> dict[str, str]:
    """What is typed to book a rough fitting next week at ten."""
    visit_kind()
    return {
        "kind": "rough-fitting",
        "clinician": str(clinician.uuid),
        "room": "",
        "day": str(next_week),
        "time": "10:00",
        "minutes": "",
        "note": "comes with a carer",
    }


def booking_for(patient: Patient, **more: Any) -> str:
    return f"{reverse('visit-book')}?{urlencode({'patient': patient.uuid, **more})}"


def test_a_visit_is_booked_with_what_was_typed(
    desk: Client, patient: Patient, clinician: Person, entries: dict[str, str], next_week: date
) -> None:
    answer = desk.post(booking_for(patient), entries)
    visit = Visit.objects.get()
    assert (visit.patient, visit.clinician, visit.kind.key, visit.note) == (
        patient,
        clinician,
        "rough-fitting",
        "comes with a carer",
    )
    assert (answer.status_code, answer["Location"]) == (303, f"/diary/?day={next_week}#v-{visit.uuid}")


def test_what_was_booked_is_said_as_it_is_read_out_to_the_client(
    desk: Client, patient: Patient, entries: dict[str, str], next_week: date
) -> None:
    said = words_of(desk.get(desk.post(booking_for(patient), entries)["Location"]))
    day = f"{next_week:%a} {next_week.day} {next_week:%b %Y}"
    assert f"Booked: Ada Invented, Rough fitting with Clara Clinician, {day} at 10:00." in said


def test_who_is_booked_already_is_said_before_a_second_booking(
    desk: Client, patient: Patient, clinician: Person, next_week: date
) -> None:
    make_visit(
        starts_at=datetime.combine(next_week, time(9), tzinfo=LONDON),
        kind="review",
        patient=patient,
        clinician=clinician,
    )
    assert "Booked already: Review with Clara Clinician, " in words_of(desk.get(booking_for(patient)))


def test_somebody_else_is_booked_for_the_time_that_was_chosen(
    desk: Client, patient: Patient, entries: dict[str, str], next_week: date
) -> None:
    page = desk.get(booking_for(patient, day=next_week, time="10:00")).content.decode()
    assert f'href="/diary/book/?day={next_week}&amp;time=10%3A00">somebody else' in page


def test_the_form_sent_twice_books_once(desk: Client, patient: Patient, entries: dict[str, str]) -> None:
    number = str(uuid4())
    answers = [desk.post(booking_for(patient), {**entries, "submission": number}).status_code for _ in range(2)]
    assert (answers, Visit.objects.count()) == ([303, 303], 1)


def test_a_taken_time_is_refused_in_a_sentence_and_nothing_typed_is_lost(
    desk: Client, patient: Patient, clinician: Person, entries: dict[str, str], next_week: date
) -> None:
    make_visit(
        starts_at=datetime.combine(next_week, time(10), tzinfo=LONDON),
        kind="review",
        clinician=clinician,
        patient=make_patient(given_names="Bea", family_name="Before"),
    )
    answer = desk.post(booking_for(patient), entries)
    page = answer.content.decode()
    assert answer.status_code == 409
    assert "Clara Clinician already has a visit 10:00 to 10:30: Review, Bea Before." in page
    assert 'value="comes with a carer"' in page
    assert '<option value="rough-fitting" selected>' in page
    assert f'value="{next_week}"' in page
    assert 'value="10:00"' in page


def test_a_taken_time_frees_the_forms_number_for_the_corrected_form(
    desk: Client, patient: Patient, clinician: Person, entries: dict[str, str], next_week: date
) -> None:
    make_visit(starts_at=datetime.combine(next_week, time(10), tzinfo=LONDON), clinician=clinician)
    number = str(uuid4())
    first = desk.post(booking_for(patient), {**entries, "submission": number})
    second = desk.post(booking_for(patient), {**entries, "submission": number, "time": "11:00"})
    assert (first.status_code, second.status_code) == (409, 303)


def test_a_free_time_is_booked_by_one_touch(
    desk: Client, patient: Patient, entries: dict[str, str], next_week: date
) -> None:
    slot = datetime.combine(next_week, time(14, 15), tzinfo=LONDON)
    desk.post(booking_for(patient), {**entries, "time": "", "slot": slot.isoformat()})
    assert Visit.objects.get().starts_at == slot


def test_the_next_five_free_times_are_offered(
    desk: Client, patient: Patient, clinician: Person, entries: dict[str, str], next_week: date
) -> None:
    open_the_workshop(opens=time(9), closes=time(12))
    make_visit(
        starts_at=datetime.combine(next_week, time(9), tzinfo=LONDON), minutes=120, clinician=clinician, kind="review"
    )
    asked = {"kind": "rough-fitting", "clinician": clinician.uuid, "day": next_week}
    offered = desk.get(booking_for(patient, **asked)).context["times"]
    assert [(free.date() - next_week, f"{free:%H:%M}") for free in offered] == [
        (timedelta(days=0), "11:00"),
        (timedelta(days=1), "09:00"),
        (timedelta(days=2), "09:00"),
        (timedelta(days=3), "09:00"),
        (timedelta(days=4), "09:00"),
    ]


def test_looking_for_free_times_books_nothing_and_keeps_what_was_typed(
    desk: Client, patient: Patient, entries: dict[str, str]
) -> None:
    answer = desk.post(booking_for(patient), {**entries, "look": "1"})
    assert (answer.status_code, Visit.objects.count()) == (422, 0)
    assert 'value="comes with a carer"' in answer.content.decode()


def test_the_free_times_alone_are_given_to_the_part_that_asks(
    desk: Client, patient: Patient, entries: dict[str, str]
) -> None:
    answer = desk.get(booking_for(patient), headers={"HX-Request": "true", "HX-Target": "times"})
    assert "<html" not in answer.content.decode()


@pytest.mark.parametrize("by_call", [False, True], ids=["a client", "a call"])
def test_the_free_times_alone_are_those_of_the_whole_page(
    desk: Client, patient: Patient, clinician: Person, next_week: date, *, by_call: bool
) -> None:
    open_the_workshop(opens=time(9), closes=time(12))
    starts = datetime.combine(next_week, time(9), tzinfo=LONDON)
    make_visit(starts_at=starts, minutes=60, clinician=clinician)
    make_visit(starts_at=starts + timedelta(hours=2), minutes=45, patient=patient)
    make_closure(day=next_week + timedelta(days=1))
    call = make_call(due_on=next_week, kind="review", patient=patient)
    asked = {"kind": "rough-fitting", "clinician": clinician.uuid, "day": next_week, "minutes": 45}
    address = f"{booking_for(patient, **asked)}&call={call.uuid if by_call else ''}"
    pages = [desk.get(address), desk.get(address, headers={"HX-Request": "true", "HX-Target": "times"})]
    whole, alone = (re.findall(r'name="slot" value="([^"]+)"', page.content.decode()) for page in pages)
    assert (alone, len(alone)) == (whole, 5)


def test_before_the_day_that_makes_sense_a_warning_and_one_touch_more(
    desk: Client, patient: Patient, entries: dict[str, str], next_week: date
) -> None:
    address = booking_for(patient, not_before=next_week + timedelta(days=1))
    warned = desk.post(address, entries)
    assert (warned.status_code, Visit.objects.count()) == (409, 0)
    assert "the first day on which this visit makes sense" in words_of(warned)
    assert desk.post(address, {**entries, "all_the_same": "1"}).status_code == 303


def test_the_enter_key_never_books_all_the_same(
    desk: Client, patient: Patient, entries: dict[str, str], next_week: date
) -> None:
    make_closure(day=next_week)
    page = desk.post(booking_for(patient), entries).content.decode().split("<main", 1)[1]
    buttons = re.findall(r"<button([^>]*)>", page)
    assert ("name=" in buttons[0], 'name="all_the_same" value="1"' in page) == (False, True)


@pytest.mark.parametrize("why", ["closure", "evening", "past"])
def test_a_time_that_raises_a_brow_is_warned_of_and_can_be_booked(
    desk: Client, patient: Patient, entries: dict[str, str], next_week: date, now: datetime, *, why: str
) -> None:
    open_the_workshop()
    if why == "closure":
        make_closure(day=next_week, name="Stocktaking")
    odd = {"closure": {}, "evening": {"time": "16:45"}, "past": {"day": str(now.date() - timedelta(days=1))}}[why]
    sentence = {
        "closure": "The workshop is closed on that day: Stocktaking.",
        "evening": "The workshop is not open for the whole of that time.",
        "past": "This time has already passed.",
    }[why]
    warned = desk.post(booking_for(patient), {**entries, **odd})
    assert (warned.status_code, sentence in words_of(warned)) == (409, True)
    assert desk.post(booking_for(patient), {**entries, **odd, "all_the_same": "1"}).status_code == 303


def test_a_time_that_the_clocks_skip_is_refused_beside_its_field(
    desk: Client, patient: Patient, entries: dict[str, str]
) -> None:
    answer = desk.post(booking_for(patient), {**entries, "day": "2027-03-28", "time": "01:30"})
    assert (answer.status_code, Visit.objects.count()) == (422, 0)
    assert "There is no 01:30 on Sun 28 Mar 2027" in words_of(answer)


def test_a_time_that_comes_twice_is_asked_about(desk: Client, patient: Patient, entries: dict[str, str]) -> None:
    twice = {**entries, "day": "2027-10-31", "time": "01:30"}
    assert "That time comes twice on that day" in words_of(desk.post(booking_for(patient), twice))
    desk.post(booking_for(patient), {**twice, "second_hour": "on", "all_the_same": "1"})
    assert Visit.objects.get().starts_at == datetime(2027, 10, 31, 1, 30, tzinfo=UTC)


def test_a_drop_in_needs_no_time(desk: Client, patient: Patient, entries: dict[str, str], next_week: date) -> None:
    desk.post(booking_for(patient), {**entries, "kind": "drop-in", "time": "", "clinician": ""})
    visit = Visit.objects.get()
    assert (visit.day, visit.during, visit.clinician) == (next_week, None, None)


def test_a_visit_that_takes_a_slot_needs_a_time(desk: Client, patient: Patient, entries: dict[str, str]) -> None:
    answer = desk.post(booking_for(patient), {**entries, "time": ""})
    assert (answer.status_code, "Give the time at which the visit starts" in words_of(answer)) == (422, True)


def test_a_maker_is_not_among_those_who_see_clients(
    desk: Client, patient: Patient, maker: Person, entries: dict[str, str]
) -> None:
    assert desk.post(booking_for(patient), {**entries, "clinician": str(maker.uuid)}).status_code == 422


def test_booking_from_the_to_call_list_settles_the_call_and_keeps_what_it_is_about(
    desk: Client, entries: dict[str, str], now: datetime
) -> None:
    call = make_call(due_on=now.date(), kind="rough-fitting", about_uuid=uuid4())
    desk.post(f"{reverse('visit-book')}?call={call.uuid}", entries)
    call.refresh_from_db()
    assert (call.state, Visit.objects.get().about_uuid) == (CallState.BOOKED, call.about_uuid)


def test_booking_from_a_list_leads_back_to_the_list(desk: Client, entries: dict[str, str], now: datetime) -> None:
    call = make_call(due_on=now.date(), kind="rough-fitting")
    answer = desk.post(f"{reverse('visit-book')}?call={call.uuid}&next=/calls/", entries)
    assert (answer.status_code, answer["Location"]) == (303, "/calls/")


def test_booking_never_leads_away_from_the_workshop(
    desk: Client, patient: Patient, entries: dict[str, str], next_week: date
) -> None:
    answer = desk.post(booking_for(patient, next="//elsewhere.example/"), entries)
    assert answer["Location"] == f"/diary/?day={next_week}#v-{Visit.objects.get().uuid}"


def test_a_visit_of_the_kind_that_the_list_asks_for_answers_the_call_wherever_it_was_booked(
    desk: Client, patient: Patient, entries: dict[str, str], now: datetime
) -> None:
    call = make_call(due_on=now.date(), kind="rough-fitting", patient=patient, about_uuid=uuid4())
    desk.post(booking_for(patient), entries)
    call.refresh_from_db()
    assert (call.state, Visit.objects.get().about_uuid) == (CallState.BOOKED, call.about_uuid)


def test_a_visit_that_may_answer_two_calls_answers_neither(
    desk: Client, patient: Patient, entries: dict[str, str], now: datetime
) -> None:
    for _ in range(2):
        make_call(due_on=now.date(), kind="rough-fitting", patient=patient, about_uuid=uuid4())
    desk.post(booking_for(patient), entries)
    assert list(patient.calls.values_list("state", flat=True)) == [CallState.OPEN, CallState.OPEN]


def test_the_page_starts_from_what_the_call_is_for(desk: Client, now: datetime) -> None:
    call = make_call(due_on=now.date(), kind="rough-fitting")
    page = desk.get(f"{reverse('visit-book')}?call={call.uuid}").content.decode()
    assert '<option value="rough-fitting" selected>' in page


def test_the_clinician_who_saw_the_client_last_is_proposed(
    desk: Client, patient: Patient, now: datetime, clinician: Person
) -> None:
    second = make_person(name="Xenia Second", roles=["clinician"])
    make_visit(starts_at=now - timedelta(days=9), patient=patient, clinician=second)
    assert f'<option value="{second.uuid}" selected>' in desk.get(booking_for(patient)).content.decode()


def test_whose_visit_it_is_is_found_by_a_part_of_the_name(desk: Client, patient: Patient, next_week: date) -> None:
    page = desk.get(f"{reverse('visit-book')}?q=inven&day={next_week}").content.decode()
    assert f"?day={next_week}&amp;patient={patient.uuid}" in page


def test_a_client_who_is_not_known_is_not_booked(desk: Client, entries: dict[str, str]) -> None:
    answer = desk.post(f"{reverse('visit-book')}?patient={uuid4()}", entries)
    assert (answer.status_code, Visit.objects.count()) == (409, 0)


anything = st.text(max_size=60)


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    typed=st.dictionaries(
        st.sampled_from(
            [
                "kind",
                "clinician",
                "room",
                "day",
                "time",
                "minutes",
                "note",
                "slot",
                "second_hour",
                "all_the_same",
                "look",
            ]
        ),
        anything | st.sampled_from(["9999-12-31", "0001-01-01", "23:59", "-1", "1e9", "2026-11-26T09:00:00+99:00"]),
    ),
    asked=st.dictionaries(
        st.sampled_from(["kind", "day", "time", "clinician", "not_before", "about", "minutes"]), anything
    ),
)
def test_whatever_is_sent_is_answered_with_the_form_and_nothing_is_half_booked(
    desk: Client, patient: Patient, typed: dict[str, str], asked: dict[str, str]
) -> None:
    answer = desk.post(booking_for(patient, **asked), {**typed, "submission": str(uuid4())})
    assert (answer.status_code in {409, 422}, Visit.objects.count()) == (True, 0)
