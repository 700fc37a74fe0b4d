"""Measuring both feet, and reading what was measured."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from cases.lasts import actions, permissions, queries
from cases.lasts.forms import MeasuringForm
from cases.patients.queries import head_of_record
from shared.fragments import done
from shared.permissions import allowed
from shared.refusals import Refused
from workshop.figures.queries import figure
from workshop.staff.requests import StaffRequest

THIRD_TAKE = "third_take_above_mm"


@allowed(*permissions.MEASURES)
@require_http_methods(["GET", "HEAD", "POST"])
def measures_new(request: StaffRequest, uuid: UUID) -> HttpResponse:
    at = timezone.now()
    today = timezone.localdate(at)
    patient = permissions.patient_to_measure(request.user, uuid, at=at)
    previous = queries.last_time(patient)
    visit = queries.visit_of_today(patient, today=today)
    form = MeasuringForm(
        request.POST if request.method == "POST" else None,
        initial=MeasuringForm.first_entries(previous, visit=visit, at=at),
        visits=queries.visits_to_measure_at(patient, today=today),
        previous=previous,
        third_above_mm=figure(THIRD_TAKE, on=today),
        at=at,
    )
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid() and form.taken_at is not None:
            entered = form.cleaned_data
            try:
                measure_set = actions.record_measures(
                    patient,
                    visit=entered["visit"],
                    taken_at=form.taken_at,
                    method=entered["method"],
                    load=entered["load"],
                    heel_height_mm=entered["heel_height_mm"],
                    note=entered["note"],
                    values=form.values,
                    by=request.user,
                    at=at,
                )
            except Refused as refused:
                form.add_error(None, refused.message)
                status = refused.status
            else:
                return done("measures", measure_set.uuid)
    context = {"form": form, "previous": previous, **head_of_record(request.user, patient, at=at)}
    return render(request, "lasts/measures_new.html", context, status=status)


@allowed(*permissions.READS)
@require_safe
def measures(request: StaffRequest, uuid: UUID) -> HttpResponse:
    measure_set = permissions.measure_set(uuid)
    context = {
        "measure_set": measure_set,
        "patient": measure_set.patient,
        "rows": queries.rows_of(measure_set),
        "questions": queries.questions_of(measure_set),
        "feet": queries.sizes_of(measure_set),
        "may_measure": permissions.may_measure(request.user),
    }
    return render(request, "lasts/measures.html", context)
