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
from cases.prescriptions.answers import answers_to
from cases.prescriptions.models import Prescription, PrescriptionStatus
from cases.prescriptions.notes.answers import Asked, with_answers
from cases.prescriptions.panel import panel_of
from cases.prescriptions.views.common import found, in_words, seen_version
from shared.fragments import done
from shared.permissions import allowed
from shared.refusals import Refused
from shared.versions import Stale
from workshop.staff.requests import StaffRequest


@allowed(*permissions.WRITERS)
@require_http_methods(["GET", "HEAD", "POST"])
def prescription_sign(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """Everything once more, with open red flags first; one touch signs it.

    Where notes are not answered, that touch lists them first, and the next one signs: with that very list before one's
    eyes. They are asked then and not on opening the page, which has enough to read.
    """
    version = permissions.prescription_for(request.user, uuid, write=True)
    if request.method == "POST":
        seen = seen_version(request, version)
        # Of a draft that changed meanwhile nothing is asked: signing says so.
        asked = unanswered(version) if seen == version.version else []
        if asked and request.POST.get("notes_read") != mark_of(asked):
            return _sign_page(request, version, asked=asked)
        try:
            actions.sign_prescription(version, seen_version=seen, by=request.user, at=timezone.now())
        except (actions.Incomplete, Stale) as refused:
            return _sign_page(request, permissions.prescription_for(request.user, uuid), refused=refused)
        return done("prescription", uuid)
    if version.status != PrescriptionStatus.DRAFT:
        return done("prescription", uuid)
    return _sign_page(request, version)


def unanswered(version: Prescription) -> list[Asked]:
    """The notes on what is saved that nobody answered yet."""
    if version.status != PrescriptionStatus.DRAFT:
        return []
    panel = panel_of(version, on=timezone.localdate())
    return [each for each in with_answers(panel.notes, answers_to(version)) if each.is_open]


def mark_of(asked: Sequence[Asked]) -> str:
    """What tells one list of notes from another."""
    words = [(each.note.rule, str(each.note.side), each.note.sentence) for each in asked]
    return hashlib.sha256(repr(words).encode()).hexdigest()


def _sign_page(
    request: StaffRequest, version: Prescription, *, refused: Refused | None = None, asked: Sequence[Asked] = ()
) -> HttpResponse:
    context: dict[str, Any] = (
        in_words(version)
        | found(version.patient)
        | {
            "missing": completeness.missing(version),
            "is_stale": isinstance(refused, Stale),
            "asked": asked,
            "notes_read": mark_of(asked) if asked else "",
        }
    )
    status = refused.status if refused else 422 if asked else 200
    return render(request, "prescriptions/sign.html", context, status=status)
