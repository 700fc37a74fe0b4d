"""Somebody who does not work on this case opens the record, and says why."""

from datetime import datetime, time, timedelta

from django.db import transaction
from django.utils import timezone

from cases.patients.models import Patient, RecordAccess
from shared.history import acting
from shared.refusals import Refused
from workshop.staff.models import Person

SHORTEST_REASON = 3
"""Characters of a typed reason, spaces not counted, as the database asks for them."""


@transaction.atomic
def open_record(patient: Patient, *, reason: str, by: Person, at: datetime) -> RecordAccess:
    """Open a client's record for reading until the day ends, at midnight. Raises `Refused` without a reason."""
    reason = " ".join(reason.split())
    if len(reason.replace(" ", "")) < SHORTEST_REASON:
        raise Refused("Say in a few words why you need this record.")
    with acting(
        by=by,
        action="open_record",
        says="Opened the record from outside the case.",
        reason=reason,
        at=at,
        patient=patient.uuid,
    ):
        return RecordAccess.objects.create(
            patient=patient, person=by, reason=reason, opened_at=at, closes_at=end_of_day(at)
        )


def end_of_day(at: datetime) -> datetime:
    """The midnight after this moment, on the workshop's clock."""
    following = timezone.localdate(at) + timedelta(days=1)
    return timezone.make_aware(datetime.combine(following, time.min))
