"""What several actions of this room ask before they change anything."""

from collections.abc import Sequence
from datetime import date, datetime

from django.utils import timezone

from cases.diary.models import Visit
from cases.patients.models import Patient
from shared.refusals import Refused
from shared.sides import Side


def check_visit(visit: Visit | None, patient: Patient) -> None:
    if visit is not None and visit.patient_id != patient.pk:
        raise Refused("This visit is another client's.")


def check_day(day: date, *, at: datetime) -> None:
    if day > timezone.localdate(at):
        raise Refused("This day is still to come.")


def sides_in_words(sides: Sequence[str]) -> str:
    return " and ".join(Side(side).label for side in sides)
