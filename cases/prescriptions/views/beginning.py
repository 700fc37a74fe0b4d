"""Beginning a draft, and the starting patterns of the workshop."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.patients.queries import patient_for
from cases.prescriptions import actions, permissions, queries
from cases.prescriptions.forms import NewForm
from cases.prescriptions.models import StartingPattern
from cases.prescriptions.views.common import red_flags_of
from shared.fragments import done
from shared.permissions import allowed
from shared.refusals import Refused
from shared.sides import Side
from workshop.staff.requests import StaffRequest


@allowed(*permissions.WRITERS)
@require_http_methods(["GET", "HEAD", "POST"])
def prescription_new(request: StaffRequest, uuid: UUID) -> HttpResponse:
    patient = patient_for(request.user, uuid, at=timezone.now(), clinical=True)
    form = NewForm(
        patient=patient,
        last_pair=queries.last_signed_pair(patient),
        patterns=queries.patterns(),
        data=request.POST if request.method == "POST" else None,
    )
    if form.is_valid():
        begun = form.begin(by=request.user, at=timezone.now())
        return done("prescription", begun.uuid)
    context = {"patient": patient, "form": form, "red_flags": red_flags_of(patient)}
    return render(request, "prescriptions/new.html", context, status=422 if form.is_bound else 200)


@allowed("clinician", "manager")
@require_safe
def patterns(request: StaffRequest) -> HttpResponse:
    """What a draft may begin from, and who keeps it so."""
    context = {"patterns": queries.patterns(), "may_write": permissions.may_write(request.user)}
    return render(request, "prescriptions/patterns.html", context)


@allowed(*permissions.WRITERS)
@require_POST
def pattern_keep(request: StaffRequest, uuid: UUID) -> HttpResponse:
    version = permissions.prescription_for(request.user, uuid, write=True)
    foot = next((foot for foot in version.foot_set.all() if foot.side == request.POST.get("side")), None)
    if foot is None:
        asked = request.POST.get("side", "")
        name = Side(asked).label if asked in Side.values else "Which foot"
        raise Refused(f"{name}: choose a foot that this prescription is for.")
    actions.keep_pattern(version, foot=foot, name=request.POST.get("name", ""), by=request.user, at=timezone.now())
    return done("prescription-patterns")


@allowed(*permissions.WRITERS)
@require_POST
def pattern_retire(request: StaffRequest, uuid: UUID) -> HttpResponse:
    pattern = get_object_or_404(StartingPattern, uuid=uuid)
    actions.retire_pattern(pattern, by=request.user, at=timezone.now())
    return done("prescription-patterns")
