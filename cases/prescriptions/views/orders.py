"""The papers of an order that came from elsewhere, and who here answers for it."""

import hashlib
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.prescriptions import actions, permissions
from cases.prescriptions.documents import PDF
from cases.prescriptions.forms import DocumentForm
from shared.fragments import done
from shared.permissions import allowed
from workshop.staff.requests import StaffRequest


class DocumentDamaged(RuntimeError):
    """A kept document is not what was kept."""


@allowed(*permissions.WRITERS)
@require_http_methods(["GET", "HEAD", "POST"])
def order_document_add(request: StaffRequest, uuid: UUID) -> HttpResponse:
    version = permissions.prescription_for(request.user, uuid, write=True)
    form = DocumentForm(request.POST, request.FILES) if request.method == "POST" else DocumentForm()
    if form.is_valid() and form.document is not None:
        said = {name: form.cleaned_data[name] for name in ("kind", "title")}
        actions.keep_order_document(version, **said, document=form.document, by=request.user, at=timezone.now())
        return done("prescription", version.uuid)
    context = {"prescription": version, "form": form}
    return render(request, "prescriptions/order_document.html", context, status=422 if form.is_bound else 200)


@allowed(*permissions.WRITERS)
@require_safe
def order_document(request: StaffRequest, uuid: UUID) -> HttpResponse:
    kept = permissions.order_document_for(request.user, uuid)
    content = bytes(kept.file)
    if hashlib.sha256(content).hexdigest() != kept.sha256:
        raise DocumentDamaged
    # A PDF is handed over to be opened elsewhere: nobody looked into what it asks a reader to do.
    way, ending = ("attachment", "pdf") if kept.content_type == PDF else ("inline", "jpg")
    headers = {
        "Content-Disposition": f'{way}; filename="order.{ending}"',
        "X-Content-Type-Options": "nosniff",
        "Cache-Control": "private, no-store",
    }
    return HttpResponse(content, content_type=kept.content_type, headers=headers)


@allowed(*permissions.WRITERS)
@require_POST
def order_document_off(request: StaffRequest, uuid: UUID) -> HttpResponse:
    kept = permissions.order_document_for(request.user, uuid)
    actions.take_order_document_off(kept, by=request.user, at=timezone.now())
    return done("prescription", kept.prescription.uuid)


@allowed(*permissions.WRITERS)
@require_POST
def order_take_over(request: StaffRequest, uuid: UUID) -> HttpResponse:
    version = permissions.prescription_for(request.user, uuid, write=True)
    actions.take_order_over(version, by=request.user, at=timezone.now())
    return done("prescription", version.uuid)
