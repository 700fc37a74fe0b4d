"""Booking, at the level of the action and, going round it, of the database."""

from collections.abc import Callable
from datetime import date, datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import DatabaseError, IntegrityError, OperationalError
from psycopg.types.range import TimestamptzRange

from cases.diary import actions
from cases.diary.models import CallState, Visit, VisitStatus
from cases.patients.models import Patient
from shared.models import Deed
from shared.refusals import Refused
from tests.factories.base import constraint_broken_by, setting_up
from tests.factories.diary import make_call, make_drop_in, make_visit, visit_kind
from tests.factories.hours import make_room
from tests.factories.patients import make_patient
from tests.factories.staff import make_person
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

Book = Callable[..., Visit]


@pytest.fixture
def patient(db: None) -> Patient:
    return make_patient(given_names="Ada", family_name="Invented")


@pytest.fixture
def book(patient: Patient, clinician: Person, reception: Person, now: datetime) -> Book:
    """Book a rough fitting for Ada with Clara tomorrow at ten, or whatever is said otherwise."""

    def _book(**asked: Any) -> Visit:
        usual = {
            "patient": patient,
            "kind": visit_kind("rough-fitting"),
            "clinician": clinician,
            "room": None,
            "starts_at": now + timedelta(days=1),
            "by": reception,
            "at": now,
        }
        return actions.book_visit(**{**usual, **asked})

    return _book


def test_a_visit_takes_the_usual_minutes_of_its_kind(book: Book, now: datetime) -> None:
    visit = book()
    assert (visit.starts_at, visit.ends_at) == (now + timedelta(days=1), now + timedelta(days=1, minutes=30))


def test_a_visit_may_take_longer_than_its_kind(book: Book, now: datetime) -> None:
    assert book(minutes=45).ends_at == now + timedelta(days=1, minutes=45)


@pytest.mark.parametrize("minutes", [0, -1, 481, 10**9])
def test_a_length_that_no_visit_has_is_refused(book: Book, minutes: int) -> None:
    with pytest.raises(Refused, match="between 1 and 480 minutes"):
        book(minutes=minutes)


def test_a_booking_says_what_was_booked_and_for_whom(book: Book, patient: Patient, reception: Person) -> None:
    pair = uuid4()
    visit = book(about_uuid=pair)
    deed = Deed.objects.get(action="book_visit")
    assert (deed.says, deed.who_uuid, deed.patient_uuid, deed.pair_uuid) == (
        f"Booked: rough fitting with Clara Clinician, {visit.day:%a} {visit.day.day} {visit.day:%b %Y} at 10:00.",
        reception.uuid,
        patient.uuid,
        pair,
    )


def test_a_clinician_who_is_taken_is_refused_and_the_clash_named(book: Book, patient: Patient, now: datetime) -> None:
    book()
    with pytest.raises(Refused) as refused:
        book(patient=make_patient(), starts_at=now + timedelta(days=1, minutes=29))
    assert refused.value.message == ("Clara Clinician already has a visit 10:00 to 10:30: Rough fitting, Ada Invented.")


def test_a_client_who_is_taken_is_refused_and_the_clash_named(book: Book) -> None:
    book()
    with pytest.raises(Refused) as refused:
        book(clinician=make_person(name="Carl Second", roles=["clinician"]))
    assert refused.value.message == (
        "Ada Invented already has a visit 10:00 to 10:30: Rough fitting with Clara Clinician."
    )


def test_a_room_that_is_taken_is_refused_and_the_clash_named(book: Book) -> None:
    room = make_room(name="Casting room")
    book(room=room)
    with pytest.raises(Refused) as refused:
        book(room=room, patient=make_patient(), clinician=make_person(roles=["clinician"]))
    assert refused.value.message == f"{room.name} is already taken 10:00 to 10:30: Rough fitting, Ada Invented."


def test_a_visit_may_begin_the_minute_another_ends(book: Book, now: datetime) -> None:
    book()
    book(patient=make_patient(), starts_at=now + timedelta(days=1, minutes=30))
    assert Visit.objects.count() == 2


@pytest.mark.parametrize("status", [VisitStatus.CANCELLED, VisitStatus.MISSED])
def test_a_cancelled_or_missed_visit_gives_its_time_back(
    book: Book, clinician: Person, now: datetime, status: VisitStatus
) -> None:
    make_visit(starts_at=now + timedelta(days=1), clinician=clinician, status=status)
    assert book().status == VisitStatus.BOOKED


def test_a_drop_in_takes_no_time_from_anybody(book: Book, patient: Patient, now: datetime) -> None:
    tomorrow = (now + timedelta(days=1)).date()
    make_drop_in(day=tomorrow, patient=patient)
    book()
    make_drop_in(day=tomorrow, patient=patient)
    assert Visit.objects.filter(day=tomorrow).count() == 3


def test_somebody_who_is_no_clinician_cannot_see_a_client(book: Book, maker: Person) -> None:
    with pytest.raises(Refused, match="Max Maker does not see clients"):
        book(clinician=maker)


def test_a_clinician_who_has_left_cannot_be_booked(book: Book, clinician: Person, now: datetime) -> None:
    with setting_up():
        Person.objects.filter(pk=clinician.pk).update(retired_on=now.date())
    with pytest.raises(Refused, match="does not see clients"):
        book()


def test_a_fitting_needs_a_clinician(book: Book) -> None:
    with pytest.raises(Refused, match="Rough fitting needs a clinician"):
        book(clinician=None)


