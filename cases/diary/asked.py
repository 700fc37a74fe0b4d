"""What a link to the booking page asks for, and what the page starts from."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from typing import Any, TypeVar
from uuid import UUID

from django.db.models import Model, Q, QuerySet
from django.utils import timezone
from django.utils.dateparse import parse_date, parse_datetime

from cases.diary import queries
from cases.diary.free_times import next_quarter
from cases.diary.models import Call, CallState, Visit, VisitKind
from cases.diary.queries import Choices
from cases.patients.models import Patient
from workshop.staff.models import Person

Row = TypeVar("Row", bound=Model)


@dataclass(frozen=True)
class Asked:
    """Whom a visit is for, the call it answers, the thing it is about, and the first day that makes sense."""

    patient: Patient
    call: Call | None
    about_uuid: UUID | None
    not_before: date | None

    @classmethod
    def read(cls, asked: Mapping[str, str]) -> "Asked | None":
        """None where no client is named, or none that exists."""
        call = _found(Call.objects.select_related("patient", "kind").filter(state=CallState.OPEN), asked.get("call"))
        patient = call.patient if call else _found(Patient.objects.all(), asked.get("patient"))
        if patient is None:
            return None
        return cls(
            patient=patient,
            call=call,
            about_uuid=call.about_uuid if call else uuid_or_none(asked.get("about")),
            not_before=(call.not_before if call else None) or day_or_none(asked.get("not_before")),
        )

    def for_the_kind(self, kind: VisitKind) -> "Asked":
        """The same, answering the call that asks for this kind of visit, where exactly one does and none is named."""
        if self.call is not None or self.about_uuid is not None:
            return self
        calls = Call.objects.filter(patient=self.patient, kind=kind, state=CallState.OPEN).order_by("pk")[:2]
        if len(calls) != 1:
            return self
        return replace(
            self,
            call=calls[0],
            about_uuid=calls[0].about_uuid,
            not_before=calls[0].not_before or self.not_before,
        )


def uuid_or_none(text: str | None) -> UUID | None:
    try:
        return UUID(text or "")
    except ValueError:
        return None


def _found(rows: QuerySet[Row], uuid: object) -> Row | None:
    """The row that an address names; None for an address that names none."""
    key = uuid_or_none(str(uuid or ""))
    return rows.filter(uuid=key).first() if key else None


def day_or_none(text: str | None) -> date | None:
    """A day as an address says it, 2026-11-24; None for anything else."""
    try:
        day = parse_date(text or "")
    except ValueError:
        return None
    # Weeks are reckoned around a day, and the calendar ends.
    return day if day and date(1900, 1, 1) <= day <= date(2200, 1, 1) else None


def moment_or_none(text: str | None) -> datetime | None:
    """An instant as a free time's button says it; None for anything else."""
    try:
        moment = parse_datetime(text or "")
    except ValueError:
        return None
    return moment if moment and moment.tzinfo else None


def first_entries(
    asked: Asked, given: Mapping[str, str], *, choices: Choices, person: Person, now: datetime
) -> dict[str, Any]:
    """What the form holds when it is opened: from the link, from the call, else what is likely. One query."""
    last = Visit.objects.filter(patient=asked.patient).order_by("-day", "-pk").values_list("clinician__uuid").first()
    kind = given.get("kind") or (asked.call.kind.key if asked.call else "")
    day = day_or_none(given.get("day"))
    if day is None:
        day = max(asked.not_before or timezone.localdate(now), timezone.localdate(now))
    return {
        "kind": kind or ("review" if last else "assessment"),
        "clinician": given.get("clinician") or _likely_clinician(last[0] if last else None, choices, person),
        "room": given.get("room", ""),
        "day": day,
        "time": given.get("time", ""),
        "minutes": given.get("minutes", ""),
    }


def _likely_clinician(last: UUID | None, choices: Choices, person: Person) -> str:
    """The one who saw this client last, else the person at the desk, else the first."""
    working = [each.uuid for each in choices.clinicians]
    likely = [uuid for uuid in (last, person.uuid) if uuid in working] + working
    return str(likely[0]) if likely else ""


@dataclass(frozen=True)
class Wanted:
    """With whom, by primary key, how long, and from when on a free time is looked for."""

    clinician: int | None
    minutes: int
    not_before: datetime

    def times_for(self, patient: Q) -> tuple[datetime, ...]:
        """The next times free of visits of this client and with this clinician. Two queries."""
        theirs = patient | Q(clinician=self.clinician) if self.clinician else patient
        return queries.next_free_times(theirs=theirs, minutes=self.minutes, not_before=self.not_before)


def wanted(
    entries: Mapping[str, Any], *, kind: VisitKind | None, clinician: int | None, now: datetime
) -> Wanted | None:
    """Read what is needed to look for free times out of raw entries; None where there is nothing to look for."""
    if kind is None or not kind.takes_a_slot or (clinician is None and kind.with_clinician):
        return None
    typed, day = str(entries.get("minutes") or ""), entries.get("day")
    minutes = int(typed) if typed.isascii() and typed.isdigit() and 0 < int(typed[:5]) <= 480 else kind.minutes
    first_day = day if isinstance(day, date) else day_or_none(str(day or ""))
    not_before = max(next_quarter(now), queries.start_of(first_day or timezone.localdate(now)))
    return Wanted(clinician, minutes, not_before)


def free_times_for(
    asked: Asked, entries: Mapping[str, Any], *, choices: Choices, now: datetime
) -> tuple[datetime, ...] | None:
    """The next free times from the day in the form on; None where no time is needed. Two queries."""
    kind = next((kind for kind in choices.kinds if kind.key == entries.get("kind")), None)
    clinician = next((each for each in choices.clinicians if str(each.uuid) == str(entries.get("clinician"))), None)
    look_for = wanted(entries, kind=kind, clinician=clinician.pk if clinician else None, now=now)
    return look_for.times_for(Q(patient=asked.patient)) if look_for else None


def free_times_alone(given: Mapping[str, str], *, now: datetime) -> tuple[datetime, ...] | None:
    """The same, of an address that says for whom, what for and with whom, and of nothing else. Three queries."""
    kind = queries.kind_named(given.get("kind", ""), clinician=uuid_or_none(given.get("clinician")))
    look_for = wanted(given, kind=kind, clinician=getattr(kind, "clinician_pk", None), now=now)
    of_the_call, named = uuid_or_none(given.get("call")), uuid_or_none(given.get("patient"))
    of_whom = Q(calls__uuid=of_the_call) if of_the_call else Q(uuid=named)
    return look_for.times_for(Q(patient__in=Patient.objects.filter(of_whom).order_by())) if look_for else None


def a_week_from(now: datetime) -> date:
    return timezone.localdate(now) + timedelta(days=7)
