"""Scans: the file that comes, how it lies, what it says, and what is taken of it."""

import hashlib
from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.lasts import permissions
from cases.lasts.actions.scans import add_scan, place_scan, take_measures
from cases.lasts.drawings.scans import scan_drawings
from cases.lasts.forms.scans import TURNS, PlaceForm, ScanForm
from cases.lasts.models import Cast, Scan
from cases.lasts.queries.casts import casts_to_work_from
from cases.lasts.queries.scans import fellow_scan, last_by_hand, scan_rows
from cases.patients.queries import head_of_record
from shared.fragments import done
from shared.permissions import allowed
from shared.refusals import Refused
from shared.sides import Side
from workshop.staff.requests import StaffRequest


@allowed(*permissions.MEASURES)
@require_http_methods(["GET", "HEAD", "POST"])
def scan_new(request: StaffRequest, uuid: UUID) -> HttpResponse:
    at = timezone.now()
    patient = permissions.patient_to_measure(request.user, uuid, at=at)
    casts = casts_to_work_from(patient)
    form = ScanForm(
        request.POST if request.method == "POST" else None,
        request.FILES if request.method == "POST" else None,
        initial={"made_on": timezone.localdate(at), **_of_the_cast(request.GET.get("cast", ""), list(casts))},
        casts=casts,
    )
    status = 200
    if request.method == "POST":
        status = 422
        if form.is_valid():
            try:
                scan = add_scan(patient, **form.cleaned_data, by=request.user, at=at)
            except Refused as refused:
                form.add_error("file", refused.message)
                status = refused.status
            else:
                return done("scan", scan.uuid)
    context = {"form": form, **head_of_record(request.user, patient, at=at)}
    return render(request, "lasts/scan_new.html", context, status=status)


def _of_the_cast(asked: str, casts: list[Cast]) -> dict[str, Any]:
    """What is known beforehand of a scan of this cast."""
    cast = next((cast for cast in casts if str(cast.uuid) == asked), None)
    if cast is None:
        return {}
    return {"cast": cast.uuid, "side": cast.side, "load": cast.load, "heel_height_mm": cast.heel_height_mm}


@allowed(*permissions.READS)
@require_safe
def scan(request: StaffRequest, uuid: UUID) -> HttpResponse:
    return _page(request, permissions.scan(uuid))


def _page(request: StaffRequest, found: Scan, form: PlaceForm | None = None, *, status: int = 200) -> HttpResponse:
    side = Side(found.side)
    fellow = None if found.taken_as else fellow_scan(found)
    by_hand = last_by_hand(found.patient)
    may_measure = permissions.may_measure(request.user)
    context = {
        "scan": found,
        "patient": found.patient,
        "drawings": scan_drawings(found.measured, side),
        "placing": found.measured["placing"],
        "form": form or PlaceForm(placed=found.placed, placing=found.measured["placing"]),
        "turns": TURNS,
        "fellow": fellow,
        "by_hand": by_hand,
        "by_hand_differs": by_hand is not None
        and (by_hand.load, by_hand.heel_height_mm) != (found.load, found.heel_height_mm),
        "rows": scan_rows([found, fellow] if fellow else [found], by_hand),
        "may_measure": may_measure,
        "may_take": may_measure and found.taken_as is None,
    }
    return render(request, "lasts/scan.html", context, status=status)


@allowed(*permissions.MEASURES)
@require_POST
def scan_place(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = permissions.scan(uuid)
    seen_version = _version(request.POST.get("seen_version", ""))
    form = PlaceForm(request.POST, placed=found.placed, placing=found.measured["placing"])
    if not form.is_valid():
        return _page(request, found, form, status=422)
    try:
        place_scan(found, seen_version=seen_version, placed=form.placed, by=request.user, at=timezone.now())
    except Refused as refused:
        form.add_error(None, refused.message)
        # Read again: somebody else may have laid it meanwhile.
        return _page(request, permissions.scan(uuid), form, status=refused.status)
    return done("scan", found.uuid)


@allowed(*permissions.MEASURES)
@require_POST
def scan_take(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = permissions.scan(uuid)
    scans = {found: _version(request.POST.get("seen_version", ""))}
    if seen_fellow := request.POST.get("seen_fellow"):
        fellow = fellow_scan(found)
        if fellow is None:
            raise Refused("The scan of the other foot no longer waits with this one. Load the page again.")
        scans[fellow] = _version(seen_fellow)
    chosen = [tuple(each.split(":", 1)) for each in request.POST.getlist("take")]
    pairs = [(each[0], each[1]) for each in chosen if len(each) == 2]
    taken = take_measures(scans, chosen=pairs, by=request.user, at=timezone.now())
    return done("measures", taken.uuid)


def _version(typed: str) -> int:
    if not (typed.isascii() and typed.isdigit() and len(typed) < 10):
        raise Refused("This form does not say which state of the scan it shows. Load the page again.")
    return int(typed)


@allowed(*permissions.READS)
@require_safe
def scan_file(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """The file exactly as it came; refused where it is not that any more."""
    found = permissions.scan(uuid)
    contents = bytes(found.file)
    if hashlib.sha256(contents).hexdigest() != found.sha256:
        raise Refused("This file is damaged: it is no longer what came. Nothing of it is given out.")
    response = HttpResponse(contents, content_type=f"model/{found.format}")
    name = f"scan-{found.patient.record_number}-{found.side}-{found.made_on:%Y-%m-%d}.{found.format}"
    response["Content-Disposition"] = f'attachment; filename="{"".join(c for c in name if c.isalnum() or c in "-._")}"'
    return response
