"""The last maker's sheet: both lasts of a number on A4, what each must become and what is done on it."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.conf import settings
from django.http import Http404, HttpResponse
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from cases.lasts import permissions, queries
from cases.lasts.drawings.last_profile import ProfileDrawing, profile_drawing
from cases.lasts.models import BottomCheck, Last, LastPatch
from cases.lasts.queries.shapes import LastDrawn, last_drawn
from cases.patients.kept_papers import Draft, print_once
from cases.patients.models import Finding, Paper, PaperKind
from shared.calculations import BadInput
from shared.fragments import done
from shared.papers.qr import qr_svg
from shared.permissions import allowed
from shared.refusals import Refused
from shared.sides import SIDES, Side
from workshop.staff.models import Person
from workshop.staff.requests import StaffRequest

MOST_PAGES = 1


@dataclass(frozen=True)
class LastHalf:
    """One foot's half of the sheet. `last` is None where there is none under this number."""

    side: Side
    last: Last | None = None
    is_agreed: bool = False
    shaped: queries.Shaped | None = None
    cannot: str = ""
    drawn: LastDrawn | None = None
    profile: ProfileDrawing | None = None
    alignment: Sequence[tuple[str, str]] = ()
    patches: Sequence[LastPatch] = ()
    bottom: Sequence[BottomCheck] = ()
    deformities: Sequence[Finding] = ()


@allowed(*permissions.READS)
@require_POST
def last_sheet_print(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = Last.objects.filter(uuid=uuid).select_related("owner").first()
    if found is None:
        raise Http404
    return done("paper", print_last_sheet(found, by=request.user, at=timezone.now()).uuid)


def print_last_sheet(last: Last, *, by: Person, at: datetime) -> Paper:
    """The sheet of a last and its fellow, kept. Raises `Refused` for a stock last: a paper is kept with its client."""
    return print_once(draft_of(last), by=by, at=at)


def draft_of(last: Last) -> Draft:
    """What the sheet of a last and its fellow says now."""
    if last.owner is None:
        raise Refused("A sheet is printed for a client's lasts.")
    lasts = queries.both_of(last)
    first = lasts[0]
    address = settings.PUBLIC_ADDRESS + reverse("last", args=[first.uuid])
    return Draft(
        patient=last.owner,
        kind=PaperKind.LAST_SHEET,
        title=f"Last maker's sheet, last {last.number}",
        template="papers/last_sheet.html",
        about_uuid=first.uuid,
        pair_uuid=None,
        most_pages=MOST_PAGES,
        context={
            "number": last.number,
            "patient": last.owner,
            "halves": [_half(side, lasts) for side in SIDES],
            "address": address,
            "qr": qr_svg(address, words=f"QR code that opens last {last.number} on a terminal"),
        },
    )


def _half(side: Side, lasts: Sequence[Last]) -> LastHalf:
    last = next((each for each in lasts if each.side == side), None)
    if last is None:
        return LastHalf(side)
    findings = queries.live_findings_of_the_foot(last)
    patches = list(queries.patches_of(last))
    shaped, cannot = _shaped(last, findings, patches)
    return LastHalf(
        side=side,
        last=last,
        is_agreed=last.agreements.filter(last_version=last.version).exists(),
        shaped=shaped,
        cannot=cannot,
        drawn=last_drawn(last),
        profile=profile_drawing(shaped.alteration, side=side, length_mm=float(last.length_mm)) if shaped else None,
        alignment=queries.alignment_of(last),
        patches=[each for each in patches if each.removed_at is None],
        bottom=queries.bottom_of(last),
        deformities=queries.deformities(findings),
    )


def _shaped(last: Last, findings: Sequence[Finding], patches: Sequence[LastPatch]) -> tuple[queries.Shaped | None, str]:
    target = queries.latest_target(last)
    if target is None:
        return None, "no target set"
    try:
        return queries.shape_of(last, target, findings=findings, patches=patches), ""
    except BadInput as error:
        return None, str(error)
