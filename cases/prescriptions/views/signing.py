"""The page on which a draft is read once more and signed."""

from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from cases.prescriptions import actions, completeness, permissions
from cases.prescriptions.models import Prescription, PrescriptionStatus
from cases.prescriptions.views.common import found, in_words, seen_version
from shared.fragments import done
from shared.permissions import allowed
from shared.refusals import Refused
from shared.versions import Stale
from workshop.staff.requests import StaffRequest


@allowed(*permissions.WRITERS)
@require_http_methods(["GET", "HEAD", "POST"])
def prescription_sign(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """Everything once more, with open red flags first; one touch signs it."""
    version = permissions.prescription_for(request.user, uuid, write=True)
    if request.method == "POST":
        try:
            actions.sign_prescription(
                version, seen_version=seen_version(request, version), by=request.user, at=timezone.now()
            )
        except (actions.Incomplete, Stale) as refused:
            return _sign_page(request, permissions.prescription_for(request.user, uuid), refused=refused)
        return done("prescription", uuid)
    if version.status != PrescriptionStatus.DRAFT:
        return done("prescription", uuid)
    return _sign_page(request, version)


def _sign_page(request: StaffRequest, version: Prescription, *, refused: Refused | None = None) -> HttpResponse:
    context: dict[str, Any] = (
        in_words(version)
        | found(version.patient)
        | {
            "missing": completeness.missing(version),
            "is_stale": isinstance(refused, Stale),
        }
    )
    return render(request, "prescriptions/sign.html", context, status=refused.status if refused else 200)
