"""Who has a draft open just now. No record: a page says so every half minute, and is forgotten when it stops."""

from datetime import datetime, timedelta

from cases.prescriptions.models import DraftPresence, Prescription
from workshop.staff.models import Person

PRESENT = timedelta(seconds=75)
"""A page says that it is open twice a minute; one that missed two of these is closed, or its tablet sleeps."""


FORGOTTEN = timedelta(days=1)


def be_present(prescription: Prescription, *, by: Person, at: datetime) -> list[str]:
    """Say that this person has the draft open; the names of the others who have. What is a day old goes."""
    DraftPresence.objects.filter(seen_at__lt=at - FORGOTTEN).delete()
    DraftPresence.objects.update_or_create(prescription_uuid=prescription.uuid, person=by, defaults={"seen_at": at})
    others = DraftPresence.objects.filter(prescription_uuid=prescription.uuid, seen_at__gte=at - PRESENT)
    return list(others.exclude(person=by).order_by("person__name").values_list("person__name", flat=True))


def nobody_is_present(prescription: Prescription) -> None:
    """It is no draft any more: nobody has it open to write on."""
    DraftPresence.objects.filter(prescription_uuid=prescription.uuid).delete()
