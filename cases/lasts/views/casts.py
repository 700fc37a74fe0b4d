"""Registering casts, and noting that one is no more."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from cases.lasts import actions, permissions, queries
from cases.lasts.forms import CastForm, DestroyForm
from cases.patients.queries import head_of_record
from shared.fragments import done
from shared.permissions import allowed
from shared.refusals import Refused
from workshop.staff.requests import StaffRequest


@allowed(*permissions.MEASURES)
@require_http_methods(["GET", "HEAD", "POST"])
def cast_new(request: StaffRequest, uuid: UUID) -> HttpResponse:
    at = timezone.now()
    today = timezone.localdate(at)
    patient = permissions.patient_to_measure(request.user, uuid, at=at)
    visit = queries.visit_of_today(patient, today=today)
    form = CastForm(
        request.POST if request.method == "POST" else None,
        initial={"made_on": today, "made_by": request.user.uuid, "visit": visit and visit.uuid},
        people=queries.people_who_cast(),
        visits=queries.visits_to_measure_at(patient, today=today),
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
                return done("client", patient.uuid)
    context = {"form": form, **head_of_record(request.user, patient, at=at)}
    return render(request, "lasts/cast_new.html", context, status=status)


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
            entered = form.cleaned_data
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
                return done("client", cast.patient.uuid)
    return render(request, "lasts/cast_destroy.html", {"form": form, "cast": cast}, status=status)