def test_an_alteration_needs_no_clinician(book: Book) -> None:
    assert book(kind=visit_kind("alteration"), clinician=None).clinician is None


def test_two_visits_with_nobody_in_particular_do_not_clash(book: Book) -> None:
    for _ in range(2):
        book(kind=visit_kind("alteration"), clinician=None, patient=make_patient())
    assert Visit.objects.count() == 2


def test_before_the_day_that_makes_sense_a_booking_is_warned_of(book: Book, now: datetime) -> None:
    with pytest.raises(actions.TooEarly, match="the first day on which this visit makes sense"):
        book(not_before=now.date() + timedelta(days=2))


def test_one_touch_books_it_all_the_same(book: Book, now: datetime) -> None:
    assert book(not_before=now.date() + timedelta(days=2), early_is_fine=True).status == VisitStatus.BOOKED


def test_on_the_very_day_that_makes_sense_nothing_is_warned_of(book: Book, now: datetime) -> None:
    assert book(not_before=now.date() + timedelta(days=1)).status == VisitStatus.BOOKED


def test_booking_from_the_to_call_list_settles_the_call(book: Book, patient: Patient, now: datetime) -> None:
    call = make_call(patient=patient, due_on=now.date())
    book(call=call)
    call.refresh_from_db()
    assert call.state == CallState.BOOKED


def test_booking_what_the_list_asks_for_settles_it_wherever_it_was_booked(
    book: Book, patient: Patient, now: datetime
) -> None:
    pair = uuid4()
    call = make_call(patient=patient, due_on=now.date(), kind="rough-fitting", about_uuid=pair)
    book(about_uuid=pair)
    call.refresh_from_db()
    assert call.state == CallState.BOOKED


def test_a_refused_booking_leaves_the_call_open(book: Book, patient: Patient, now: datetime) -> None:
    call = make_call(patient=patient, due_on=now.date())
    book()
    with pytest.raises(Refused):
        book(call=call)
    call.refresh_from_db()
    assert call.state == CallState.OPEN


def test_a_kind_with_a_slot_is_no_drop_in(patient: Patient, reception: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="takes 30 minutes"):
        actions.book_drop_in(patient=patient, kind=visit_kind("review"), day=now.date(), by=reception, at=now)


def test_a_drop_in_is_booked_for_no_time(book: Book) -> None:
    with pytest.raises(Refused, match="takes no slot"):
        book(kind=visit_kind("drop-in"))


# The database itself ------------------------------------------------------------------------------------------


@pytest.fixture
def standing(clinician: Person, now: datetime) -> Visit:
    return make_visit(starts_at=now, kind="review", clinician=clinician, room=make_room())


def write_beside(standing: Visit, **changes: Any) -> Callable[[], Visit]:
    """A write of a second visit at the same time, with another client and nobody and nowhere in particular."""
    other = {"patient": make_patient(), "kind": standing.kind, "day": standing.day, "during": standing.during}
    return lambda: Visit.objects.create(**{**other, **changes})


def test_the_database_refuses_two_visits_at_once_for_one_clinician(standing: Visit) -> None:
    again = write_beside(standing, clinician=standing.clinician)
    assert constraint_broken_by(again) == "one_visit_at_a_time_for_a_clinician"


def test_the_database_refuses_two_visits_at_once_for_one_client(standing: Visit) -> None:
    again = write_beside(standing, patient=standing.patient)
    assert constraint_broken_by(again) == "one_visit_at_a_time_for_a_patient"


def test_the_database_refuses_two_visits_at_once_in_one_room(standing: Visit) -> None:
    again = write_beside(standing, room=standing.room)
    assert constraint_broken_by(again) == "one_visit_at_a_time_for_a_room"


def test_the_database_lets_two_visits_at_once_pass_where_nothing_is_shared(standing: Visit) -> None:
    write = write_beside(standing)
    with setting_up():
        assert write().during == standing.during


def test_the_database_refuses_to_put_a_cancelled_visit_back_onto_a_taken_time(standing: Visit, now: datetime) -> None:
    cancelled = make_visit(starts_at=now, clinician=standing.clinician, status=VisitStatus.CANCELLED)
    put_back = lambda: Visit.objects.filter(pk=cancelled.pk).update(status=VisitStatus.BOOKED)
    assert constraint_broken_by(put_back) == "one_visit_at_a_time_for_a_clinician"


@pytest.mark.parametrize("bounds", ["empty", "no end", "no beginning"])
def test_the_database_refuses_a_visit_without_a_beginning_and_an_end(
    standing: Visit, now: datetime, bounds: str
) -> None:
    during = {
        "empty": TimestamptzRange(now, now),
        "no end": TimestamptzRange(now, None),
        "no beginning": TimestamptzRange(None, now),
    }[bounds]
    assert constraint_broken_by(write_beside(standing, during=during)) == "visit_takes_some_time"


def test_the_database_refuses_a_status_that_does_not_exist(standing: Visit) -> None:
    assert constraint_broken_by(write_beside(standing, status="maybe")) == "visit_status_is_known"


def test_a_day_in_the_past_can_be_keyed_later(book: Book, now: datetime) -> None:
    assert book(starts_at=now - timedelta(days=3)).day == date.fromordinal(now.date().toordinal() - 3)


@pytest.mark.parametrize("error", [IntegrityError("of another table"), OperationalError("the server is gone")])
def test_what_the_database_refuses_without_a_sentence_is_not_hidden(error: DatabaseError) -> None:
    with pytest.raises(type(error), match=str(error)), actions._one_at_a_time():
        raise error
