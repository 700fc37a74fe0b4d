"""Keeping what was given out, exactly as it was given out."""

import hashlib
from datetime import datetime
from uuid import UUID

from django.db import transaction

from cases.patients.models import Paper, PaperKind, Patient
from shared.history import acting
from workshop.staff.models import Person


@transaction.atomic
def keep_paper(
    *,
    patient: Patient,
    kind: PaperKind,
    title: str,
    template_version: str,
    pdf: bytes,
    about_uuid: UUID | None = None,
    pair_uuid: UUID | None = None,
    by: Person,
    at: datetime,
) -> Paper:
    """Keep a rendered paper with its hash. It replaces the latest of the same kind about the same thing, if any."""
    # Two papers of one moment must not both replace the same one.
    Patient.objects.select_for_update(of=["self"]).get(pk=patient.pk)
    latest = (
        Paper.objects.filter(patient=patient, kind=kind, about_uuid=about_uuid, replaced_by__isnull=True)
        .defer("pdf")
        .order_by("-rendered_at", "-pk")
        .first()
    )
    with acting(by=by, action="keep_paper", says=f"Printed: {title}.", at=at, patient=patient.uuid, pair=pair_uuid):
        return Paper.objects.create(
            patient=patient,
            kind=kind,
            title=title,
            about_uuid=about_uuid,
            template_version=template_version,
            pdf=pdf,
            sha256=hashlib.sha256(pdf).hexdigest(),
            rendered_at=at,
            rendered_by=by,
            replaces=latest,
        )
