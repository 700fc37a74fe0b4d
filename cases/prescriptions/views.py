"""The pages of a prescription: begun, written on while a draft, read and signed, followed by a new version."""

from typing import Any
from uuid import UUID

from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from cases.patients import red_flags
from cases.patients.models import Patient
from cases.patients.queries import findings_of, live_allergies, open_red_flags, patient_for
from cases.prescriptions import actions, completeness, permissions, queries
from cases.prescriptions.described import describe, differences_in_words, pair_in_words, side_by_side
from cases.prescriptions.forms import NewForm, NewVersionForm, Sheet
from cases.prescriptions.given import sheet_settings
from cases.prescriptions.models import Prescription, PrescriptionStatus
from shared.fragments import done
from shared.permissions import allowed
from shared.refusals import Refused
from shared.versions import Stale
from workshop.staff.requests import StaffRequest

COPIES = {"copy-left": "left", "copy-right": "right"}
SECTIONS = {"visible", "closed-in", "underfoot"}


@allowed(*permissions.WRITERS)
@require_http_methods(["GET", "HEAD", "POST"])
def prescription_new(request: StaffRequest, uuid: UUID) -> HttpResponse:
    patient = patient_for(request.user, uuid, at=timezone.now(), clinical=True)
    form = NewForm(patient=patient, data=request.POST if request.method == "POST" else None)
    if form.is_valid():
        begun = actions.start_prescription(patient, **form.cleaned_data, by=request.user, at=timezone.now())
        return done("prescription", begun.uuid)
    context = {"patient": patient, "form": form, "red_flags": _red_flags(patient)}
    return render(request, "prescriptions/new.html", context, status=422 if form.is_bound else 200)


