"""The papers of an order that came from elsewhere."""

import hashlib
from datetime import datetime

from django.db import transaction

from cases.prescriptions.actions.drafts import locked_for_writing
from cases.prescriptions.documents import KeptDocument
from cases.prescriptions.models import OrderDocument, Prescription
from shared.history import acting
from workshop.staff.models import Person


@transaction.atomic
def keep_order_document(
    prescription: Prescription, *, kind: str, title: str, document: KeptDocument, by: Person, at: datetime
) -> OrderDocument:
    """Attach a paper to a draft. Raises `Refused` where the version is none."""
    draft = locked_for_writing(prescription)
    with acting(
        by=by,
        action="keep_order_document",
        says=f"Attached “{title}” to prescription {draft.number}, version {draft.version_no}.",
        at=at,
        patient=draft.patient.uuid,
    ):
        return OrderDocument.objects.create(
            prescription=draft,
            kind=kind,
            title=title,
            content_type=document.content_type,
            file=document.content,
            sha256=hashlib.sha256(document.content).hexdigest(),
            by=by,
            at=at,
        )


@transaction.atomic
def take_order_document_off(document: OrderDocument, *, by: Person, at: datetime) -> None:
    """Take a paper off a draft again: it was another client's, or came twice. Raises `Refused` where it is no draft."""
    draft = locked_for_writing(document.prescription)
    with acting(
        by=by,
        action="take_order_document_off",
        says=f"Took “{document.title}” off prescription {draft.number}, version {draft.version_no}.",
        at=at,
        patient=draft.patient.uuid,
    ):
        document.delete()


@transaction.atomic
def take_order_over(prescription: Prescription, *, by: Person, at: datetime) -> None:
    """Answer for an order from elsewhere from now on. Raises `Refused` where the version is no draft."""
    draft = locked_for_writing(prescription)
    with acting(
        by=by,
        action="take_order_over",
        says=f"Took the order of prescription {draft.number}, version {draft.version_no}, over.",
        at=at,
        patient=draft.patient.uuid,
    ):
        draft.taken_over_by = by
        draft.save(update_fields=["taken_over_by"])


def copy_documents(source: Prescription, *, to: Prescription) -> None:
    """Attach the same papers to a version that follows. Within the deed of whoever writes it."""
    OrderDocument.objects.bulk_create(
        OrderDocument(
            prescription=to,
            kind=each.kind,
            title=each.title,
            content_type=each.content_type,
            file=each.file,
            sha256=each.sha256,
            by=each.by,
            at=each.at,
        )
        for each in source.order_documents.select_related("by")
    )
