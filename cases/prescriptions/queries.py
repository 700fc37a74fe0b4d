"""Every read of prescriptions that more than one place needs."""

from uuid import UUID

from django.db.models import Prefetch, QuerySet

from cases.patients.models import Patient
from cases.prescriptions.models import Foot, Prescription
from cases.prescriptions.models.prescription import MANY_PARTS, SINGLE_PARTS


def whole(uuid: UUID) -> Prescription:
    """One version with its feet and every part of them: seven queries, whatever it holds.

    Raises `Prescription.DoesNotExist`.
    """
    feet = Foot.objects.select_related("last", *SINGLE_PARTS).prefetch_related(*MANY_PARTS)
    return (
        Prescription.objects.select_related("patient", "measure_set", "supersedes", "written_by", "signed_by")
        .prefetch_related(Prefetch("foot_set", queryset=feet))
        .get(uuid=uuid)
    )


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