@allowed(*permissions.READERS)
@require_http_methods(["GET", "HEAD", "POST"])
def prescription(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """While a draft, the form for those who may write; else what it says."""
    is_sent = request.method == "POST"
    version = permissions.prescription_for(request.user, uuid, write=is_sent)
    if is_sent:
        return _save(request, version)
    if version.status == PrescriptionStatus.DRAFT and permissions.may_write(request.user):
        return _draft_page(request, version, _sheet(version))
    return _reading_page(request, version)


def _sheet(version: Prescription, request: StaffRequest | None = None) -> Sheet:
    reaches, scoured_zone = sheet_settings(on=timezone.localdate())
    return Sheet(version, reaches=reaches, scoured_zone=scoured_zone, data=request.POST if request else None)


def _save(request: StaffRequest, version: Prescription) -> HttpResponse:
    if version.status != PrescriptionStatus.DRAFT:
        raise Refused(f"This version is {version.get_status_display()}: it is not changed. Write a new version.")
    sheet = _sheet(version, request)
    if not sheet.is_valid():
        return _draft_page(request, version, sheet, status=422)
    then, at = request.POST.get("then", ""), timezone.now()
    try:
        saved = actions.save_draft(
            version,
            seen_version=_seen_version(request),
            fields=sheet.fields(),
            parts=sheet.parts(),
            by=request.user,
            at=at,
        )
        if then in COPIES:
            actions.copy_foot(saved, seen_version=saved.version, of=COPIES[then], by=request.user, at=at)
    except Stale as stale:
        return _stale_page(request, uuid=version.uuid, stale=stale)
    if then == "sign":
        return done("prescription-sign", version.uuid)
    address = reverse("prescription", args=[version.uuid])
    return HttpResponseRedirect(address + (f"#{then}" if then in SECTIONS else ""), status=303)


def _stale_page(request: StaffRequest, *, uuid: UUID, stale: Stale) -> HttpResponse:
    """What was sent, kept, beside what somebody else saved meanwhile."""
    version = queries.whole(uuid)
    sheet = _sheet(version, request)
    sheet.is_valid()
    return _draft_page(request, version, sheet, stale=stale, status=409)


def _seen_version(request: StaffRequest) -> int:
    try:
        return int(request.POST.get("seen_version", ""))
    except ValueError as error:
        raise Refused("This page does not say which state it shows. Load it again.") from error


def _draft_page(
    request: StaffRequest, version: Prescription, sheet: Sheet, *, stale: Stale | None = None, status: int = 200
) -> HttpResponse:
    context: dict[str, Any] = _found(version.patient) | {
        "prescription": version,
        "sheet": sheet,
        "errors": sheet.errors(),
        "stale": stale,
        "stale_rows": sheet.rows_against_saved() if stale else [],
        "missing": completeness.missing(version),
        "seen_version": version.version if status in {200, 409} else request.POST.get("seen_version"),
    }
    return render(request, "prescriptions/draft.html", context, status=status)


def _reading_page(
    request: StaffRequest, version: Prescription, *, form: NewVersionForm | None = None, status: int = 200
) -> HttpResponse:
    context: dict[str, Any] = _in_words(version) | {
        "form": form or NewVersionForm(),
        "may_write": permissions.may_write(request.user),
        "versions": queries.versions_of(version),
    }
    return render(request, "prescriptions/prescription.html", context, status=status)


def _in_words(version: Prescription) -> dict[str, Any]:
    earlier = queries.whole(version.supersedes.uuid) if version.supersedes else None
    feet = describe(version)
    return {
        "prescription": version,
        "pair": pair_in_words(version),
        "groups": side_by_side(feet),
        "sides": {foot.side for foot in feet},
        "earlier": earlier,
        "changes": differences_in_words(earlier, version) if earlier else (),
    }


@allowed(*permissions.WRITERS)
@require_http_methods(["GET", "HEAD", "POST"])
def prescription_sign(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """Everything once more, with open red flags first; one touch signs it."""
    version = permissions.prescription_for(request.user, uuid, write=True)
    if request.method == "POST":
        try:
            actions.sign_prescription(version, seen_version=_seen_version(request), by=request.user, at=timezone.now())
        except (actions.Incomplete, Stale) as refused:
            return _sign_page(request, permissions.prescription_for(request.user, uuid), refused=refused)
        return done("prescription", uuid)
    if version.status != PrescriptionStatus.DRAFT:
        return done("prescription", uuid)
    return _sign_page(request, version)


def _sign_page(request: StaffRequest, version: Prescription, *, refused: Refused | None = None) -> HttpResponse:
    context: dict[str, Any] = (
        _in_words(version)
        | _found(version.patient)
        | {
            "missing": completeness.missing(version),
            "is_stale": isinstance(refused, Stale),
        }
    )
    return render(request, "prescriptions/sign.html", context, status=refused.status if refused else 200)


@allowed(*permissions.WRITERS)
@require_POST
def prescription_new_version(request: StaffRequest, uuid: UUID) -> HttpResponse:
    version = permissions.prescription_for(request.user, uuid, write=True)
    form = NewVersionForm(request.POST)
    if not form.is_valid():
        return _reading_page(request, version, form=form, status=422)
    draft = actions.write_new_version(version, reason=form.cleaned_data["reason"], by=request.user, at=timezone.now())
    return done("prescription", draft.uuid)


@allowed(*permissions.WRITERS)
@require_POST
def prescription_withdraw(request: StaffRequest, uuid: UUID) -> HttpResponse:
    version = permissions.prescription_for(request.user, uuid, write=True)
    actions.withdraw_prescription(version, by=request.user, at=timezone.now())
    return done("prescription", uuid)


def _found(patient: Patient) -> dict[str, Any]:
    """What a shoe is prescribed for: red flags first, then what was found on each foot, and what may not touch it."""
    return {
        "red_flags": _red_flags(patient),
        "findings": findings_of(patient),
        "allergies": list(live_allergies(patient)),
    }


def _red_flags(patient: Patient) -> list[tuple[str, str | None]]:
    """The open red flags in words, each with its side."""
    return [(red_flags.words(flag.sign), flag.side) for flag in open_red_flags(patient)]
