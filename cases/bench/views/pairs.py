"""A pair comes to the bench, is promised again, is repeated; and the differences that wait for a clinician."""

from collections.abc import Callable
from datetime import timedelta
from typing import TypeVar
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.bench import actions, queries
from cases.bench.forms import AcceptForm, GiveUpForm, OpenForm, PromiseForm, RepairForm, WeighForm
from cases.bench.models import DifferenceState
from cases.bench.permissions import OPENERS, READERS, SIGNERS, TAKE_IN, may_accept_differences
from cases.bench.repeats import fitting_is_wanted
from cases.bench.views.asked import difference_or_404, pair_or_404
from cases.diary.clock import in_words
from cases.patients.queries import patient_for
from cases.prescriptions.models.prescription import WorkKind
from cases.prescriptions.permissions import prescription_for
from cases.prescriptions.queries import weighed_shoes
from shared.fragments import done
from shared.permissions import allowed
from shared.refusals import Refused
from workshop.staff.requests import StaffRequest

USUAL_WEEKS = {WorkKind.NEW: 6, WorkKind.REPEAT: 5, WorkKind.ADAPTATION: 2, WorkKind.REPAIR: 1}
"""The promised day a form begins with, in weeks from today: a proposal, from memory. The forecast comes later."""


Made = TypeVar("Made")


def _done_by(form: forms.Form, act: Callable[[], Made]) -> Made | None:
    """What `act` makes of a valid form; None where a rule refuses it, which the form then says beside what was typed."""
    try:
        return act()
    except Refused as refused:
        form.add_error(None, refused.message)
        return None


@allowed(*OPENERS)
@require_http_methods(["GET", "HEAD", "POST"])
def pair_open(request: StaffRequest, uuid: UUID) -> HttpResponse:
    prescription = prescription_for(request.user, uuid)
    now = timezone.now()
    is_new = prescription.work == WorkKind.NEW
    usual = {
        "promised_day": timezone.localdate(now) + timedelta(weeks=USUAL_WEEKS[WorkKind(prescription.work)]),
        "rough_fitting": is_new,
    }
    form = OpenForm(request.POST or None, initial=usual)
    if request.method == "POST" and form.is_valid():
        entered = form.cleaned_data
        pair = _done_by(form, lambda: actions.open_pair(prescription, **entered, by=request.user, at=now))
        if pair is not None:
            messages.success(request, f"Pair {pair.number} is on the bench.")
            return done("pair-bench", pair.uuid)
    context = {"form": form, "prescription": prescription, "heading": "Open the pair on the bench"}
    return render(request, "bench/open.html", context, status=422 if form.is_bound else 200)


@allowed(*SIGNERS)
@require_http_methods(["GET", "HEAD", "POST"])
def pair_repeat(request: StaffRequest, uuid: UUID) -> HttpResponse:
    pair = pair_or_404(uuid)
    now = timezone.now()
    usual = {
        "promised_day": timezone.localdate(now) + timedelta(weeks=USUAL_WEEKS[WorkKind.REPEAT]),
        "rough_fitting": fitting_is_wanted(pair, at=now),
    }
    form = OpenForm(request.POST or None, initial=usual)
    if request.method == "POST" and form.is_valid():
        entered = form.cleaned_data
        again = _done_by(form, lambda: actions.repeat_pair(pair, **entered, by=request.user, at=now))
        if again is not None:
            messages.success(request, f"Pair {again.number} is on the bench.")
            return done("pair-bench", again.uuid)
    context = {"form": form, "pair": pair, "heading": f"Make pair {pair.number} once more"}
    return render(request, "bench/open.html", context, status=422 if form.is_bound else 200)


@allowed(*TAKE_IN)
@require_http_methods(["GET", "HEAD", "POST"])
def repair_open(request: StaffRequest, uuid: UUID) -> HttpResponse:
    now = timezone.now()
    patient = patient_for(request.user, uuid, at=now)
    usual = {"promised_day": timezone.localdate(now) + timedelta(weeks=USUAL_WEEKS[WorkKind.REPAIR])}
    form = RepairForm(request.POST or None, initial=usual)
    if request.method == "POST" and form.is_valid():
        entered = form.cleaned_data
        pair = _done_by(
            form,
            lambda: actions.open_repair(
                patient,
                description=entered["description"],
                feet=entered["feet"],
                jobs=entered["jobs"],
                heights_to_restore=form.heights(),
                promised_day=entered["promised_day"],
                by=request.user,
                at=now,
            ),
        )
        if pair is not None:
            messages.success(request, f"Pair {pair.number} is taken in for repair.")
            return done("client", patient.uuid)
    context = {"form": form, "patient": patient}
    return render(request, "bench/repair.html", context, status=422 if form.is_bound else 200)


@allowed(*TAKE_IN)
@require_http_methods(["GET", "HEAD", "POST"])
def promise_again(request: StaffRequest, uuid: UUID) -> HttpResponse:
    pair = pair_or_404(uuid)
    form = PromiseForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        promise = _done_by(
            form, lambda: actions.promise_again(pair, **form.cleaned_data, by=request.user, at=timezone.now())
        )
        if promise is not None:
            messages.success(request, f"Pair {pair.number} is promised for {in_words(promise.day)}.")
            return done("pair", pair.uuid)
    context = {"form": form, "pair": pair, "promises": pair.promises.select_related("by")}
    return render(request, "bench/promise.html", context, status=422 if form.is_bound else 200)


@allowed(*READERS)
@require_http_methods(["GET", "HEAD", "POST"])
def pair_weigh(request: StaffRequest, uuid: UUID) -> HttpResponse:
    pair = pair_or_404(uuid)
    form = WeighForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        _done_by(
            form,
            lambda: actions.weigh_pair(pair, weighed_g=form.weighed_g(), by=request.user, at=timezone.now()),
        )
        if not form.errors:
            messages.success(request, f"The weight of pair {pair.number} is on record.")
            return done("pair", pair.uuid)
    context = {"form": form, "pair": pair, "weighed": weighed_shoes(pair.uuid)}
    return render(request, "bench/weigh.html", context, status=422 if form.is_bound else 200)


@allowed("clinician", "manager")
@require_http_methods(["GET", "HEAD", "POST"])
def pair_give_up(request: StaffRequest, uuid: UUID) -> HttpResponse:
    pair = pair_or_404(uuid)
    form = GiveUpForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        actions.give_up_pair(pair, why=form.cleaned_data["why"], by=request.user, at=timezone.now())
        return done("pair", pair.uuid)
    return render(request, "bench/give_up.html", {"form": form, "pair": pair}, status=422 if form.is_bound else 200)


@allowed("clinician", "manager")
@require_safe
def differences(request: StaffRequest) -> HttpResponse:
    context = {
        "differences": queries.open_differences(),
        "form": AcceptForm(),
        "accepts": may_accept_differences(request.user),
        "here": True,
    }
    return render(request, "bench/differences.html", context)


@allowed(*READERS)
@require_POST
def difference_settle(request: StaffRequest, uuid: UUID) -> HttpResponse:
    difference = difference_or_404(uuid)
    state = request.POST.get("state", "")
    if state not in (DifferenceState.ACCEPTED, DifferenceState.UNDONE):
        raise Refused("Say whether it is accepted or made again.")
    because = request.POST.get("because", "")
    actions.settle_difference(difference, state=state, because=because, by=request.user, at=timezone.now())
    if "here" in request.POST:
        messages.success(request, "Settled.")
        return done("differences")
    return done("pair-bench", difference.pair.uuid)
