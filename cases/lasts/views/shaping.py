"""What a last must become, the patches on it, its bottom against the cast, its deformities."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from cases.lasts import actions, permissions, queries
from cases.lasts.alteration import LEAVE
from cases.lasts.forms.shaping import BottomForm, DeformitiesForm, PatchForm, TargetForm
from cases.lasts.models import Last, LastPatch, MeasureSet
from cases.lasts.views.lasts import seen_version
from shared.calculations import BadInput
from shared.fragments import done
from shared.permissions import allowed
from shared.refusals import Refused
from shared.sides import Side
from shared.versions import Stale
from workshop.staff.requests import StaffRequest

SHOWN = ["GET", "HEAD", "POST"]


@allowed(*permissions.HANDLES_LASTS)
@require_http_methods(SHOWN)
def last_target(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = permissions.last(uuid)
    if found.owner is None:
        raise Refused("A target is set for a client's last. A stock last has none.")
    lasts = queries.both_of(found)
    form = TargetForm(
        request.POST if request.method == "POST" else None,
        lasts=lasts,
        sittings=MeasureSet.objects.filter(patient=found.owner).order_by("-taken_at", "-pk"),
        earlier=queries.latest_targets(lasts),
    )
    context: dict[str, Any] = {"form": form, "last": found}
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            try:
                actions.set_last_targets(form.feet, **form.same, by=request.user, at=timezone.now())
            except Stale as stale:
                status = stale.status
                context |= {"stale": stale, "stale_rows": form.beside(stale.current)}
                form.seen[Side(stale.current.last.side)] = str(stale.current.uuid)
            except Refused as refused:
                form.add_error(None, refused.message)
                status = refused.status
            else:
                return done("last", found.uuid)
    return render(request, "lasts/last_target.html", context, status=status)


@allowed(*permissions.HANDLES_LASTS)
@require_http_methods(SHOWN)
def last_patch_new(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = permissions.last(uuid)
    if request.method == "POST":
        form, status = PatchForm(request.POST), 422
        if form.is_valid():
            try:
                patch = actions.plan_patch(found, **form.cleaned_data, by=request.user, at=timezone.now())
            except Refused as refused:
                form.add_error(None, refused.message)
                status = refused.status
            else:
                if beyond := queries.said_of_patch(patch, on=timezone.localdate()):
                    messages.warning(request, beyond)
                return done("last", found.uuid)
    else:
        form, status = PatchForm(initial=_from_target(found, request.GET.get("station", ""))), 200
    return render(request, "lasts/last_patch.html", {"form": form, "last": found}, status=status)


def _from_target(found: Last, station: str) -> dict[str, Any]:
    """What the form begins with: the work that the target asks for at a station."""
    target = queries.latest_target(found) if station else None
    if target is None:
        return {}
    try:
        shaped = queries.shape_of(found, target)
    except BadInput:
        return {}
    for work in shaped.alteration.stations:
        if work.key == station and work.work != LEAVE:
            return {
                "work": work.work,
                "station": station,
                "place": f"over the {work.label}",
                "height_mm": f"{work.bench_mm:g}",
                "feather_mm": f"{shaped.feather_mm:g}",
            }
    return {}


@allowed(*permissions.HANDLES_LASTS)
@require_POST
def last_patch_drop(request: StaffRequest, uuid: UUID) -> HttpResponse:
    patch = LastPatch.objects.select_related("last").filter(uuid=uuid).first()
    if patch is None:
        raise Http404
    actions.drop_patch(patch, by=request.user, at=timezone.now())
    return done("last", patch.last.uuid)


@allowed(*permissions.HANDLES_LASTS)
@require_http_methods(SHOWN)
def last_bottom(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = permissions.last(uuid)
    form = BottomForm(request.POST if request.method == "POST" else None)
    context: dict[str, Any] = {"form": form, "last": found, "seen_version": found.version}
    status = 200
    if request.method == "POST":
        status, seen = 422, seen_version(request)
        context["seen_version"] = seen
        if form.is_valid():
            try:
                actions.check_bottom(
                    found,
                    seen=form.seen,
                    by_gauge=form.cleaned_data["by_gauge"] == "gauge",
                    seen_version=seen,
                    by=request.user,
                    at=timezone.now(),
                )
            except Refused as refused:
                form.add_error(None, refused.message)
                status = refused.status
            else:
                return done("last", found.uuid)
    return render(request, "lasts/last_bottom.html", context, status=status)


@allowed(*permissions.HANDLES_LASTS)
@require_http_methods(SHOWN)
def last_deformities(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = permissions.last(uuid)
    form = DeformitiesForm(
        request.POST if request.method == "POST" else None,
        findings=queries.deformities(queries.live_findings_of_the_foot(found)),
    )
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            try:
                with transaction.atomic():
                    for finding, said in form.answers:
                        actions.handle_deformity(found, finding=finding, **said, by=request.user, at=timezone.now())
            except Refused as refused:
                form.add_error(None, refused.message)
                status = refused.status
            else:
                return done("last", found.uuid)
    return render(request, "lasts/last_deformities.html", {"form": form, "last": found}, status=status)
