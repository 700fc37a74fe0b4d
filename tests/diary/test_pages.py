"""The diary, the booking page and the to-call list as a person meets them."""

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
from django.utils import timezone
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cases.diary.models import CallState, Visit, VisitStatus
from cases.patients.models import Patient
from tests.factories.diary import make_call, make_drop_in, make_visit, open_the_workshop, visit_kind
from tests.factories.hours import make_closure
from tests.factories.patients import make_patient
from tests.factories.staff import make_person
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person], Client]
LONDON = ZoneInfo("Europe/London")


@pytest.fixture
def patient(db: None) -> Patient:
    return make_patient(given_names="Ada", family_name="Invented")


@pytest.fixture
def desk(signed_in: SignIn, reception: Person) -> Client:
    return signed_in(reception)


@pytest.fixture
def next_week(now: datetime) -> date:
    """A day on which nothing has passed yet."""
    return now.date() + timedelta(days=7)


def words_of(response: Any) -> str:
    """What the page says, on one line, without its head."""
    body = response.content.decode().split("<main", 1)[1]
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", body))


def diary_of(day: date) -> str:
    return f"{reverse('diary')}?day={day}"


# The diary of a day -------------------------------------------------------------------------------------------


def test_each_clinician_has_a_column_in_order_of_time(desk: Client, clinician: Person, now: datetime) -> None:
    second = make_person(name="Xenia Second", roles=["clinician"])
    make_visit(starts_at=now + timedelta(hours=1), clinician=clinician, patient=make_patient(family_name="Later"))
    make_visit(starts_at=now, clinician=clinician, patient=make_patient(family_name="Sooner"))
    make_visit(starts_at=now, clinician=second, patient=make_patient(family_name="Elsewhere"))
    said = words_of(desk.get(reverse("diary")))
    order = ["Clara Clinician", "Sooner", "Later", "Xenia Second", "Elsewhere", "Drop-ins"]
    assert sorted(order, key=said.index) == order


def test_a_drop_in_stands_apart(desk: Client, clinician: Person, now: datetime) -> None:
    make_drop_in(day=now.date(), patient=make_patient(family_name="Passing"))
    said = words_of(desk.get(reverse("diary")))
    assert said.index("Drop-ins") < said.index("Passing")


def test_a_closed_day_says_why(desk: Client, next_week: date) -> None:
    make_closure(day=next_week, name="Stocktaking")
    assert "Closed: Stocktaking." in words_of(desk.get(diary_of(next_week)))


def test_a_free_gap_leads_to_booking_it(desk: Client, clinician: Person, next_week: date) -> None:
    open_the_workshop(opens=time(9), closes=time(12))
    starts = datetime.combine(next_week, time(9), tzinfo=LONDON)
    make_visit(starts_at=starts, minutes=60, clinician=clinician)
    page = desk.get(diary_of(next_week)).content.decode()
    assert re.findall(r'href="([^"]+)">Free (\d\d:\d\d) to (\d\d:\d\d)', page) == [
        (
            f"/diary/book/?day={next_week}&amp;time=10:00&amp;clinician={clinician.uuid}",
            "10:00",
            "12:00",
        )
    ]


def test_a_gap_on_a_summer_day_is_told_by_the_clock_on_the_wall(desk: Client, clinician: Person, now: datetime) -> None:
    open_the_workshop(opens=time(9), closes=time(12))
    summer = date(now.year + 1, 7, 1)
    assert "Free 09:00 to 12:00" in words_of(desk.get(diary_of(summer)))


def test_the_day_before_and_the_day_after_are_one_touch_away(desk: Client, next_week: date) -> None:
    page = desk.get(diary_of(next_week)).content.decode()
    links = re.findall(r'day=(\S+)" rel="(prev|next)"', page)
    assert links == [
        (str(next_week - timedelta(days=1)), "prev"),
        (str(next_week + timedelta(days=1)), "next"),
    ]


def test_a_week_before_and_a_week_after_are_one_touch_away(desk: Client, next_week: date) -> None:
    page = desk.get(diary_of(next_week)).content.decode()
    links = re.findall(r'day=(\S+)">(?:<span[^<]*</span>)? ?(Week \w+)', page)
    assert links == [
        (str(next_week - timedelta(days=7)), "Week before"),
        (str(next_week + timedelta(days=7)), "Week after"),
    ]


def test_a_cancelled_visit_can_be_booked_again_as_it_was(desk: Client, clinician: Person, next_week: date) -> None:
    visit = make_visit(
        starts_at=datetime.combine(next_week, time(9), tzinfo=LONDON), clinician=clinician, status=VisitStatus.CANCELLED
    )
    page = desk.get(diary_of(next_week)).content.decode()
    assert re.findall(r'href="([^"]+)" aria-label="Book again', page) == [
        (
            f"/diary/book/?patient={visit.patient.uuid}&amp;kind={visit.kind.key}&amp;clinician={clinician.uuid}"
            f"&amp;day={next_week}&amp;time=09:00"
        )
    ]


