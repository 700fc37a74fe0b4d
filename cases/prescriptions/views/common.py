"""What the pages of a prescription have in common."""

from typing import Any
from uuid import UUID

from django.urls import reverse

from cases.patients import red_flags
from cases.patients.models import Patient
from cases.patients.queries import open_red_flags
from cases.prescriptions.answers import Background
from cases.prescriptions.compared import feet_compared
from cases.prescriptions.described import (
    describe,
    differences_in_words,
    pair_in_words,
    side_by_side,
)
from cases.prescriptions.drawn import Drawn
from cases.prescriptions.models import Prescription
from cases.prescriptions.panel import Panel
from shared.models import Submission
from shared.refusals import Refused
from workshop.staff.requests import StaffRequest

LOAD_AGAIN = "This page does not say which state it shows. Load it again."


def seen_version(request: StaffRequest, version: Prescription) -> int:
    """The state of the draft that the page shows. What the page sent and was saved without its hearing so, it knows too.

    Raises `Refused` where the page does not say.
    """
    try:
        seen = int(request.POST.get("seen_version", ""))
    except ValueError as error:
        raise Refused(LOAD_AGAIN) from error
    return seen + _saved_unheard(request, version)


def _saved_unheard(request: StaffRequest, version: Prescription) -> int:
    sent = request.POST.get("unanswered", "").split()
    if not sent:
        return 0
    try:
        keys = {UUID(key) for key in sent}
    except ValueError as error:
        raise Refused(LOAD_AGAIN) from error
    where = reverse("prescription-keep", args=[version.uuid])
    return Submission.objects.filter(key__in=keys, user_id=request.user.pk, path=where, status__lt=400).count()


def as_read(version: Prescription, earlier: Prescription | None, *, drawn: Drawn | Panel) -> dict[str, Any]:
    """A version as it is read and drawn, beside the one it follows."""
    feet = describe(version)
    changes = differences_in_words(earlier, version) if earlier else ()
    return {
        "prescription": version,
        "pair": pair_in_words(version),
        "groups": side_by_side(feet),
        "sides": {foot.side for foot in feet},
        "earlier": earlier,
        "changes_of_pair": tuple(each for each in changes if not each.side),
        "compared": feet_compared(drawn.before, drawn.cut_aways, changes) if earlier else (),
        "cut_aways": drawn.cut_aways,
        "implied": drawn.implied,
    }


def prescribed_for(version: Prescription, background: Background) -> dict[str, Any]:
    """What a shoe is prescribed for: red flags first, then what was found on each foot, and what may not touch it."""
    return {
        "red_flags": red_flags_of(version.patient),
        "findings": background.findings,
        "allergies": background.allergies,
    }


def red_flags_of(patient: Patient) -> list[tuple[str, str | None]]:
    """The open red flags in words, each with its side."""
    return [(red_flags.words(flag.sign), flag.side) for flag in open_red_flags(patient)]
