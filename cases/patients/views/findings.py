"""What was found on the feet, LEFT and RIGHT side by side, and what must not touch them."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from cases.patients import actions, conditions, queries
from cases.patients.conditions import CONDITIONS
from cases.patients.forms import GENERAL, AllergyForm, FootFindingForm, GeneralFindingForm
from cases.patients.models import Allergy, Finding, Patient
from cases.patients.permissions import CLINICAL_WRITERS
from shared.fragments import back, done, page
from shared.permissions import allowed
from shared.refusals import Refused
from workshop.staff.requests import StaffRequest


@allowed(*CLINICAL_WRITERS)
@require_http_methods(["GET", "POST"])
def finding_add(request: StaffRequest, uuid: UUID) -> HttpResponse:
    at = timezone.now()
    patient = queries.patient_for(request.user, uuid, at=at, clinical=True, change=True)
    if request.method == "GET":
        return _findings_page(request, patient, at)
    about_the_person = request.POST.get("where") == GENERAL
    form = GeneralFindingForm(request.POST) if about_the_person else FootFindingForm(request.POST)
    of_which = {"general_form" if about_the_person else "form": form}
    if not form.is_valid():
        return _findings_page(request, patient, at, status=422, **of_which)
    entered = {name: value for name, value in form.cleaned_data.items() if name != "where"}
    try:
        for side in form.sides():
            actions.record_finding(patient, side=side, **entered, by=request.user, at=at)
    except Refused as refused:
        form.add_error(None, refused.message)
        return _findings_page(request, patient, at, status=refused.status, **of_which)
    return done("finding-add", patient.uuid)


@allowed(*CLINICAL_WRITERS)
@require_POST
def finding_end(request: StaffRequest, uuid: UUID) -> HttpResponse:
    finding = get_object_or_404(Finding.objects.select_related("patient"), uuid=uuid)
    actions.end_finding(finding, by=request.user, at=timezone.now())
    return back(request.POST, reverse("finding-add", args=[finding.patient.uuid]))


@allowed(*CLINICAL_WRITERS)
@require_http_methods(["GET", "POST"])
def allergy_add(request: StaffRequest, uuid: UUID) -> HttpResponse:
    at = timezone.now()
    patient = queries.patient_for(request.user, uuid, at=at, clinical=True, change=True)
    form = AllergyForm(request.POST or None)
    if request.method == "GET":
        return _allergies_page(request, patient, at, form=form)
    if not form.is_valid():
        return _allergies_page(request, patient, at, form=form, status=422)
    try:
        actions.record_allergy(patient, **form.cleaned_data, by=request.user, at=at)
    except Refused as refused:
        form.add_error("substance", refused.message)
        return _allergies_page(request, patient, at, form=form, status=refused.status)
    return done("allergy-add", patient.uuid)


@allowed(*CLINICAL_WRITERS)
@require_POST
def allergy_end(request: StaffRequest, uuid: UUID) -> HttpResponse:
    allergy = get_object_or_404(Allergy.objects.select_related("patient"), uuid=uuid)
    actions.end_allergy(allergy, by=request.user, at=timezone.now())
    return done("allergy-add", allergy.patient.uuid)


def _findings_page(
    request: StaffRequest, patient: Patient, at: datetime, *, status: int = 200, **forms: Any
) -> HttpResponse:
    """The findings with their forms; or, for a condition just chosen, what is asked about it."""
    head = queries.head_of_record(request.user, patient, at=at)
    findings = queries.findings_of(patient)
    chosen = CONDITIONS.get(request.POST.get("condition") or request.GET.get("condition", ""))
    context = {
        "form": FootFindingForm(),
        "general_form": GeneralFindingForm(),
        "findings": findings,
        "screening": queries.screening_of(patient, findings),
        "signs_to_raise": queries.signs_found(patient, queries.signs_to_raise(findings, head["red_flags"])),
        "chosen": chosen,
        "suggested_places": chosen.places if chosen else conditions.all_places(),
        **head,
        **forms,
    }
    return page(request, "patients/findings.html", context, fragments=("details",), status=status)


def _allergies_page(
    request: StaffRequest, patient: Patient, at: datetime, *, form: AllergyForm, status: int = 200
) -> HttpResponse:
    context = {
        "form": form,
        "allergies": queries.live_allergies(patient),
        **queries.head_of_record(request.user, patient, at=at),
    }
    return render(request, "patients/allergies.html", context, status=status)
