"""The page of a draft: written on, kept at every change, saved."""

from typing import Any
from uuid import UUID

from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from cases.prescriptions import actions, completeness, permissions, queries
from cases.prescriptions.forms import Sheet
from cases.prescriptions.given import sheet_settings
from cases.prescriptions.models import Prescription, PrescriptionStatus
from cases.prescriptions.panel import Day, Panel, day_of, panel_of
from cases.prescriptions.views.common import found, seen_version
from shared.fragments import done
from shared.once import repeatable
from shared.permissions import allowed
from shared.refusals import Refused
from shared.versions import Stale
from workshop.staff.requests import StaffRequest

COPIES = {"copy-left": "left", "copy-right": "right"}
SECTIONS = {"the-pair", "visible", "closed-in", "underfoot"}


def sheet_of(version: Prescription, *, day: Day, request: StaffRequest | None = None) -> Sheet:
    return Sheet(version, settings=sheet_settings(day.known), data=request.POST if request else None)


def today() -> Day:
    return day_of(timezone.localdate())


def draft_page(
    request: StaffRequest, version: Prescription, *, stale: Stale | None = None, status: int = 200
) -> HttpResponse:
    """The form as it was sent, or of what is saved, beside what is saved: drawn, worked out and asked about."""
    day, about = today(), found(version.patient)
    sheet = sheet_of(version, day=day, request=request if request.method == "POST" else None)
    if sheet.data is not None:
        sheet.is_valid()
    context: dict[str, Any] = (
        about
        | beside(panel_of(version, day=day, findings=about["findings"], allergies=about["allergies"]))
        | {
            "prescription": version,
            "sheet": sheet,
            "errors": sheet.errors(),
            "stale": stale,
            "stale_rows": sheet.rows_against_saved() if stale else [],
            "missing": completeness.missing(version),
            "seen_version": version.version if status in {200, 409} else request.POST.get("seen_version"),
        }
    )
    return render(request, "prescriptions/draft.html", context, status=status)


def save(request: StaffRequest, version: Prescription) -> HttpResponse:
    """The whole page, sent with a button: all of it is saved, or nothing."""
    _refuse_unless_draft(version)
    sheet = sheet_of(version, day=today(), request=request)
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


def _refuse_unless_draft(version: Prescription) -> None:
    if version.status != PrescriptionStatus.DRAFT:
        raise Refused(f"This version is {version.get_status_display()}: it is not changed. Write a new version.")


@allowed(*permissions.WRITERS)
@require_POST
def prescription_keep(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """Save what can be saved at every change, and say beside the rest why it waits."""
    version = permissions.prescription_for(request.user, uuid, write=True)
    _refuse_unless_draft(version)
    day, at = today(), timezone.now()
    sheet = sheet_of(version, day=day, request=request)
    sheet.is_valid()
    actions.save_draft(
        version,
        seen_version=seen_version(request, version),
        fields=sheet.fields(by=request.user),
        parts=sheet.parts_that_can_be(),
        by=request.user,
        at=at,
    )
    saved = queries.whole(uuid)
    fresh = sheet_of(saved, day=day)
    context = {
        "prescription": saved,
        "sheet": fresh,
        "errors": sheet.errors(),
        "settled": fresh.settled_otherwise(sheet),
        "shows_other_feet": fresh.feet.keys() != sheet.feet.keys() or saved.measure_set_id != version.measure_set_id,
        "missing": completeness.missing(saved),
        "others": actions.be_present(saved, by=request.user, at=at),
    }
    return render(request, "prescriptions/_kept.html", context | beside(panel_of(saved, day=day)))


@allowed(*permissions.WRITERS)
@require_POST
@repeatable
def prescription_open(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """A page says that the draft is open on it, and is told who else has it open, and whether it was saved since."""
    version = permissions.prescription_for(request.user, uuid, write=True)
    others = actions.be_present(version, by=request.user, at=timezone.now())
    return render(request, "prescriptions/_present.html", {"prescription": version, "others": others})


def beside(panel: Panel) -> dict[str, Any]:
    """What stands beside the form: the drawing, the figures and the notes."""
    return {"panel": panel, "cut_aways": panel.cut_aways, "asked": panel.asked, "may_answer": True}
