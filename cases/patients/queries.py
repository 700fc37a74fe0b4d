"""Reading a client's record: who may, and with how many queries."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db.models import Case, IntegerField, Q, QuerySet, Value, When
from django.http import Http404
from django.utils import timezone

from cases.patients import permissions, search
from cases.patients.conditions import CONDITIONS
from cases.patients.models import Allergy, Finding, Paper, PaperKind, Patient, RecordAccess, RedFlag
from cases.patients.permissions import Reading
from cases.patients.refusals import ReasonNeeded
from cases.patients.risk import LiveFinding, Screening, screening_risk
from shared.sides import Side
from workshop.staff.models import Person

MOST_FOUND = 25
"""How many people one search shows; for more, type on."""

# One query each ---------------------------------------------------------------------------------------------


def patient_for(person: Person, uuid: UUID, *, at: datetime, clinical: bool = False, change: bool = False) -> Patient:
    """The client with their referrer, if this person may read (or `change`) the record, or its `clinical` part.

    Raises `Http404` where there is no such client, `ReasonNeeded` where a typed reason opens the record, and
    `PermissionDenied` otherwise. One query, and one more for somebody outside the case.
    """
    patient = Patient.objects.select_related("referrer").filter(uuid=uuid).first()
    if patient is None:
        raise Http404
    _authorise(person, patient, at=at, clinical=clinical, change=change)
    return patient


def reading_of(person: Person, patient: Patient, *, at: datetime) -> Reading:
    """What this person may do with this record now. A query only for somebody outside the case."""
    roles = person.role_kinds
    opened = permissions.may_open_with_a_reason(roles) and has_opened(person, patient, at=at)
    return permissions.reading(roles, opened=opened)


def has_opened(person: Person, patient: Patient, *, at: datetime) -> bool:
    """Whether this person opened this record with a reason, and the day has not ended."""
    return RecordAccess.objects.filter(person=person, patient=patient, opened_at__lte=at, closes_at__gt=at).exists()


def live_findings(patient: Patient) -> QuerySet[Finding]:
    """What holds now."""
    return patient.findings.filter(ended_on__isnull=True)


def live_allergies(patient: Patient) -> QuerySet[Allergy]:
    """What must not touch this client's skin."""
    return patient.allergies.filter(ended_on__isnull=True)


def open_red_flags(patient: Patient) -> QuerySet[RedFlag]:
    """Signs that nobody has answered yet, oldest first. Shown at the top of every page of this client's record."""
    return patient.red_flags.filter(answered_at__isnull=True).select_related("raised_by")


def answered_red_flags(patient: Patient) -> QuerySet[RedFlag]:
    """Signs of the past with what was done about them, latest first."""
    answered = patient.red_flags.filter(answered_at__isnull=False)
    return answered.select_related("raised_by", "answered_by").order_by("-answered_at")


def head_of_record(person: Person, patient: Patient, *, at: datetime) -> dict[str, Any]:
    """What `patients/_red_flags.html` needs at the top of any page of this client's record. One query, or two."""
    return {
        "patient": patient,
        "reading": reading_of(person, patient, at=at),
        "red_flags": tuple(open_red_flags(patient)),
    }


def papers_of(patient: Patient) -> QuerySet[Paper]:
    """The papers given out, latest first, without their contents."""
    return patient.papers.defer("pdf").select_related("rendered_by")


def namesakes(*, family_name: str, born_on: date) -> list[Patient]:
    """Clients of this family name, however it is written, born on this day."""
    folded = search.fold(family_name)
    return [each for each in Patient.objects.filter(born_on=born_on) if search.fold(each.family_name) == folded]


# The feet side by side ---------------------------------------------------------------------------------------


PLACE_IN_LIST = {key: place for place, key in enumerate(CONDITIONS)}


@dataclass(frozen=True)
class Findings:
    """What holds now, foot by foot, in the order of the list of conditions."""

    left: Sequence[Finding]
    right: Sequence[Finding]
    general: Sequence[Finding]

    def __bool__(self) -> bool:
        return bool(self.left or self.right or self.general)


def findings_of(patient: Patient) -> Findings:
    """The live findings of both feet and of the person. One query."""
    return foot_by_foot(live_findings(patient))


def foot_by_foot(live: Iterable[Finding]) -> Findings:
    """Live findings that were read already. No query."""
    found = sorted(live, key=lambda each: (PLACE_IN_LIST.get(each.condition, -1), each.place))

    def of(side: str | None) -> tuple[Finding, ...]:
        return tuple(each for each in found if each.side == side)

    return Findings(left=of(Side.LEFT), right=of(Side.RIGHT), general=of(None))


def screening_of(patient: Patient, findings: Findings) -> Screening:
    """The diabetic screening risk from findings already loaded. No query."""
    everything = (*findings.left, *findings.right, *findings.general)
    return screening_risk(
        diabetes=patient.diabetes, findings=[LiveFinding(each.condition, each.side) for each in everything]
    )


@dataclass(frozen=True)
class Record:
    """What the client's own page shows of this room. Findings and allergies are None for those who may not read."""

    patient: Patient
    reading: Reading
    red_flags: Sequence[RedFlag]
    findings: Findings | None
    allergies: Sequence[Allergy] | None
    screening: Screening | None


