"""The diary and the to-call list as a person meets them."""

import re
from collections.abc import Callable
from datetime import date, datetime, time, timedelta
from urllib.parse import urlencode
from uuid import uuid4
from zoneinfo import ZoneInfo

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cases.diary.models import CallState, VisitStatus
from tests.factories.diary import make_call, make_drop_in, make_visit, open_the_workshop
from tests.factories.hours import make_closure
from tests.factories.patients import make_patient
from tests.factories.staff import make_person
from tests.words import words_of
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db
SignIn = Callable[[Person], Client]
LONDON = ZoneInfo("Europe/London")


def diary_of(day: date) -> str:
    return f"{reverse('diary')}?day={day}"


# The diary of a day --------------------------------------------------------------------------------------------


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


# The course of a visit -----------------------------------------------------------------------------------------


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


# The to-call list ----------------------------------------------------------------------------------------------


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
