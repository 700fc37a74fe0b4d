"""Every read of prescriptions that more than one place needs."""

from collections.abc import Collection
from uuid import UUID

from django.db.models import Prefetch, QuerySet

from cases.patients.models import Patient
from cases.prescriptions.models import Foot, Prescription
from cases.prescriptions.models.prescription import MANY_PARTS, SINGLE_PARTS


def whole(uuid: UUID) -> Prescription:
    """One version with its feet and every part of them: seven queries, whatever it holds.

    Raises `Prescription.DoesNotExist`.
    """
    return _whole().get(uuid=uuid)


def wholes(uuids: Collection[UUID]) -> dict[UUID, Prescription]:
    """Several versions, each as `whole` gives it: seven queries for all of them together."""
    return {version.uuid: version for version in _whole().filter(uuid__in=uuids)}


def _whole() -> QuerySet[Prescription]:
    feet = Foot.objects.select_related("last", *SINGLE_PARTS).prefetch_related(*MANY_PARTS)
    return Prescription.objects.select_related(
        "patient", "measure_set", "supersedes", "written_by", "signed_by"
    ).prefetch_related(Prefetch("foot_set", queryset=feet))


def prescriptions_of(patient: Patient) -> QuerySet[Prescription]:
    """All versions of all prescriptions of a client, the latest prescription and version first."""
    return (
        Prescription.objects.filter(patient=patient)
        .select_related("written_by", "signed_by")
        .order_by("-number", "-version_no")
    )


def versions_of(prescription: Prescription) -> QuerySet[Prescription]:
    """All versions of one prescription, the latest first."""
    return prescriptions_of(prescription.patient).filter(number=prescription.number)
