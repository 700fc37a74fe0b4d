"""Taking lasts in from a file: all of them in one deed, or none."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils import timezone

from cases.lasts.actions.rack import give_numbers_alone
from cases.lasts.models import MEASURED_MM, Last, Making, Origin, RackFile
from cases.lasts.queries.rack_files import OWNER, LookedAt, looked_at
from cases.lasts.rack_files import RackLine
from cases.patients.models import Patient
from shared.history import acting
from shared.refusals import Refused
from workshop.figures.queries import figure
from workshop.staff.models import Person

KEPT_FOR = timedelta(days=1)
TOE_SPRING = "toe_spring_mm"
AT_ONCE = 1000
"""Lasts written in one go: a file of tens of thousands is never whole in memory as rows."""


class NotGood(Refused):
    """The file cannot be taken in as it is, most likely because the rack changed since it was looked at."""

    def __init__(self, found: LookedAt) -> None:
        self.found = found
        super().__init__("Nothing was taken in: the rack has changed since you looked at this file.")


@transaction.atomic
def choose_rack_file(content: bytes, *, name: str, by: Person, at: datetime) -> RackFile:
    """Keep a file that was read, to be looked at and taken in. What was chosen a day ago or longer is forgotten."""
    RackFile.objects.filter(chosen_at__lt=at - KEPT_FOR).delete()
    return RackFile.objects.create(name=name[:120], content=content, person=by, chosen_at=at)


@transaction.atomic
def take_in_rack_file(file: RackFile, *, by: Person, at: datetime) -> int:
    """Register every last of a file; how many. The file is then forgotten.

    Raises `NotGood` where any line is bad or became so since it was looked at, and `Refused` where it was taken in
    already. Then nothing is registered.
    """
    file = RackFile.objects.select_for_update().filter(pk=file.pk).first() or _gone()
    give_numbers_alone()
    today = timezone.localdate(at)
    found = looked_at(file, today=today)
    if found.bad:
        raise NotGood(found)
    how_many = len(found.lines)
    says = f"Took {how_many} last{'' if how_many == 1 else 's'} in from the file {file.name}."
    with acting(by=by, action="take_in_rack_file", says=says, at=at):
        for lasts in _in_parts(found.lines, today=today):
            Last.objects.bulk_create(lasts)
    file.delete()
    return how_many


def _gone() -> RackFile:
    raise Refused("This file was taken in already, or given up.")


def _in_parts(lines: Sequence[RackLine], *, today: date) -> Iterator[list[Last]]:
    asked = {str(line.values[OWNER]) for line in lines} - {""}
    owners = {patient.record_number: patient for patient in Patient.objects.filter(record_number__in=asked)}
    toe_spring_mm = figure(TOE_SPRING, on=today)
    for begin in range(0, len(lines), AT_ONCE):
        yield [_last(line, owners, toe_spring_mm=toe_spring_mm, today=today) for line in lines[begin : begin + AT_ONCE]]


def _last(line: RackLine, owners: Mapping[str, Patient], *, toe_spring_mm: Decimal, today: date) -> Last:
    values: dict[str, Any] = dict(line.values)
    owner = owners.get(values.pop(OWNER))
    if any(values[name] is not None for name in MEASURED_MM):
        values["measured_on"] = values["measured_on"] or today
    if values["toe_spring_mm"] is None:
        values["toe_spring_mm"] = toe_spring_mm
    values |= {
        "origin": values["origin"] or Origin.REUSED,
        "making": values["making"] or Making.TAPE,
        "made_on": values["made_on"] or today,
        "measured_version": 1 if values["measured_on"] else None,
    }
    return Last(owner=owner, **values)