@pytest.mark.parametrize("text", ["", "soon", "0001-01-01", "9999-12-31", "2026-13-45", "2026-02-30", "\x00"])
def test_a_day_that_cannot_be_shown_is_today(desk: Client, text: str) -> None:
    answer = desk.get(f"{reverse('diary')}?{urlencode({'day': text})}")
    assert (answer.status_code, answer.context["sheet"].day) == (200, timezone.localdate())


@pytest.mark.parametrize("who", ["maker", "administrator"])
def test_the_diary_is_not_open_to(signed_in: SignIn, request: pytest.FixtureRequest, who: str) -> None:
    assert signed_in(request.getfixturevalue(who)).get(reverse("diary")).status_code == 403


# The course of a visit ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("url_name", "status"),
    [
        ("visit-arrive", VisitStatus.ARRIVED),
        ("visit-done", VisitStatus.DONE),
        ("visit-missed", VisitStatus.MISSED),
        ("visit-cancel", VisitStatus.CANCELLED),
    ],
)
def test_one_touch_says_what_became_of_a_visit(
    desk: Client, clinician: Person, url_name: str, status: VisitStatus
) -> None:
    visit = make_visit(starts_at=timezone.now() - timedelta(minutes=1), clinician=clinician)
    answer = desk.post(reverse(url_name, args=[visit.uuid]), {"next": "/desk/"})
    visit.refresh_from_db()
    assert (answer.status_code, answer["Location"], visit.status) == (303, "/desk/", status)


@pytest.mark.parametrize("away", ["https://elsewhere.example/", "//elsewhere.example/", "javascript:alert(1)", ""])
def test_a_button_never_leads_away_from_the_workshop(desk: Client, away: str) -> None:
    visit = make_visit(starts_at=timezone.now() - timedelta(minutes=1))
    answer = desk.post(reverse("visit-arrive", args=[visit.uuid]), {"next": away})
    assert answer["Location"] == f"/diary/?day={visit.day}#v-{visit.uuid}"


def test_a_visit_that_does_not_exist_is_not_found(desk: Client) -> None:
    assert desk.post(reverse("visit-arrive", args=[uuid4()])).status_code == 404


def test_a_visit_is_not_changed_by_looking_at_it(desk: Client) -> None:
    visit = make_visit(starts_at=timezone.now())
    assert desk.get(reverse("visit-cancel", args=[visit.uuid])).status_code == 405


# Booking ------------------------------------------------------------------------------------------------------


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
    assert [f"{free:%H:%M}" for free in offered] == ["11:00", "11:15", "11:30", "09:00", "09:15"]


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


# The to-call list ---------------------------------------------------------------------------------------------


def test_a_call_offers_booking_no_answer_and_later(desk: Client, now: datetime) -> None:
    call = make_call(due_on=now.date(), patient=make_patient(phone="01632 960001"))
    said = words_of(desk.get(reverse("calls")))
    assert [word in said for word in ("Book", "No answer", "In a week", "01632 960001", call.why)] == [True] * 5


def test_no_answer_is_one_touch(desk: Client, now: datetime) -> None:
    call = make_call(due_on=now.date())
    answer = desk.post(reverse("call-tried", args=[call.uuid]), {"no_answer": "1"})
    call.refresh_from_db()
    assert (answer.status_code, call.tries, call.due_on) == (303, 1, now.date())


def test_later_is_one_touch_and_a_week(desk: Client, now: datetime) -> None:
    call = make_call(due_on=now.date())
    desk.post(reverse("call-tried", args=[call.uuid]), {"later": "1"})
    call.refresh_from_db()
    assert call.due_on == timezone.localdate() + timedelta(days=7)


@pytest.mark.parametrize(("button", "state"), [("booked", CallState.BOOKED), ("not_needed", CallState.NOT_NEEDED)])
def test_a_call_is_settled_by_one_touch(desk: Client, now: datetime, button: str, state: CallState) -> None:
    call = make_call(due_on=now.date())
    desk.post(reverse("call-settle", args=[call.uuid]), {button: "1"})
    call.refresh_from_db()
    assert call.state == state


def test_the_same_touch_by_two_people_is_told_to_the_second(desk: Client, now: datetime) -> None:
    call = make_call(due_on=now.date())
    for _ in range(2):
        answer = desk.post(reverse("call-settle", args=[call.uuid]), {"not_needed": "1"})
    assert (answer.status_code, "already settled: not needed" in words_of(answer)) == (409, True)


def test_an_empty_list_says_what_will_stand_there(desk: Client) -> None:
    assert "Nobody to call today." in words_of(desk.get(reverse("calls")))
