"""Opening a record from outside the case, and a paper as it was given."""

import hashlib
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_GET, require_http_methods

from cases.patients import actions, queries
from cases.patients.forms import ReasonForm
from cases.patients.models import Patient
from cases.patients.refusals import PaperDamaged
from shared.fragments import done
from shared.permissions import allowed, staff_only
from shared.refusals import Refused
from workshop.staff.requests import StaffRequest


@allowed("maker", "administrator")
@require_http_methods(["GET", "POST"])
def open_record(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """Somebody from outside the case says why they need this record, and reads it until the day ends."""
    patient = get_object_or_404(Patient, uuid=uuid)
    form = ReasonForm(request.POST or None)
    came_from = _page_they_came_from(request)
    context = {"patient": patient, "form": form, "next": came_from}
    if request.method == "GET":
        return render(request, "patients/open_record.html", context)
    if not form.is_valid():
        return render(request, "patients/open_record.html", context, status=422)
    try:
        actions.open_record(patient, reason=form.cleaned_data["reason"], by=request.user, at=timezone.now())
    except Refused as refused:
        form.add_error("reason", refused.message)
        return render(request, "patients/open_record.html", context, status=refused.status)
    return done(came_from) if came_from else done("client", patient.uuid)


@staff_only
@require_GET
def paper(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """A paper exactly as it was given out, never rendered again; refused where it is not that any more."""
    kept = queries.paper_for(request.user, uuid, at=timezone.now())
    contents = bytes(kept.pdf)
    if hashlib.sha256(contents).hexdigest() != kept.sha256:
        raise PaperDamaged
    response = HttpResponse(contents, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{kept.kind.replace(" ", "-")}.pdf"'
    response["Cache-Control"] = "no-store"
    return response


def _page_they_came_from(request: StaffRequest) -> str:
    """The page that led here, if it is one of this workshop's own; else nothing."""
    address = request.POST.get("next") or request.GET.get("next", "")
    own = address.startswith("/") and url_has_allowed_host_and_scheme(address, allowed_hosts={request.get_host()})
    return address if own else ""
