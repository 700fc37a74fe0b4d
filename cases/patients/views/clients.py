"""Finding a client, registering one, changing one."""

import copy
from datetime import datetime
from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods

from cases.patients import actions, queries
from cases.patients.forms import NewPatientForm, NewReferrerForm, PatientForm
from cases.patients.permissions import CLINICAL_WRITERS
from cases.patients.refusals import LooksRegistered
from shared.fragments import done, page
from shared.permissions import allowed
from shared.refusals import Refused
from shared.versions import Stale, stale_rows
from workshop.staff.models import Person
from workshop.staff.requests import StaffRequest

UNTOUCHED = "not changed by you: theirs is kept"


@allowed("reception", "clinician", "manager")
@require_GET
def clients(request: StaffRequest) -> HttpResponse:
    """Search by any part of a name, record number, telephone number or date of birth."""
    text = request.GET.get("text", "")
    context = {"text": text, "found": queries.found(text), "most_found": queries.MOST_FOUND}
    return page(request, "patients/clients.html", context, fragments=("found",))


@allowed("reception", "clinician", "manager")
@require_http_methods(["GET", "POST"])
def client_new(request: StaffRequest) -> HttpResponse:
    at = timezone.now()
    form = NewPatientForm(request.POST or None, **_settings(request.user, at))
    referrer_form = NewReferrerForm(request.POST or None)
    context: dict[str, Any] = {"form": form, "referrer_form": referrer_form}
    if request.method == "GET":
        return render(request, "patients/client_form.html", context)
    if not _both_valid(form, referrer_form):
        return render(request, "patients/client_form.html", context, status=422)
    try:
        patient = actions.register_patient(
            **_entered(form, referrer_form, by=request.user, at=at),
            namesake_is_fine="all_the_same" in request.POST,
            by=request.user,
            at=at,
        )
    except LooksRegistered as refused:
        context |= {"refused": refused, "namesakes": refused.namesakes}
        return render(request, "patients/client_form.html", context, status=refused.status)
    except Refused as refused:
        form.add_error(None, refused.message)
        return render(request, "patients/client_form.html", context, status=refused.status)
    return done("client", patient.uuid)


@allowed("reception", "clinician", "manager")
@require_http_methods(["GET", "POST"])
def client_edit(request: StaffRequest, uuid: UUID) -> HttpResponse:
    at = timezone.now()
    patient = queries.patient_for(request.user, uuid, at=at, change=True)
    # A copy, since a form writes what was typed into its record, and the page shows the record as it stands.
    form = PatientForm(request.POST or None, instance=copy.copy(patient), **_settings(request.user, at))
    referrer_form = NewReferrerForm(request.POST or None)
    context = {
        **queries.head_of_record(request.user, patient, at=at),
        "form": form,
        "referrer_form": referrer_form,
        "seen_version": _seen_version(request) if request.method == "POST" else patient.version,
    }
    if request.method == "GET":
        return render(request, "patients/client_form.html", context)
    if not _both_valid(form, referrer_form):
        return render(request, "patients/client_form.html", context, status=422)
    try:
        changes = _entered(form, referrer_form, by=request.user, at=at)
        actions.change_patient(patient, seen_version=_seen_version(request), by=request.user, at=at, **changes)
    except Stale as stale:
        # Sent once more, the form has seen what it was shown here.
        context |= {
            "form": form.over(stale.current),
            "stale": stale,
            "stale_rows": _beside(stale, form),
            "seen_version": stale.current.version,
        }
        return render(request, "patients/client_form.html", context, status=stale.status)
    return done("client", patient.uuid)


def _beside(stale: Stale, form: PatientForm) -> list[tuple[str, str, str]]:
    """Both versions in words; of what was not touched here, theirs stays."""
    labels = (str(form[name].label) for name in form.fields if name not in form.changed_data)
    untouched = {label[:1].upper() + label[1:] for label in labels}
    rows = stale_rows(stale, form)
    return [(label, theirs, UNTOUCHED if label in untouched else yours) for label, theirs, yours in rows]


def _settings(person: Person, at: datetime) -> dict[str, Any]:
    return {"today": timezone.localdate(at), "with_clinical": person.holds_any_of(CLINICAL_WRITERS)}


def _both_valid(form: PatientForm, referrer_form: NewReferrerForm) -> bool:
    """Both are asked, so that a person sees everything that is wrong at once."""
    valid = [form.is_valid(), referrer_form.is_valid()]
    return all(valid)


def _entered(form: PatientForm, referrer_form: NewReferrerForm, *, by: Person, at: datetime) -> dict[str, Any]:
    entered = dict(form.cleaned_data)
    if referrer_form.cleaned_data["name"]:
        entered["referrer"] = actions.register_referrer(**referrer_form.cleaned_data, by=by, at=at)
    return entered


def _seen_version(request: StaffRequest) -> int:
    """The version the form showed; one that no record has where it says none."""
    try:
        return int(request.POST.get("seen_version", ""))
    except ValueError:
        return 0
