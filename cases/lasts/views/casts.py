"""Casts: the register, what is put into it, where each stands, and its label."""

from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from cases.lasts import actions, permissions
from cases.lasts.actions.casts import move_cast
from cases.lasts.forms import CastForm, DestroyForm
from cases.lasts.forms.casts import CastsForm, LabelsForm, MoveCastForm
from cases.lasts.labels import label_sheet, single_label
from cases.lasts.models import Cast
from cases.lasts.queries.casts import casts_found, casts_of, people_who_cast
from cases.lasts.queries.measuring import visit_of_today, visits_to_measure_at
from cases.lasts.queries.scans import scans_of
from cases.patients.queries import head_of_record, patient_for
from shared.fragments import done, page
from shared.permissions import allowed
from shared.refusals import Refused
from workshop.staff.requests import StaffRequest


@allowed(*permissions.READS)
@require_safe
def casts(request: StaffRequest) -> HttpResponse:
    form = CastsForm(request.GET)
    context = {"asked": form.asked, "found": casts_found(**form.asked)}
    return page(request, "lasts/casts.html", context, fragments=("found",))


@allowed(*permissions.READS)
@require_safe
def client_casts(request: StaffRequest, uuid: UUID) -> HttpResponse:
    at = timezone.now()
    patient = patient_for(request.user, uuid, at=at, clinical=True)
    found = list(casts_of(patient))
    context = {
        "casts": found,
        "standing": [each for each in found if each.destroyed_on is None],
        "scans": scans_of(patient),
        "may_measure": permissions.may_measure(request.user),
        **head_of_record(request.user, patient, at=at),
    }
    return render(request, "lasts/client_casts.html", context)


@allowed(*permissions.MEASURES)
@require_http_methods(["GET", "HEAD", "POST"])
def cast_new(request: StaffRequest, uuid: UUID) -> HttpResponse:
    at = timezone.now()
    today = timezone.localdate(at)
    patient = permissions.patient_to_measure(request.user, uuid, at=at)
    visit = visit_of_today(patient, today=today)
    form = CastForm(
        request.POST if request.method == "POST" else None,
        initial={"made_on": today, "made_by": request.user.uuid, "visit": visit and visit.uuid},
        people=people_who_cast(),
        visits=visits_to_measure_at(patient, today=today),
    )
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            try:
                actions.register_casts(patient, **form.cleaned_data, by=request.user, at=at)
            except Refused as refused:
                form.add_error(None, refused.message)
                status = refused.status
            else:
                return done("client-casts", patient.uuid)
    context = {"form": form, **head_of_record(request.user, patient, at=at)}
    return render(request, "lasts/cast_new.html", context, status=status)


@allowed(*permissions.READS)
@require_safe
def cast(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = permissions.cast(uuid)
    context = {
        "cast": found,
        "patient": found.patient,
        "scans": scans_of(found.patient).filter(cast=found),
        "may_measure": permissions.may_measure(request.user),
    }
    return render(request, "lasts/cast.html", context)


@allowed(*permissions.MEASURES)
@require_http_methods(["GET", "HEAD", "POST"])
def cast_move(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = permissions.cast(uuid)
    form = MoveCastForm(
        request.POST if request.method == "POST" else None,
        initial={"place": found.place, "condition": found.condition},
    )
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            try:
                move_cast(found, **form.cleaned_data, by=request.user, at=timezone.now())
            except Refused as refused:
                form.add_error(None, refused.message)
                status = refused.status
            else:
                return done("cast", found.uuid)
    return render(request, "lasts/cast_move.html", {"form": form, "cast": found}, status=status)


@allowed(*permissions.MEASURES)
@require_http_methods(["GET", "HEAD", "POST"])
def cast_destroy(request: StaffRequest, uuid: UUID) -> HttpResponse:
    at = timezone.now()
    cast = permissions.cast(uuid)
    form = DestroyForm(
        request.POST if request.method == "POST" else None, initial={"destroyed_on": timezone.localdate(at)}
    )
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            entered: dict[str, Any] = form.cleaned_data
            try:
                actions.destroy_cast(
                    cast,
                    destroyed_on=entered["destroyed_on"],
                    why=entered["destroyed_why"],
                    by=request.user,
                    at=at,
                )
            except Refused as refused:
                form.add_error(None, refused.message)
                status = refused.status
            else:
                return done("cast", cast.uuid)
    return render(request, "lasts/cast_destroy.html", {"form": form, "cast": cast}, status=status)


@allowed(*permissions.READS)
@require_safe
def cast_label(request: StaffRequest, uuid: UUID) -> HttpResponse:
    return _pdf(single_label(permissions.cast(uuid)), name="label")


@allowed(*permissions.READS)
@require_safe
def cast_labels(request: StaffRequest) -> HttpResponse:
    form = LabelsForm(request.GET, casts=Cast.objects.select_related("patient"))
    if not form.is_valid():
        raise Refused(str(next(iter(form.errors.values()))[0]))
    first = form.cleaned_data["first"] or 1
    return _pdf(label_sheet(list(form.cleaned_data["cast"]), first=first), name="labels")


def _pdf(contents: bytes, *, name: str) -> HttpResponse:
    response = HttpResponse(contents, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    return response
