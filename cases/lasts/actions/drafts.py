"""What somebody has typed of a sitting and not saved: kept at each change, gone when the sitting is saved or given up."""

from collections.abc import Mapping
from datetime import datetime
from uuid import UUID, uuid5

from django.db import transaction

from cases.lasts.models import MeasureSet, MeasuringDraft
from cases.patients.models import Patient
from workshop.staff.models import Person

PAGE, CHANGE = "page", "change"
"""What a page says of itself with each change: which page it is, and the how manyth change this is."""


def draft_uuid(patient: Patient, person: Person, *, latest: MeasureSet | None) -> UUID:
    """The number of this person's draft of this client's next sitting, before there is one.

    It is the same on each loading of the page, so that a tablet finds again what it kept under it, and another once the
    sitting is saved.
    """
    return uuid5(patient.uuid, f"{person.uuid} after {latest.uuid if latest else 'none'}")


@transaction.atomic
def keep_draft(
    patient: Patient, *, uuid: UUID, typed: Mapping[str, str], page: str, change: int, by: Person, at: datetime
) -> MeasuringDraft:
    """Keep everything that was typed, in place of what was kept before.

    A change that comes in late, after a later one of the same page, changes nothing.
    """
    kept = MeasuringDraft.objects.select_for_update().filter(patient=patient, person=by).first()
    if kept is None:
        kept = MeasuringDraft(patient=patient, person=by)
    elif kept.typed.get(PAGE) == page and kept.typed.get(CHANGE, 0) > change:
        return kept
    kept.uuid, kept.saved_at, kept.typed = uuid, at, {**typed, PAGE: page, CHANGE: change}
    kept.save()
    return kept


def end_draft(patient: Patient, *, by: Person) -> None:
    """Forget what this person has typed: it is saved as a sitting, or given up."""
    MeasuringDraft.objects.filter(patient=patient, person=by).delete()
