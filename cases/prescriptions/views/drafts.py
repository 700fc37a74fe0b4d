"""The page of a draft: written on, kept at every change, saved."""

from collections.abc import Callable
from functools import cache, partial
from typing import Any
from uuid import UUID

from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from cases.prescriptions import actions, completeness, permissions, queries
from cases.prescriptions.forms import Extent, Sheet
from cases.prescriptions.given import SheetSettings, sheet_settings
from cases.prescriptions.models import Prescription, PrescriptionStatus
from cases.prescriptions.panel import Day, Panel, day_of, panel_of
from cases.prescriptions.views.common import LOAD_AGAIN, prescribed_for, seen_version
from shared.fragments import done
from shared.once import repeatable
from shared.permissions import allowed
from shared.refusals import Refused
from shared.versions import Stale
from workshop.staff.requests import StaffRequest

COPIES = {"copy-left": "left", "copy-right": "right"}
SECTIONS = {"the-pair", "visible", "closed-in", "underfoot"}


def sheet_of(
    version: Prescription,
    *,
    day: Callable[[], Day],
    request: StaffRequest | None = None,
    only: Extent | None = None,
    touched: Extent | None = None,
) -> Sheet:
    def settings() -> SheetSettings:
        return sheet_settings(day().known)

    return Sheet(version, settings=settings, data=request.POST if request else None, only=only, touched=touched)


def draft_page(
    request: StaffRequest, version: Prescription, *, stale: Stale | None = None, status: int = 200
) -> HttpResponse:
    """The form as it was sent, or of what is saved, beside what is saved: drawn, worked out and asked about."""
    day = day_of(timezone.localdate())
    panel = panel_of(version, day=day)
    # Where somebody saved meanwhile, what was not written on here is theirs: it would be sent back as it was before.
    touched = extent_sent(request, "touched") if stale else None
    sent = request if request.method == "POST" else None
    sheet = sheet_of(version, day=lambda: day, request=sent, touched=touched)
    if sheet.data is not None:
        sheet.is_valid()
    context: dict[str, Any] = (
        prescribed_for(version, panel.background)
        | beside(panel, shows_all=True)
        | {
            "prescription": version,
            "sheet": sheet,
            "errors": sheet.errors(),
            "stale": stale,
            "stale_rows": sheet.rows_against_saved() if stale else [],
            "touched": request.POST.get("touched", ""),
            "missing": completeness.missing(version),
            "seen_version": version.version if status in {200, 409} else request.POST.get("seen_version"),
        }
    )
    return render(request, "prescriptions/draft.html", context, status=status)


def save(request: StaffRequest, version: Prescription) -> HttpResponse:
    """The whole page, sent with a button: all of it is saved, or nothing."""
    _refuse_unless_draft(version)
    sheet = sheet_of(version, day=_today(), request=request)
    if not sheet.is_valid():
        return draft_page(request, version, status=422)
    then, at = request.POST.get("then", ""), timezone.now()
    try:
        saved = actions.save_draft(
            version,
            seen_version=seen_version(request, version),
            fields=sheet.fields(by=request.user),
            parts=sheet.parts(),
            by=request.user,
            at=at,
        )
        if then in COPIES:
            actions.copy_foot(saved, seen_version=saved.version, of=COPIES[then], by=request.user, at=at)
    except Stale as stale:
        # What was sent is kept, beside what somebody else saved meanwhile.
        return draft_page(request, queries.whole(version.uuid), stale=stale, status=409)
    if then == "sign":
        return done("prescription-sign", version.uuid)
    address = reverse("prescription", args=[version.uuid])
    return HttpResponseRedirect(address + (f"#{then}" if then in SECTIONS else ""), status=303)


def _today() -> Callable[[], Day]:
    """The figures of today, read once, when they are first asked for."""
    return cache(partial(day_of, timezone.localdate()))


def _refuse_unless_draft(version: Prescription) -> None:
    if version.status != PrescriptionStatus.DRAFT:
        raise Refused(f"This version is {version.get_status_display()}: it is not changed. Write a new version.")


@allowed(*permissions.WRITERS)
@require_POST
def prescription_keep(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """Save what can be saved at every change, and say beside the rest why it waits."""
    version = permissions.prescription_for(request.user, uuid, write=True)
    _refuse_unless_draft(version)
    day, only, measures = _today(), extent_sent(request, "changed"), version.measure_set_id
    sheet = sheet_of(version, day=day, request=request, only=only)
    sheet.is_valid()
    saved = actions.save_draft(
        version,
        seen_version=seen_version(request, version),
        fields=sheet.fields(by=request.user),
        parts=sheet.parts_that_can_be(),
        by=request.user,
        at=timezone.now(),
    )
    fresh = sheet_of(saved, day=day, only=only.on_both_feet() if only else None)
    context = {
        "prescription": saved,
        "sheet": fresh,
        "errors": sheet.errors(),
        "settled": fresh.settled_otherwise(sheet),
        "shows_other_feet": fresh.feet.keys() != sheet.feet.keys() or saved.measure_set_id != measures,
        "missing": completeness.missing(saved),
    }
    return render(request, "prescriptions/_kept.html", context)


@allowed(*permissions.WRITERS)
@require_safe
def prescription_panel(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """What stands beside a draft, worked out anew from what is saved; what a page has folded away only where it asks.

    Apart from the saving: nobody waits for a drawing to be told that a figure is saved, nor is a draft locked meanwhile.
    """
    version = permissions.prescription_for(request.user, uuid, write=True, behind_notes=True)
    _refuse_unless_draft(version)
    context = {"prescription": version} | beside(
        panel_of(version, day=day_of(timezone.localdate())), shows_all="all" in request.GET
    )
    return render(request, "prescriptions/_panel.html", context)


def extent_sent(request: StaffRequest, name: str) -> Extent | None:
    """How much of the page is meant; None for all of it. Raises `Refused` where the page's words for it are not ours."""
    try:
        return Extent.read(request.POST[name]) if name in request.POST else None
    except ValueError as error:
        raise Refused(LOAD_AGAIN) from error


@allowed(*permissions.WRITERS)
@require_POST
@repeatable
def prescription_open(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """A page says that the draft is open on it, and is told who else has it open, and whether it was saved since."""
    version = permissions.prescription_for(request.user, uuid, write=True)
    others = actions.be_present(version, by=request.user, at=timezone.now())
    return render(request, "prescriptions/_present.html", {"prescription": version, "others": others})


def beside(panel: Panel, *, shows_all: bool) -> dict[str, Any]:
    """What stands beside the form: the drawing, the figures and the notes."""
    return {
        "panel": panel,
        "cut_aways": panel.cut_aways,
        "asked": panel.asked,
        "may_answer": True,
        "shows_all": shows_all,
    }
