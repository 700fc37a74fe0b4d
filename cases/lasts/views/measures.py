"""Measuring both feet, and reading what was measured."""

from datetime import datetime
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.lasts import actions, permissions, queries
from cases.lasts.drawings.tapes import tapes
from cases.lasts.forms import MeasuringForm
from cases.lasts.models import Answer, MeasureSet
from cases.lasts.queries.shapes import feet_drawn
from cases.lasts.views.drafts import Sitting, sitting_of
from cases.patients.models import Patient
from cases.patients.queries import head_of_record
from shared.fragments import done
from shared.permissions import allowed
from shared.refusals import Refused
from shared.sides import SIDES
from workshop.staff.requests import StaffRequest


@allowed(*permissions.MEASURES)
@require_http_methods(["GET", "HEAD", "POST"])
def measures_new(request: StaffRequest, uuid: UUID) -> HttpResponse:
    at = timezone.now()
    patient = permissions.patient_to_measure(request.user, uuid, at=at)
    sitting = sitting_of(patient, person=request.user, at=at)
    form, status = sitting.form(request.POST if request.method == "POST" else None), 200
    if request.method == "POST":
        status = 422
        if form.is_valid() and form.taken_at is not None:
            try:
                measure_set = _record(request, patient, form, at=at)
            except Refused as refused:
                form.add_error(None, refused.message)
                status = refused.status
            else:
                return done("measures", measure_set.uuid)
    context = {**_page_of(sitting, form), **head_of_record(request.user, patient, at=at)}
    return render(request, "lasts/measures_new.html", context, status=status)


def _record(request: StaffRequest, patient: Patient, form: MeasuringForm, *, at: datetime) -> MeasureSet:
    entered = form.cleaned_data
    measure_set = actions.record_measures(
        patient,
        visit=entered["visit"],
        taken_at=form.taken_at or at,
        taken_by=entered["taken_by"],
        method=entered["method"],
        load=entered["load"],
        heel_height_mm=entered["heel_height_mm"],
        note=entered["note"],
        values=form.values,
        legs=form.legs,
        bulges=form.bulges,
        answers=form.answers,
        by=request.user,
        at=at,
    )
    actions.end_draft(patient, by=request.user)
    return measure_set


def _page_of(sitting: Sitting, form: MeasuringForm) -> dict[str, object]:
    return {
        "form": form,
        "halves": list(zip(form.halves, [tapes(side) for side in SIDES], strict=True)),
        "previous": sitting.previous,
        "draft": sitting.draft,
        "draft_uuid": sitting.draft_uuid,
        "others": sitting.others,
    }


@allowed(*permissions.READS)
@require_safe
def measures(request: StaffRequest, uuid: UUID) -> HttpResponse:
    measure_set = permissions.measure_set(uuid)
    previous = queries.measured_before(measure_set)
    conditions = queries.conditions_of(measure_set)
    asked = queries.asked_of(measure_set, previous=previous, conditions=conditions)
    more = queries.more_of(measure_set)
    context = {
        "measure_set": measure_set,
        "patient": measure_set.patient,
        "rows": queries.rows_of(measure_set),
        "drawings": [tapes(side) for side in SIDES],
        "outlines": feet_drawn(measure_set),
        "differently": queries.taken_differently(measure_set),
        "more": more,
        "has_more": any(foot.legs or foot.bulges for foot in more),
        "open_questions": [each.question for each in asked if each.answer is None],
        "answers": [each.answer for each in asked if each.answer is not None],
        "feet": queries.sizes_of(measure_set, conditions=conditions),
        "previous": previous,
        "may_measure": permissions.may_measure(request.user),
        "answer_choices": Answer.choices,
    }
    return render(request, "lasts/measures.html", context)


@allowed(*permissions.MEASURES)
@require_POST
def slip_answer(request: StaffRequest, uuid: UUID) -> HttpResponse:
    measure_set = permissions.measure_set(uuid)
    asked = queries.asked_of(measure_set, previous=queries.measured_before(measure_set))
    question = next((each.question for each in asked if each.question.key == request.POST.get("question")), None)
    answer = request.POST.get("answer", "")
    if question is None or answer not in Answer.values:
        raise Refused("This question is no longer asked. Load the page again.")
    actions.answer_question(measure_set, question, answer=answer, by=request.user, at=timezone.now())
    return done("measures", measure_set.uuid)
