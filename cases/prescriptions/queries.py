"""Every read of prescriptions that more than one place needs."""

from collections.abc import Collection
from uuid import UUID

from django.db.models import QuerySet

from cases.patients.models import Patient
from cases.prescriptions.models import Prescription, PrescriptionStatus, StartingPattern, WeighedShoe
from cases.prescriptions.models.prescription import WorkKind
from cases.prescriptions.tree import versions_where

BUILT_HERE = (WorkKind.NEW, WorkKind.REPEAT)


def whole(uuid: UUID, *, behind_notes: bool = False) -> Prescription:
    """One version with what was measured, its feet and every part of them: one query, whatever it holds.

    `behind_notes`: and with the findings, allergies and answers that stand behind its notes, in the same query. Raises `Prescription.DoesNotExist`.
    """
    found = versions_where("top.uuid = %s", [uuid], behind_notes=behind_notes)
    if not found:
        raise Prescription.DoesNotExist
    return found[0]


def wholes(uuids: Collection[UUID]) -> dict[UUID, Prescription]:
    """Several versions, each as `whole` gives it: one query for all of them together."""
    return {version.uuid: version for version in versions_where("top.uuid = ANY(%s)", [list(uuids)])}


def with_the_one_before(uuid: UUID) -> tuple[Prescription, Prescription | None]:
    """A version and the one it follows, each as `whole` gives it: one query for both together.

    Raises `Prescription.DoesNotExist`.
    """
    followed = f'SELECT supersedes_id FROM "{Prescription._meta.db_table}" WHERE uuid = %s'
    found = {each.uuid: each for each in versions_where(f"top.uuid = %s OR top.id = ({followed})", [uuid, uuid])}
    version = found.pop(uuid, None)
    if version is None:
        raise Prescription.DoesNotExist
    return version, next(iter(found.values()), None)


def weighed_shoes(pair_uuid: UUID) -> QuerySet[WeighedShoe]:
    """What the shoes of a pair weighed, the latest first, each with who put it on the scale."""
    return WeighedShoe.objects.filter(pair_uuid=pair_uuid).select_related("by").order_by("-pk")


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


def last_signed_pair(patient: Patient) -> Prescription | None:
    """The client's latest prescription for a pair built here that was signed and stands. One query."""
    signed = prescriptions_of(patient).filter(status=PrescriptionStatus.SIGNED, work__in=BUILT_HERE)
    return signed.order_by("-signed_at").first()


def patterns() -> QuerySet[StartingPattern]:
    """The patterns from which a draft may begin, by name, each with who kept it."""
    return StartingPattern.objects.filter(retired_on__isnull=True).select_related("by")
