"""A version as it is read, and what follows it."""

from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.prescriptions import actions, permissions, queries
from cases.prescriptions.drawn import Drawn, drawn, drawn_beside
from cases.prescriptions.forms import NewVersionForm
from cases.prescriptions.models import Prescription, PrescriptionStatus
from cases.prescriptions.views.common import as_read
from cases.prescriptions.views.drafts import draft_page, save
from shared.fragments import done, page
from shared.permissions import allowed
from workshop.staff.requests import StaffRequest


@allowed(*permissions.READERS)
@require_http_methods(["GET", "HEAD", "POST"])
def prescription(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """While a draft, the form for those who may write; else what it says."""
    is_sent = request.method == "POST"
    version, earlier = permissions.versions_for(request.user, uuid, write=is_sent)
    if is_sent:
        return save(request, version)
    if version.status == PrescriptionStatus.DRAFT and permissions.may_write(request.user):
        return draft_page(request, version)
    return _reading_page(request, version, earlier)


def _reading_page(
    request: StaffRequest,
    version: Prescription,
    earlier: Prescription | None,
    *,
    form: NewVersionForm | None = None,
    status: int = 200,
) -> HttpResponse:
    context: dict[str, Any] = as_read(version, earlier, drawn=_drawn(version, earlier)) | {
        "form": form or NewVersionForm(),
        "may_write": permissions.may_write(request.user),
        "versions": queries.versions_of(version),
    }
    return render(request, "prescriptions/prescription.html", context, status=status)


def _drawn(version: Prescription, earlier: Prescription | None) -> Drawn:
    today = timezone.localdate()
    return drawn_beside(version, earlier, on=today) if earlier else drawn(version, on=today)


@allowed(*permissions.READERS)
@require_safe
def prescription_drawing(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """The shoes of a version cut open, alone or `beside` those of the version it follows: a page, or part of one."""
    version, earlier = permissions.versions_for(request.user, uuid)
    if "beside" not in request.GET:
        earlier = None
    context = as_read(version, earlier, drawn=_drawn(version, earlier))
    return page(request, "prescriptions/drawing.html", context, fragments=("shoes-cut-open",))


@allowed(*permissions.WRITERS)
@require_POST
def prescription_new_version(request: StaffRequest, uuid: UUID) -> HttpResponse:
    version, earlier = permissions.versions_for(request.user, uuid, write=True)
    form = NewVersionForm(request.POST)
    if not form.is_valid():
        return _reading_page(request, version, earlier, form=form, status=422)
    draft = actions.write_new_version(version, reason=form.cleaned_data["reason"], by=request.user, at=timezone.now())
    return done("prescription", draft.uuid)


@allowed(*permissions.WRITERS)
@require_POST
def prescription_withdraw(request: StaffRequest, uuid: UUID) -> HttpResponse:
    version = permissions.prescription_for(request.user, uuid, write=True)
    actions.withdraw_prescription(version, by=request.user, at=timezone.now())
    return done("prescription", uuid)
