"""The client's page: what every room holds of one person, and the one next thing."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from urllib.parse import urlencode
from uuid import UUID

from django.db.models import Exists, OuterRef, QuerySet
from django.http import HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.bench.models import Pair, PairState
from cases.bench.queries import PairSeen, seen, with_stages
from cases.diary.models import Visit
from cases.fittings.models import Review
from cases.overview.kept_of_client import CAST, LAST, MEASURES, Kept, kept_of
from cases.overview.next_thing import Offer, Standing, next_thing
from cases.patients.models import Patient
from cases.patients.queries import Record, papers_of, record_of
from cases.prescriptions.models import Prescription, PrescriptionStatus
from cases.prescriptions.permissions import READERS
from cases.prescriptions.queries import prescriptions_of
from shared.fragments import page
from shared.permissions import staff_only
from workshop.staff.models import Person
from workshop.staff.requests import StaffRequest


@dataclass(frozen=True)
class Held:
    """What the rooms to the right hold of a client. Empty for those who may not read it."""

    kept: Sequence[Kept]
    prescriptions: Sequence[Prescription]
    pairs: Sequence[PairSeen]
    visits: Sequence[Visit]


@staff_only
@require_safe
def client(request: StaffRequest, uuid: UUID) -> HttpResponse:
    now = timezone.now()
    record = record_of(request.user, uuid, at=now)
    held = _held(request.user, record, now=now)
    offer = next_thing(standing_of(request.user, record, held, today=timezone.localdate(now)))
    context = {
        "record": record,
        "patient": record.patient,
        "reading": record.reading,
        "red_flags": record.red_flags,
        "findings": record.findings,
        "allergies": record.allergies,
        "screening": record.screening,
        "held": held,
        "measures": [kept for kept in held.kept if kept.kind == MEASURES],
        "casts": [kept for kept in held.kept if kept.kind == CAST],
        "lasts": [kept for kept in held.kept if kept.kind == LAST],
        "reads_prescriptions": request.user.holds_any_of(READERS),
        "papers": papers_of(record.patient) if record.reading.change_contact else None,
        "offer": offer,
        "offer_address": address_of(offer),
        "today": timezone.localdate(now),
    }
    return page(request, "overview/client.html", context)


def address_of(offer: Offer) -> str:
    """Where an offer leads."""
    query = f"?{urlencode(offer.query)}" if offer.query else ""
    return reverse(offer.url_name, args=offer.args) + query


def _held(person: Person, record: Record, *, now: datetime) -> Held:
    patient = record.patient
    clinical = record.reading.findings
    return Held(
        kept=kept_of(patient) if clinical else [],
        prescriptions=list(prescriptions_of(patient)) if clinical and person.holds_any_of(READERS) else [],
        pairs=[seen(pair, now=now) for pair in _pairs_of(patient)],
        # Somebody from outside the case has no business with the diary.
        visits=list(_visits_of(patient)) if record.reading.change_contact else [],
    )


def _pairs_of(patient: Patient) -> QuerySet[Pair]:
    is_reviewed = Exists(Review.objects.filter(pair=OuterRef("pk")))
    return with_stages(Pair.objects.filter(patient=patient)).annotate(is_reviewed=is_reviewed).order_by("-number")


def _visits_of(patient: Patient) -> QuerySet[Visit]:
    return Visit.objects.filter(patient=patient).select_related("kind", "clinician").order_by("-day", "-during", "-pk")


def standing_of(person: Person, record: Record, held: Held, *, today: date) -> Standing:
    """How things stand, from what was already read."""
    to_come = [visit for visit in held.visits if visit.is_to_come and visit.day >= today]
    with_a_pair = {each.pair.working_to.number for each in held.pairs if each.pair.working_to}
    drafts = [version for version in held.prescriptions if version.status == PrescriptionStatus.DRAFT]
    signed = [version for version in held.prescriptions if version.status == PrescriptionStatus.SIGNED]
    waiting = next((each for each in held.pairs if each.waits_for_visit), None)
    return Standing(
        patient=record.patient.uuid,
        roles=person.role_kinds,
        red_flag=record.red_flags[0].uuid if record.red_flags and record.reading.change_findings else None,
        visit_today=next((visit.uuid for visit in to_come if visit.day == today), None),
        has_visit_to_come=bool(to_come),
        has_findings=bool(record.findings),
        has_measures=any(kept.kind == MEASURES for kept in held.kept),
        to_sign=drafts[0].uuid if drafts else None,
        has_prescription=bool(held.prescriptions),
        to_open=next((version.uuid for version in signed if version.number not in with_a_pair), None),
        waits_for_visit=waiting.waits_for_visit if waiting else "",
        waiting=waiting.pair.uuid if waiting else None,
        ready=_first(held.pairs, PairState.FINISHED),
        worn=_unreviewed(held.pairs),
    )


def _first(pairs: Sequence[PairSeen], state: str) -> UUID | None:
    return next((each.pair.uuid for each in pairs if each.pair.state == state), None)


def _unreviewed(pairs: Sequence[PairSeen]) -> UUID | None:
    for each in pairs:
        if each.pair.state == PairState.HANDED_OVER:
            # Only the latest that went home: older ones are worn out or known.
            return None if each.pair.is_reviewed else each.pair.uuid  # type: ignore[attr-defined]  # annotated
    return None
