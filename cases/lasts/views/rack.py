"""The rack: what stands on it, what is put on it, and where."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.lasts import actions, permissions, queries
from cases.lasts.forms import ConditionForm, LastForm, MoveForm, RackForm, first_of_a_last
from cases.lasts.models import Cast
from cases.patients.models import Patient
from shared.fragments import done, page
from shared.permissions import allowed
from shared.refusals import Refused
from workshop.figures.queries import figure
from workshop.staff.requests import StaffRequest

TOE_SPRING = "toe_spring_mm"


@allowed(*permissions.READS)
@require_safe
def last_rack(request: StaffRequest) -> HttpResponse:
    form = RackForm(request.GET)
    asked = form.asked
    context = {
        "form": form,
        "asked": asked,
        "rack": queries.rack(**asked),
        "taken_in": form.cleaned_data.get("taken_in"),
        "may_handle": permissions.may_handle_lasts(request.user),
    }
    return page(request, "lasts/rack.html", context, fragments=("found",))


@allowed(*permissions.HANDLES_LASTS)
@require_http_methods(["GET", "HEAD", "POST"])
def last_new(request: StaffRequest, uuid: UUID) -> HttpResponse:
    return _last_new(request, permissions.owner_of_lasts(uuid))


@allowed(*permissions.HANDLES_LASTS)
@require_http_methods(["GET", "HEAD", "POST"])
def stock_last_new(request: StaffRequest) -> HttpResponse:
    return _last_new(request, None)


def _last_new(request: StaffRequest, owner: Patient | None) -> HttpResponse:
    at = timezone.now()
    today = timezone.localdate(at)
    form = LastForm(
        request.POST if request.method == "POST" else None,
        initial=first_of_a_last(today=today, toe_spring_mm=figure(TOE_SPRING, on=today), person=request.user),
        people=queries.people_who_make_lasts(),
        casts=queries.casts_to_work_from(owner) if owner else Cast.objects.none(),
    )
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            try:
                made = actions.register_lasts(owner=owner, **form.entered, by=request.user, at=at)
            except Refused as refused:
                form.add_error(None, refused.message)
                status = refused.status
            else:
                return done("last", made[0].uuid)
    return render(request, "lasts/last_new.html", {"form": form, "owner": owner}, status=status)


@allowed(*permissions.HANDLES_LASTS)
@require_POST
def last_move(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = permissions.last(uuid)
    form = MoveForm(request.POST)
    if not form.is_valid():
        return render(request, "lasts/last_place.html", {"last": found, "move_form": form}, status=422)
    actions.move_last(found, place=form.cleaned_data["place"], by=request.user, at=timezone.now())
    return done("last", found.uuid)


@allowed(*permissions.HANDLES_LASTS)
@require_POST
def last_condition(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = permissions.last(uuid)
    form = ConditionForm(request.POST)
    if not form.is_valid():
        return render(request, "lasts/last_place.html", {"last": found, "condition_form": form}, status=422)
    actions.note_condition(found, **form.cleaned_data, by=request.user, at=timezone.now())
    return done("last", found.uuid)
