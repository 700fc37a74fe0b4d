"""Twenty people book one slot at once. The race is first shown to exist, with the guard taken off."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime, timedelta
from threading import Barrier

import pytest
from django.contrib.postgres.constraints import ExclusionConstraint
from django.db import connection, transaction

from cases.diary import actions
from cases.diary.models import Call, Visit, VisitKind
from cases.patients.models import Patient
from shared.refusals import Refused
from tests.factories.diary import visit_kind
from tests.factories.patients import make_patient
from tests.factories.staff import make_person
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db(transaction=True)

AT_ONCE = 20


@pytest.fixture
def without_its_guard(transactional_db: None) -> Iterator[None]:
    """The table of visits as it would be had the database not been asked to refuse."""
    guards = [each for each in Visit._meta.constraints if isinstance(each, ExclusionConstraint)]
    with connection.schema_editor() as editor:
        for guard in guards:
            editor.remove_constraint(Visit, guard)
    yield
    with connection.cursor() as cursor:
        cursor.execute("TRUNCATE diary_visit CASCADE")
    with connection.schema_editor() as editor:
        for guard in guards:
            editor.add_constraint(Visit, guard)


def book_at_once(*, clinician: Person, patients: list[Patient], starts_at: datetime) -> list[str]:
    """What each of twenty people is told who press Book at the same moment: "booked", or the refusal."""
    kind, together = visit_kind("review"), Barrier(AT_ONCE)

    def book(patient: Patient) -> str:
        together.wait()
        return told(kind, clinician, patient, starts_at)

    with ThreadPoolExecutor(AT_ONCE) as pool:
        return list(pool.map(book, patients))


def told(kind: VisitKind, clinician: Person, patient: Patient, starts_at: datetime) -> str:
    try:
        actions.book_visit(
            patient=patient,
            kind=kind,
            clinician=clinician,
            room=None,
            starts_at=starts_at,
            by=clinician,
            at=starts_at - timedelta(days=1),
        )
    except Refused as refused:
        return refused.message
    else:
        return "booked"
    finally:
        connection.close()


@pytest.fixture
def patients(transactional_db: None) -> list[Patient]:
    return [make_patient() for _ in range(AT_ONCE)]


@pytest.fixture
def clinician(transactional_db: None) -> Person:
    return make_person(name="Clara Clinician", roles=["clinician"])


def test_without_its_guard_one_slot_is_booked_more_than_once(
    without_its_guard: None, clinician: Person, patients: list[Patient], now: datetime
) -> None:
    answers = book_at_once(clinician=clinician, patients=patients, starts_at=now)
    assert (answers.count("booked") > 1, Visit.objects.count()) == (True, answers.count("booked"))


def test_of_twenty_bookings_of_one_slot_exactly_one_is_made(
    clinician: Person, patients: list[Patient], now: datetime
) -> None:
    answers = book_at_once(clinician=clinician, patients=patients, starts_at=now)
    assert (answers.count("booked"), Visit.objects.count()) == (1, 1)


def test_one_client_is_booked_with_one_of_twenty_clinicians(now: datetime, patients: list[Patient]) -> None:
    kind, together = visit_kind("review"), Barrier(AT_ONCE)
    people = [make_person(roles=["clinician"]) for _ in range(AT_ONCE)]

    def book(clinician: Person) -> str:
        together.wait()
        return told(kind, clinician, patients[0], now)

    with ThreadPoolExecutor(AT_ONCE) as pool:
        answers = list(pool.map(book, people))
    assert (answers.count("booked"), Visit.objects.count()) == (1, 1)


def test_of_twenty_who_ask_for_one_call_at_once_one_call_comes_of_it(
    clinician: Person, patients: list[Patient], now: datetime
) -> None:
    kind, together = visit_kind("review"), Barrier(AT_ONCE)

    def ask(number: int) -> int:
        together.wait()
        try:
            return actions.ask_for_call(
                patient=patients[0], why=f"said by {number}", kind=kind, due_on=now.date(), by=clinician, at=now
            ).pk
        finally:
            connection.close()

    with ThreadPoolExecutor(AT_ONCE) as pool:
        calls = list(pool.map(ask, range(AT_ONCE)))
    assert (len(set(calls)), Call.objects.count()) == (1, 1)


def test_of_two_who_wait_for_each_other_one_books_and_the_other_is_told(
    clinician: Person, patients: list[Patient], now: datetime
) -> None:
    """Each books two visits in one go, in the opposite order: without an end to it both would wait for ever."""
    kind, both_hold_one = visit_kind("review"), Barrier(2)
    hours = (now, now + timedelta(hours=1))

    def book_two(number: int) -> str:
        first, second = hours if number == 0 else hours[::-1]
        try:
            with transaction.atomic():
                book(first, patients[2 * number])
                both_hold_one.wait()
                book(second, patients[2 * number + 1])
        except Refused as refused:
            return refused.message
        else:
            return "booked"
        finally:
            connection.close()

    def book(starts_at: datetime, patient: Patient) -> None:
        actions.book_visit(
            patient=patient, kind=kind, clinician=clinician, room=None, starts_at=starts_at, by=clinician, at=now
        )

    with ThreadPoolExecutor(2) as pool:
        answers = sorted(pool.map(book_two, range(2)))
    assert (answers, Visit.objects.count()) == (
        ["Somebody else was booking the same time just now. Please look again.", "booked"],
        2,
    )
