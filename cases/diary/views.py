"""The diary, booking a visit, and the to-call list."""

from collections.abc import Callable, Sequence
from datetime import datetime
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse, QueryDict
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.diary import actions, queries
from cases.diary.asked import (
    Asked,
    a_week_from,
    day_or_none,
    first_entries,
    free_times_alone,
    free_times_for,
    moment_or_none,
)
from cases.diary.clock import in_words
from cases.diary.forms import BookingForm, RingBackForm
from cases.diary.models import Call, CallState, Visit
from cases.patients.queries import patient_for, search_patients
from shared.fragments import back, done, fragment_requested, page
from shared.history import Actor
from shared.permissions import allowed
from shared.refusals import Refused
from workshop.staff.requests import StaffRequest

CLIENTS_SHOWN = 20


@allowed("reception", "clinician", "manager")
@require_safe
def diary(request: StaffRequest) -> HttpResponse:
    now = timezone.now()
    day = day_or_none(request.GET.get("day")) or timezone.localdate(now)
    return page(request, "diary/diary.html", {"sheet": queries.day_sheet(day, now=now)})


@allowed("reception", "clinician", "manager")
@require_http_methods(["GET", "HEAD", "POST"])
def book(request: StaffRequest) -> HttpResponse:
    if request.method != "POST" and fragment_requested(request, "times"):
        return _times_alone(request)
    asked = Asked.read(request.GET)
    if asked is None:
        return _whose_visit(request)
    if request.method == "POST":
        return _book(request, asked)
    choices = queries.choices()
    entries = first_entries(asked, request.GET.dict(), choices=choices, person=request.user, now=timezone.now())
    return _booking_page(request, asked, BookingForm(initial=entries, choices=choices), entries, choices=choices)


def _times_alone(request: StaffRequest) -> HttpResponse:
    """The free times, as often as the form is changed: nothing else of the page is read."""
    times = free_times_alone(request.GET.dict(), now=timezone.now())
    return page(request, "diary/book.html", {"times": times}, fragments=("times",))


def _whose_visit(request: StaffRequest) -> HttpResponse:
    if request.method == "POST":
        raise Refused("This client is not known. Look the client up again; nothing was booked.")
    text = request.GET.get("q", "")
    carried = _without_the_client(request.GET)
    context = {
        "q": text,
        "found": search_patients(text)[:CLIENTS_SHOWN] if text.strip() else None,
        "carried": carried.urlencode(),
        "carried_items": carried.items(),
    }
    return page(request, "diary/whose.html", context, fragments=("found",))


def _without_the_client(asked: QueryDict) -> QueryDict:
    """What a link to the booking page asks for, whoever comes."""
    carried = asked.copy()
    for name in ("q", "patient", "call", "about", "not_before"):
        carried.pop(name, None)
    return carried


def _book(request: StaffRequest, asked: Asked) -> HttpResponse:
    entries = request.POST.copy()
    if slot := moment_or_none(entries.get("slot")):
        _take(slot, entries)
    typed, choices = entries.dict(), queries.choices()
    if "look" in entries:
        form = BookingForm(initial=typed, choices=choices)
        return _booking_page(request, asked, form, typed, choices=choices, status=422)
    form = BookingForm(entries, choices=choices)
    if not form.is_valid():
        return _booking_page(request, asked, form, typed, choices=choices, status=422)
    all_the_same = "all_the_same" in entries
    now = timezone.now()
    asked = asked.for_the_kind(form.cleaned_data["kind"])
    misgivings = [] if all_the_same else _misgivings(form, at=now)
    if not misgivings:
        try:
            visit = _book_as_typed(form, asked, all_the_same=all_the_same, by=request.user, at=now)
        except actions.TooEarly as early:
            misgivings = [early.message]
        except Refused as refused:
            form.add_error(None, refused.message)
        else:
            messages.success(request, _booked_in_words(visit))
            return back(request.GET, _diary_at(visit))
    return _booking_page(request, asked, form, typed, choices=choices, status=409, misgivings=misgivings)


def _misgivings(form: BookingForm, *, at: datetime) -> list[str]:
    if form.spell is None:
        return []
    twice = ["That time comes twice on that day, as the clocks go back."] if form.asks_which_hour else []
    return twice + queries.misgivings(form.spell, at=at)


def _take(slot: datetime, entries: QueryDict) -> None:
    local = timezone.localtime(slot)
    entries["day"], entries["time"] = f"{local:%Y-%m-%d}", f"{local:%H:%M}"
    entries.pop("second_hour", None)
    if local.fold:
        entries["second_hour"] = "on"


def _book_as_typed(form: BookingForm, asked: Asked, *, all_the_same: bool, by: Actor, at: datetime) -> Visit:
    typed = form.cleaned_data
    if form.starts_at is None:
        return actions.book_drop_in(
            patient=asked.patient,
            kind=typed["kind"],
            day=typed["day"],
            note=typed["note"],
            about_uuid=asked.about_uuid,
            call=asked.call,
            by=by,
            at=at,
        )
    return actions.book_visit(
        patient=asked.patient,
        kind=typed["kind"],
        clinician=typed["clinician"],
        room=typed["room"],
        starts_at=form.starts_at,
        minutes=typed["minutes"],
        note=typed["note"],
        not_before=asked.not_before,
        early_is_fine=all_the_same,
        about_uuid=asked.about_uuid,
        call=asked.call,
        by=by,
        at=at,
    )