def record_of(person: Person, uuid: UUID, *, at: datetime) -> Record:
    """The client's record as far as this person may read it. Raises as `patient_for`. At most five queries."""
    patient = patient_for(person, uuid, at=at)
    reading = reading_of(person, patient, at=at)
    findings = findings_of(patient) if reading.findings else None
    return Record(
        patient=patient,
        reading=reading,
        red_flags=tuple(open_red_flags(patient)),
        findings=findings,
        allergies=tuple(live_allergies(patient)) if reading.findings else None,
        screening=screening_of(patient, findings) if findings is not None else None,
    )


# Finding a client --------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Found:
    """The first people that a search found. `too_short`: nothing was looked for yet. `more`: type on."""

    people: Sequence[Patient]
    more: bool
    too_short: bool


def search_patients(text: str) -> QuerySet[Patient]:
    """Clients who match every word typed, likeliest first: record number, beginning of a name, any part, birthday."""
    words = search.words(text)
    if not words:
        return Patient.objects.none()
    everyone = Patient.objects.filter(*(_matches(word) for word in words))
    first = search.fold(text).split(" ")[0]
    likelihood = Case(
        When(record_number__iexact=text.strip(), then=Value(0)),
        When(search_text__startswith=first, then=Value(1)),
        When(search_text__contains=f" {first}", then=Value(2)),
        When(search_text__contains=first, then=Value(3)),
        default=Value(4),
        output_field=IntegerField(),
    )
    return everyone.order_by(likelihood, "family_name", "given_names", "record_number")


def found(text: str) -> Found:
    """What the search page shows. One query, none while too little is typed."""
    people = list(search_patients(text)[: MOST_FOUND + 1])
    return Found(people=people[:MOST_FOUND], more=len(people) > MOST_FOUND, too_short=not search.words(text))


def _matches(word: search.Word) -> Q:
    either = Q(search_text__contains=word.needle)
    if word.born_on:
        either |= Q(born_on__in=word.born_on)
    if word.day_and_month is not None:
        day, month = word.day_and_month
        either |= Q(born_on__day=day, born_on__month=month)
    if word.month_and_year is not None:
        month, year = word.month_and_year
        either |= Q(born_on__month=month, born_on__year=year)
    if word.day is not None:
        either |= Q(born_on__day=word.day)
    for year in word.years:
        either |= Q(born_on__year=year)
    return either


# Papers ------------------------------------------------------------------------------------------------------


FOR_THE_BENCH = {PaperKind.JOB_CARD, PaperKind.LAST_SHEET, PaperKind.PATTERNS_A4, PaperKind.PATTERNS_A3}
"""Papers from which a maker works."""


def paper_for(person: Person, uuid: UUID, *, at: datetime) -> Paper:
    """A paper with its contents, if this person may read it. Raises as `patient_for`.

    Reception sends letters; a job card and a last's sheet tell what was found, but a maker works from them.
    """
    paper = Paper.objects.select_related("patient").filter(uuid=uuid).first()
    if paper is None:
        raise Http404
    is_for_the_bench = paper.kind in FOR_THE_BENCH
    if not (is_for_the_bench and permissions.opens_job_cards(person.role_kinds)):
        _authorise(person, paper.patient, at=at, clinical=is_for_the_bench, change=False)
    return paper


def _authorise(person: Person, patient: Patient, *, at: datetime, clinical: bool, change: bool) -> None:
    reading = reading_of(person, patient, at=at)
    may_read = reading.findings if clinical else reading.contact
    may_change = reading.change_findings if clinical else reading.change_contact
    if may_change or (may_read and not change):
        return
    if not may_read and permissions.may_open_with_a_reason(person.role_kinds):
        raise ReasonNeeded(patient.uuid)
    part = "what was found on this client" if clinical else "this client's record"
    raise PermissionDenied(f"Your role may not {'change' if change else 'read'} {part}.")


@dataclass(frozen=True)
class SignFound:
    """A finding that holds and may itself be a red flag, with the latest answer about that sign on that foot."""

    finding: Finding
    answer: RedFlag | None

    @property
    def sign(self) -> str:
        return CONDITIONS[self.finding.condition].sign

    def was_answered_on(self, day: date) -> bool:
        """True where somebody said on this day what was done. An older answer says nothing of the foot of today."""
        answered_at = self.answer.answered_at if self.answer else None
        return answered_at is not None and timezone.localdate(answered_at) == day


def signs_found(patient: Patient, findings: Iterable[Finding]) -> list[SignFound]:
    """Those of the findings that may be a red flag, with their latest answers. A query only where there is one."""
    signs = [each for each in findings if each.condition in CONDITIONS and CONDITIONS[each.condition].sign]
    if not signs:
        return []
    latest: dict[tuple[str, str | None], RedFlag] = {}
    for flag in answered_red_flags(patient):
        latest.setdefault((flag.sign, flag.side), flag)
    return [SignFound(each, latest.get((CONDITIONS[each.condition].sign, each.side))) for each in signs]


def signs_to_raise(findings: Findings, red_flags: Iterable[RedFlag]) -> list[Finding]:
    """Findings that may themselves be a red flag on a foot for which none is open."""
    raised = {(flag.sign, flag.side) for flag in red_flags}
    return [
        finding
        for finding in (*findings.left, *findings.right)
        if finding.condition in CONDITIONS
        and CONDITIONS[finding.condition].sign
        and (CONDITIONS[finding.condition].sign, finding.side) not in raised
    ]
