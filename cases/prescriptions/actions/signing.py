"""Signing a draft, and withdrawing a version."""

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.db.models import OuterRef, Subquery

from cases.lasts.models import Last
from cases.prescriptions import completeness
from cases.prescriptions.actions.drafts import locked_draft
from cases.prescriptions.actions.presence import nobody_is_present
from cases.prescriptions.models import Foot, Prescription, PrescriptionStatus
from cases.prescriptions.queries import whole
from shared.history import acting
from shared.refusals import NotAllowed, Refused
from shared.versions import save_version
from workshop.staff.models import Person


class Incomplete(Refused):
    """Something must still be said before this version can be signed. `missing` are sentences that name the side."""

    def __init__(self, missing: Sequence[str]) -> None:
        self.missing = tuple(missing)
        super().__init__("Not signed. Still to be said: " + " ".join(missing))


@transaction.atomic
def sign_prescription(prescription: Prescription, *, seen_version: int, by: Person, at: datetime) -> Prescription:
    """Sign a draft: from now on it stays as it is, and the version it follows is superseded.

    Raises `NotAllowed` for a person who may not prescribe, `Incomplete`, `Refused` where it is no draft, and `Stale`
    where somebody saved after the signer read it.
    """
    if not by.may_prescribe:
        raise NotAllowed("Only a person who may prescribe can sign.")
    draft = locked_draft(prescription, seen_version=seen_version)
    if missing := completeness.missing(whole(draft.uuid)):
        raise Incomplete(missing)
    with acting(
        by=by,
        action="sign_prescription",
        says=f"Signed prescription {draft.number}, version {draft.version_no}.",
        at=at,
        patient=draft.patient.uuid,
    ):
        state_of_last = Last.objects.filter(pk=OuterRef("last_id")).values("version")
        Foot.objects.filter(prescription=draft, last__isnull=False).update(last_version=Subquery(state_of_last))
        Prescription.objects.filter(later_versions=draft, status=PrescriptionStatus.SIGNED).update(
            status=PrescriptionStatus.SUPERSEDED
        )
        save_version(draft, seen_version=seen_version, status=PrescriptionStatus.SIGNED, signed_by=by, signed_at=at)
    nobody_is_present(draft)
    return draft


@transaction.atomic
def withdraw_prescription(prescription: Prescription, *, by: Person, at: datetime) -> Prescription:
    """Withdraw a draft, or a signed version. The bench may not work to it any more.

    Raises `NotAllowed` for a signed version and a person who may not prescribe; `Refused` where it is past that.
    """
    version = Prescription.objects.select_for_update(of=("self",)).select_related("patient").get(pk=prescription.pk)
    if version.status not in {PrescriptionStatus.DRAFT, PrescriptionStatus.SIGNED}:
        raise Refused(f"This version is {version.get_status_display()} already.")
    if version.status == PrescriptionStatus.SIGNED and not by.may_prescribe:
        raise NotAllowed("Only a person who may prescribe can withdraw what was signed.")
    with acting(
        by=by,
        action="withdraw_prescription",
        says=f"Withdrew prescription {version.number}, version {version.version_no}.",
        at=at,
        patient=version.patient.uuid,
    ):
        version.status = PrescriptionStatus.WITHDRAWN
        version.save(update_fields=["status"])
    nobody_is_present(version)
    return version
