"""Starting prescriptions of the workshop: kept from a prescription that is good, named, retired."""

from datetime import datetime

from django.db import transaction
from django.utils import timezone

from cases.prescriptions.models import Foot, Prescription, StartingPattern
from cases.prescriptions.patterns import as_pattern
from shared.history import acting
from shared.refusals import Refused
from workshop.staff.models import Person


@transaction.atomic
def keep_pattern(prescription: Prescription, *, foot: Foot, name: str, by: Person, at: datetime) -> StartingPattern:
    """Keep the parts of a foot of this prescription as a pattern, without what is of the client's own foot.

    Raises `Refused` without a name, or where another pattern has it.
    """
    name = " ".join(name.split())
    if not name:
        raise Refused("Give the pattern a name.")
    if StartingPattern.objects.filter(name__iexact=name, retired_on__isnull=True).exists():
        raise Refused("There is already a pattern of this name.")
    with acting(by=by, action="keep_pattern", says=f"Kept the pattern “{name}”.", at=at):
        return StartingPattern.objects.create(
            name=name, construction=prescription.construction, parts=as_pattern(foot), by=by, at=at
        )


@transaction.atomic
def retire_pattern(pattern: StartingPattern, *, by: Person, at: datetime) -> None:
    """Offer a pattern no more. What was begun from it stays. Raises `Refused` where it is retired already."""
    locked = StartingPattern.objects.select_for_update().get(pk=pattern.pk)
    if locked.retired_on is not None:
        raise Refused("This pattern was retired already.")
    with acting(by=by, action="retire_pattern", says=f"Retired the pattern “{locked.name}”.", at=at):
        locked.retired_on = timezone.localdate(at)
        locked.save(update_fields=["retired_on"])
