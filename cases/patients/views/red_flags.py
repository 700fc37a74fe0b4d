"""Signs that are no footwear question today: raised by a touch, answered in full."""

from datetime import datetime
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from cases.patients import actions, queries
from cases.patients.forms import AnswerForm, RedFlagForm
from cases.patients.models import Patient, RedFlag
from cases.patients.permissions import CLINICAL_WRITERS
from cases.patients.red_flags import SIGNS, WHAT_TO_DO
from shared.fragments import done
from shared.permissions import allowed
from shared.refusals import Refused
from workshop.staff.requests import StaffRequest


@allowed(*CLINICAL_WRITERS)
@require_http_methods(["GET", "POST"])
def red_flag_raise(request: StaffRequest, uuid: UUID) -> HttpResponse:
    at = timezone.now()
    patient = queries.patient_for(request.user, uuid, at=at, clinical=True, change=True)
    form = RedFlagForm(request.POST or None)
    if request.method == "GET":
        return _signs_page(request, patient, at, form=form)
    if not form.is_valid():
        return _signs_page(request, patient, at, form=form, status=422)
    try:
        flag = actions.raise_red_flag(
            patient, sign=form.cleaned_data["sign"], side=form.side_seen(), by=request.user, at=at
        )
    except Refused as refused:
        form.add_error(None, refused.message)
        return _signs_page(request, patient, at, form=form, status=refused.status)
    return done("red-flag-answer", flag.uuid)


@allowed(*CLINICAL_WRITERS)
@require_http_methods(["GET", "POST"])
def red_flag_answer(request: StaffRequest, uuid: UUID) -> HttpResponse:
    at = timezone.now()
    flag = get_object_or_404(RedFlag.objects.select_related("patient", "raised_by", "answered_by"), uuid=uuid)
    form = AnswerForm(request.POST or None)
    context = {
        **queries.head_of_record(request.user, flag.patient, at=at),
        "flag": flag,
        "form": form,
        "what_to_do": WHAT_TO_DO,
    }
    if request.method == "GET":
        return render(request, "patients/red_flag_answer.html", context)
    if not form.is_valid():
        return render(request, "patients/red_flag_answer.html", context, status=422)
    try:
        actions.answer_red_flag(flag, **form.cleaned_data, by=request.user, at=at)
    except Refused as refused:
        form.add_error(None, refused.message)
        return render(request, "patients/red_flag_answer.html", context, status=refused.status)
    return done("client", flag.patient.uuid)


def _signs_page(
    request: StaffRequest, patient: Patient, at: datetime, *, form: RedFlagForm, status: int = 200
) -> HttpResponse:
    context = {
        **queries.head_of_record(request.user, patient, at=at),
        "form": form,
        "signs": SIGNS.values(),
        "what_to_do": WHAT_TO_DO,
        "answered": queries.answered_red_flags(patient),
    }
    return render(request, "patients/red_flags.html", context, status=status)
