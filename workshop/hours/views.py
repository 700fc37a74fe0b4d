"""The page on which a manager says where and when work is done."""

from collections.abc import Callable
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from shared.fragments import done
from shared.permissions import allowed
from shared.refusals import Refused
from workshop.hours import actions, queries
from workshop.hours.forms import ClosureForm, OpeningHoursForm, RoomForm
from workshop.hours.models import Bench, Closure, OpeningHours, Room
from workshop.staff.requests import StaffRequest


@allowed("manager")
@require_safe
def hours(request: StaffRequest) -> HttpResponse:
    return _page(request)


@allowed("manager")
@require_POST
def room_add(request: StaffRequest) -> HttpResponse:
    form = RoomForm(request.POST)
    return _answer(
        request,
        form,
        lambda: actions.add_room(**form.cleaned_data, by=request.user, at=timezone.now()),
        says="The room is added.",
    )


@allowed("manager")
@require_POST
def closure_add(request: StaffRequest) -> HttpResponse:
    form = ClosureForm(request.POST, today=timezone.localdate())
    return _answer(
        request,
        form,
        lambda: actions.add_closure(**form.cleaned_data, by=request.user, at=timezone.now()),
        says="The workshop is closed on that day.",
    )


@allowed("manager")
@require_POST
def closure_remove(request: StaffRequest, uuid: UUID) -> HttpResponse:
    actions.remove_closure(get_object_or_404(Closure, uuid=uuid), by=request.user, at=timezone.now())
    messages.success(request, "The workshop is open again on that day.")
    return done("hours")


@allowed("manager")
@require_POST
def opening_hours_set(request: StaffRequest, weekday: int) -> HttpResponse:
    if weekday >= len(actions.WEEKDAYS):
        raise Http404
    form = OpeningHoursForm(request.POST)
    return _answer(
        request,
        form,
        lambda: actions.set_opening_hours(weekday=weekday, **form.cleaned_data, by=request.user, at=timezone.now()),
        says=f"The hours of {actions.WEEKDAYS[weekday]} are saved.",
        weekday=weekday,
    )


def _answer(
    request: StaffRequest, form: forms.Form, act: Callable[[], object], *, says: str, weekday: int | None = None
) -> HttpResponse:
    if form.is_valid():
        try:
            act()
        except Refused as refused:
            form.add_error(None, refused.message)
        else:
            messages.success(request, says)
            return done("hours")
    return _page(request, form, weekday=weekday, status=422)


def _page(
    request: StaffRequest, sent: forms.Form | None = None, *, weekday: int | None = None, status: int = 200
) -> HttpResponse:
    today = timezone.localdate()
    times = {spell.weekday: (f"{spell.opens:%H:%M}", f"{spell.closes:%H:%M}") for spell in OpeningHours.objects.all()}
    if sent is not None and weekday is not None:
        times[weekday] = (sent["opens"].value() or "", sent["closes"].value() or "")
    context = {
        "form": sent or RoomForm(),
        "room_form": sent if isinstance(sent, RoomForm) else RoomForm(),
        "closure_form": sent if isinstance(sent, ClosureForm) else ClosureForm(today=today),
        "weekdays": [(number, word, *times.get(number, ("", ""))) for number, word in enumerate(actions.WEEKDAYS)],
        "rooms": Room.objects.all(),
        "benches": Bench.objects.all(),
        "closures": queries.closures_from(today),
    }
    return render(request, "hours/hours.html", context, status=status)