def _booking_page(
    request: StaffRequest,
    asked: Asked,
    form: BookingForm,
    entries: dict[str, Any],
    *,
    choices: queries.Choices,
    misgivings: Sequence[str] = (),
    status: int = 200,
) -> HttpResponse:
    context = {
        "asked": asked,
        "somebody_else": _without_the_client(request.GET),
        "to_come": queries.visits_to_come(asked.patient, today=timezone.localdate()),
        "form": form,
        "times": free_times_for(asked, entries, choices=choices, now=timezone.now()),
        "misgivings": misgivings,
    }
    return page(request, "diary/book.html", context, status=status)


def _booked_in_words(visit: Visit) -> str:
    """What to read out to a client on the telephone."""
    with_whom = f" with {visit.clinician.name}" if visit.clinician else ""
    when = f" at {timezone.localtime(visit.starts_at):%H:%M}" if visit.starts_at else ""
    return f"Booked: {visit.patient.name}, {visit.kind.name}{with_whom}, {in_words(visit.day)}{when}."


def _diary_at(visit: Visit) -> str:
    return f"{reverse('diary')}?day={visit.day:%Y-%m-%d}#v-{visit.uuid}"


def _change_visit(request: StaffRequest, uuid: UUID, change: Callable[..., None]) -> HttpResponse:
    visit = get_object_or_404(Visit.objects.select_related("patient", "kind"), uuid=uuid)
    change(visit, by=request.user, at=timezone.now())
    return back(request.POST, _diary_at(visit))


@allowed("reception", "clinician", "manager")
@require_POST
def visit_arrive(request: StaffRequest, uuid: UUID) -> HttpResponse:
    return _change_visit(request, uuid, actions.arrive)


@allowed("reception", "clinician", "manager")
@require_POST
def visit_done(request: StaffRequest, uuid: UUID) -> HttpResponse:
    return _change_visit(request, uuid, actions.complete_visit)


@allowed("reception", "clinician", "manager")
@require_POST
def visit_missed(request: StaffRequest, uuid: UUID) -> HttpResponse:
    return _change_visit(request, uuid, actions.miss_visit)


@allowed("reception", "clinician", "manager")
@require_POST
def visit_cancel(request: StaffRequest, uuid: UUID) -> HttpResponse:
    return _change_visit(request, uuid, actions.cancel_visit)


@allowed("reception", "clinician", "manager")
@require_safe
def calls(request: StaffRequest) -> HttpResponse:
    today = timezone.localdate()
    context = {"calls": queries.calls_due(today), "later": queries.calls_later(today)}
    return page(request, "diary/calls.html", context)


@allowed("reception", "clinician", "manager")
@require_POST
def call_tried(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """Nobody answered, or the client asked to be called later: then a week later."""
    call = get_object_or_404(Call, uuid=uuid)
    now = timezone.now()
    later = a_week_from(now) if "later" in request.POST else None
    actions.note_call_try(call, call_again_on=later, by=request.user, at=now)
    return back(request.POST, reverse("calls"))


@allowed("reception", "clinician", "manager")
@require_POST
def call_settle(request: StaffRequest, uuid: UUID) -> HttpResponse:
    call = get_object_or_404(Call, uuid=uuid)
    state = CallState.BOOKED if "booked" in request.POST else CallState.NOT_NEEDED
    actions.settle_call(call, state=state, by=request.user, at=timezone.now())
    return back(request.POST, reverse("calls"))


@allowed("reception", "clinician", "manager")
@require_http_methods(["GET", "HEAD", "POST"])
def ring_back(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """What a client said on the telephone goes to the clinicians at once; nothing is judged here."""
    now = timezone.now()
    patient = patient_for(request.user, uuid, at=now)
    form = RingBackForm(request.POST if request.method == "POST" else None)
    context = {"patient": patient, "form": form}
    if request.method != "POST":
        return page(request, "diary/ring_back.html", context)
    if not form.is_valid():
        return page(request, "diary/ring_back.html", context, status=422)
    try:
        actions.ask_to_ring_back(patient, said=form.in_words(), by=request.user, at=now)
    except Refused as refused:
        form.add_error(None, refused.message)
        return page(request, "diary/ring_back.html", context, status=refused.status)
    messages.success(request, f"Passed on: a clinician rings {patient.name} back today.")
    return done("client", patient.uuid)


@allowed("clinician")
@require_POST
def call_rung_back(request: StaffRequest, uuid: UUID) -> HttpResponse:
    call = get_object_or_404(Call, uuid=uuid)
    actions.rung_back(call, by=request.user, at=timezone.now())
    return back(request.POST, reverse("calls"))
