"""One last: how it is, what it must become, what is altered on it, who agreed it."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.lasts import actions, permissions, queries
from cases.lasts.drawings.last_profile import profile_drawing
from cases.lasts.forms import AlterForm, MeasureLastForm, ReadingsForm, WorkedPatchesForm
from cases.lasts.models import Last
from cases.lasts.queries.shapes import last_drawn
from shared.calculations import BadInput
from shared.fragments import done
from shared.permissions import allowed
from shared.refusals import Refused
from shared.sides import Side
from shared.versions import Stale, stale_rows
from workshop.staff.requests import StaffRequest


@allowed(*permissions.READS)
@require_safe
def last(request: StaffRequest, uuid: UUID) -> HttpResponse:
    return render(request, "lasts/last.html", _page_of(request, permissions.last(uuid)))


def _page_of(request: StaffRequest, found: Last) -> dict[str, Any]:
    agreements = sorted(found.agreements.all(), key=lambda each: each.last_version, reverse=True)
    findings = queries.live_findings_of_the_foot(found)
    patches = list(queries.patches_of(found))
    return {
        "last": found,
        "fellow_side": Side(found.side).other,
        "agreements": agreements,
        "is_agreed": any(each.last_version == found.version for each in agreements),
        "sizes": queries.sizes_of_a_last(found),
        "drawn": last_drawn(found),
        "alignment": queries.alignment_of(found),
        "read": queries.readings_of(found),
        "patches": patches,
        "any_planned": any(patch.done_at is None and patch.removed_at is None for patch in patches),
        "bottom": queries.bottom_of(found),
        "deformities": queries.deformities(findings),
        "may_handle": permissions.may_handle_lasts(request.user),
        **_shaped(found, findings, patches),
    }


def _shaped(found: Last, findings: list[Any], patches: list[Any]) -> dict[str, Any]:
    """The last against its target, with the drawing of the layer along it; why not, where that cannot be."""
    target = queries.latest_target(found) if found.owner_id else None
    if target is None:
        return {"shaped": None}
    try:
        shaped = queries.shape_of(found, target, findings=findings, patches=patches)
    except BadInput as error:
        return {"shaped": None, "target": target, "cannot": str(error)}
    drawing = profile_drawing(shaped.alteration, side=Side(found.side), length_mm=float(found.length_mm))
    return {"shaped": shaped, "target": target, "profile": drawing}


@allowed(*permissions.HANDLES_LASTS)
@require_POST
def last_agree(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = permissions.last(uuid)
    actions.agree_last(found, seen_version=seen_version(request), by=request.user, at=timezone.now())
    return done("last", found.uuid)


@allowed(*permissions.HANDLES_LASTS)
@require_http_methods(["GET", "HEAD", "POST"])
def last_alter(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = permissions.last(uuid)
    sent = request.POST if request.method == "POST" else None
    form = AlterForm(sent, initial=AlterForm.as_it_is(found))
    work = WorkedPatchesForm(sent, last=found, patches=list(queries.patches_of(found)), prefix="patches")
    readings = ReadingsForm(sent, prefix="after")
    context: dict[str, Any] = {
        "form": form,
        "work": work,
        "readings": readings,
        "last": found,
        "seen_version": found.version,
    }
    status = 200
    if request.method == "POST":
        status, seen = 422, seen_version(request)
        context["seen_version"] = seen
        if all([form.is_valid(), work.is_valid(), readings.is_valid()]):
            try:
                actions.alter_last(
                    found,
                    seen_version=seen,
                    **form.entered,
                    patches_done=work.cleaned_data["done"],
                    patches_off=work.cleaned_data["off"],
                    measured=readings.readings,
                    by=request.user,
                    at=timezone.now(),
                )
            except Stale as stale:
                status = stale.status
                context |= _stale(stale, form)
            except Refused as refused:
                form.add_error(None, refused.message)
                status = refused.status
            else:
                return done("last", found.uuid)
    return render(request, "lasts/last_alter.html", context, status=status)


@allowed(*permissions.HANDLES_LASTS)
@require_http_methods(["GET", "HEAD", "POST"])
def last_measure(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = permissions.last(uuid)
    form = MeasureLastForm(request.POST if request.method == "POST" else None)
    context: dict[str, Any] = {"form": form, "last": found, "seen_version": found.version}
    status = 200
    if request.method == "POST":
        status, seen = 422, seen_version(request)
        context["seen_version"] = seen
        if form.is_valid():
            try:
                measured = actions.measure_last(
                    found, seen_version=seen, measured=form.readings, by=request.user, at=timezone.now()
                )
            except Stale as stale:
                status = stale.status
                context |= _stale(stale, form)
            except Refused as refused:
                form.add_error(None, refused.message)
                status = refused.status
            else:
                _say(request, measured)
                return done("last", found.uuid)
    return render(request, "lasts/last_measure.html", context, status=status)


def _say(request: StaffRequest, measured: actions.Remeasured) -> None:
    if measured.beyond:
        messages.warning(request, f"A new state, to be agreed again: {'; '.join(measured.beyond)}.")
    else:
        messages.success(request, "Measured. What was recorded before stands.")


def _stale(stale: Stale, form: AlterForm | MeasureLastForm) -> dict[str, Any]:
    """What somebody else saved beside what was typed here; a measure that was not taken says nothing."""
    rows = stale_rows(stale, form)
    if isinstance(form, MeasureLastForm):
        rows = [(label, theirs, yours) for label, theirs, yours in rows if yours]
    return {"stale": stale, "stale_rows": rows, "seen_version": stale.current.version}


def seen_version(request: StaffRequest) -> int:
    """The state of the last that the form showed. Raises `Refused`."""
    typed = request.POST.get("seen_version", "")
    if not (typed.isascii() and typed.isdigit() and len(typed) < 10):
        raise Refused("This form does not say which state of the last it shows. Load the page again.")
    return int(typed)
