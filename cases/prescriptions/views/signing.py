"""The page on which a draft is read once more and signed."""

import hashlib
from collections.abc import Sequence
from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from cases.prescriptions import actions, completeness, permissions
from cases.prescriptions.models import Prescription, PrescriptionStatus
from cases.prescriptions.notes.answers import Asked
from cases.prescriptions.panel import day_of, panel_of
from cases.prescriptions.views.common import as_read, prescribed_for, seen_version
from shared.fragments import done
from shared.permissions import allowed
from shared.refusals import Refused
from shared.versions import Stale
from workshop.staff.requests import StaffRequest

Versions = tuple[Prescription, Prescription | None]
"""A version, and the one it follows."""


@allowed(*permissions.WRITERS)
@require_http_methods(["GET", "HEAD", "POST"])
def prescription_sign(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """Everything once more, with open red flags first; one touch signs it.

    Notes without an answer are listed, and the touch says which list was before one's eyes: of another list nothing is
    signed, the page then lists what is asked now.
    """
    versions = permissions.versions_for(request.user, uuid, write=True)
    version, _ = versions
    if request.method == "POST":
        seen = seen_version(request, version)
        # Of a draft that changed meanwhile nothing is asked: signing says so.
        if seen == version.version and request.POST.get("notes_read", "") != mark_of(unanswered(version)):
            return _sign_page(request, versions, is_another_list=True)
        try:
            actions.sign_prescription(version, seen_version=seen, by=request.user, at=timezone.now())
        except (actions.Incomplete, Stale) as refused:
            return _sign_page(request, permissions.versions_for(request.user, uuid), refused=refused)
        return done("prescription", uuid)
    if version.status != PrescriptionStatus.DRAFT:
        return done("prescription", uuid)
    return _sign_page(request, versions)


def unanswered(version: Prescription) -> Sequence[Asked]:
    """The notes on what is saved that nobody answered yet."""
    if version.status != PrescriptionStatus.DRAFT:
        return ()
    return panel_of(version, day=day_of(timezone.localdate())).unanswered


def mark_of(asked: Sequence[Asked]) -> str:
    """What tells one list of notes from another; empty for an empty list."""
    words = [(each.note.rule, str(each.note.side), each.note.sentence) for each in asked]
    return hashlib.sha256(repr(words).encode()).hexdigest() if words else ""


def _sign_page(
    request: StaffRequest, versions: Versions, *, refused: Refused | None = None, is_another_list: bool = False
) -> HttpResponse:
    version, earlier = versions
    panel = panel_of(version, day=day_of(timezone.localdate()), earlier=earlier)
    context: dict[str, Any] = (
        as_read(version, earlier, drawn=panel)
        | prescribed_for(version, panel.background)
        | {
            "missing": completeness.missing(version),
            "is_stale": isinstance(refused, Stale),
            "is_another_list": is_another_list,
            "asked": panel.unanswered,
            "notes_read": mark_of(panel.unanswered),
        }
    )
    status = refused.status if refused else 422 if is_another_list else 200
    return render(request, "prescriptions/sign.html", context, status=status)
