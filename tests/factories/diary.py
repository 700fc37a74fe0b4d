"""Kinds of visit, visits and calls; and a workshop that is open."""

from collections.abc import Sequence
from datetime import date, datetime, time, timedelta
from typing import Any
from uuid import UUID

from django.utils import timezone
from psycopg.types.range import TimestamptzRange

from cases.diary import starting_values
from cases.diary.models import Call, CallState, Visit, VisitKind, VisitStatus
from cases.patients.models import Patient
from tests.factories.base import setting_up
from tests.factories.patients import make_patient
from workshop.hours.models import OpeningHours, Room
from workshop.staff.models import Person


def visit_kind(key: str = "assessment") -> VisitKind:
    """One of the kinds of visit that every workshop starts with."""
    if not VisitKind.objects.filter(key=key).exists():
        starting_values.load(at=timezone.now())
    return VisitKind.objects.get(key=key)


def make_visit(
    *,
    starts_at: datetime,
    kind: str = "assessment",
    minutes: int | None = None,
    patient: Patient | None = None,
    clinician: Person | None = None,
    room: Room | None = None,
    status: VisitStatus = VisitStatus.BOOKED,
    about_uuid: UUID | None = None,
) -> Visit:
    """A visit, written without asking whether it may be."""
    of_kind, who = visit_kind(kind), patient or make_patient()
    ends_at = starts_at + timedelta(minutes=minutes or of_kind.minutes)
    with setting_up():
        return Visit.objects.create(
            patient=who,
            kind=of_kind,
            clinician=clinician,
            room=room,
            day=timezone.localdate(starts_at),
            during=TimestamptzRange(starts_at, ends_at),
            status=status,
            about_uuid=about_uuid,
        )


def make_drop_in(*, day: date, patient: Patient | None = None) -> Visit:
    of_kind, who = visit_kind("drop-in"), patient or make_patient()
    with setting_up():
        return Visit.objects.create(patient=who, kind=of_kind, day=day)


def make_call(*, due_on: date, kind: str = "review", patient: Patient | None = None, **more: Any) -> Call:
    of_kind, who = visit_kind(kind), patient or make_patient()
    with setting_up():
        return Call.objects.create(
            patient=who, kind=of_kind, due_on=due_on, **{"why": "review due", "state": CallState.OPEN, **more}
        )


def open_the_workshop(
    *, weekdays: Sequence[int] = range(7), opens: time = time(9), closes: time = time(17)
) -> list[OpeningHours]:
    """Opening hours on these weekdays; every day unless said."""
    with setting_up():
        return [OpeningHours.objects.create(weekday=weekday, opens=opens, closes=closes) for weekday in weekdays]
