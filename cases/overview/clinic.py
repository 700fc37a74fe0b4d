"""The clinician's first screen: who comes today, for what, and what waits for an answer."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Exists, F, OuterRef, Q
from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.bench.models import Pair
from cases.bench.queries import open_differences
from cases.diary.models import HOLDS_ITS_TIME, Visit
from cases.diary.queries import ring_backs
from cases.patients.models import RedFlag
from cases.prescriptions.models import Prescription, PrescriptionStatus
from shared.fragments import page
from shared.permissions import allowed
from workshop.staff.models import Person
from workshop.staff.requests import StaffRequest

SHOWN = 30


@dataclass(frozen=True)
class Coming:
    """One visit of today with the pair it is about, if any."""

    visit: Visit
    pair: Pair | None
    has_red_flag: bool


@allowed("clinician")
@require_safe
def clinic(request: StaffRequest) -> HttpResponse:
    now = timezone.now()
    drafts = (
        Prescription.objects.filter(status=PrescriptionStatus.DRAFT)
        .select_related("patient", "written_by")
        .order_by("written_at", "pk")
    )
    context = {
        "today": timezone.localdate(now),
        "ring_backs": ring_backs(),
        "coming": coming_today(request.user, now=now),
        "drafts": drafts[:SHOWN],
        "differences": open_differences()[:SHOWN],
    }
    return page(request, "overview/clinic.html", context)


def coming_today(person: Person, *, now: datetime) -> Sequence[Coming]:
    """This clinician's visits of today and those with nobody in particular, in order of time. Two queries."""
    unanswered = RedFlag.objects.filter(patient=OuterRef("patient"), answered_at__isnull=True)
    visits = list(
        Visit.objects.filter(
            Q(clinician=person) | Q(clinician__isnull=True), day=timezone.localdate(now), status__in=HOLDS_ITS_TIME
        )
        .select_related("patient", "kind", "room")
        .annotate(has_red_flag=Exists(unanswered))
        .order_by(F("during").asc(nulls_last=True), "pk")
    )
    pairs = _pairs_of(visits)
    return [Coming(visit, pairs.get(visit.pk), visit.has_red_flag) for visit in visits]


def _pairs_of(visits: Sequence[Visit]) -> dict[int, Pair]:
    """By visit: what the bench linked to it, else what it was booked about."""
    linked = Q(pair_visits__visit__in=visits)
    booked = Q(uuid__in=[visit.about_uuid for visit in visits if visit.about_uuid])
    rows = Pair.objects.filter(linked | booked).annotate(visit_pk=F("pair_visits__visit")).order_by("number")
    pairs = list(rows)
    found = {visit.pk: pair for visit in visits for pair in pairs if pair.uuid == visit.about_uuid}
    return found | {pair.visit_pk: pair for pair in pairs if pair.visit_pk is not None}
