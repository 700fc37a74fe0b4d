"""Registering casts, noting where they stand and how they are, and that one is no more."""

from collections.abc import Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db import transaction

from cases.diary.clock import in_words
from cases.diary.models import Visit
from cases.lasts.actions.checks import check_day, check_visit, sides_in_words
from cases.lasts.models import Cast, CastKind
from cases.patients.models import Patient
from shared.history import acting
from shared.refusals import Refused
from shared.sides import SIDES, Side
from workshop.staff.models import Person


def register_cast(
    patient: Patient,
    *,
    side: str,
    made_on: date,
    place: str,
    condition: str,
    kind: str = CastKind.NEGATIVE,
    load: str = "",
    heel_height_mm: Decimal | None = None,
    visit: Visit | None = None,
    made_by: Person | None = None,
    by: Person,
    at: datetime,
) -> Cast:
    """Register the cast of one foot, as `register_casts`."""
    casts = register_casts(
        patient,
        sides=[side],
        made_on=made_on,
        place=place,
        condition=condition,
        kind=kind,
        load=load,
        heel_height_mm=heel_height_mm,
        visit=visit,
        made_by=made_by,
        by=by,
        at=at,
    )
    return casts[0]


def register_casts(
    patient: Patient,
    *,
    sides: Sequence[str],
    made_on: date,
    place: str,
    condition: str,
    kind: str = CastKind.NEGATIVE,
    load: str = "",
    heel_height_mm: Decimal | None = None,
    visit: Visit | None = None,
    made_by: Person | None = None,
    by: Person,
    at: datetime,
) -> list[Cast]:
    """Register the casts of these feet, made in one go. Raises `Refused` for a day to come or no foot.

    `load` and `heel_height_mm` (mm) are how the foot stood in the cast, empty where nobody said. `made_by` is `by`
    where not said.
    """
    feet = [side for side in SIDES if side in sides]
    if not feet:
        raise Refused("Say of which foot the cast is.")
    check_day(made_on, at=at)
    check_visit(visit, patient)
    says = f"Registered the cast {sides_in_words(feet)}, kept at: {place}."
    same: dict[str, Any] = {"made_on": made_on, "made_by": made_by or by, "place": place, "condition": condition}
    same |= {"kind": kind, "load": load, "heel_height_mm": heel_height_mm, "visit": visit}
    with acting(by=by, action="register_cast", says=says, at=at, patient=patient.uuid):
        return [Cast.objects.create(patient=patient, side=side, **same) for side in feet]


@transaction.atomic
def move_cast(cast: Cast, *, place: str, condition: str, by: Person, at: datetime) -> None:
    """Note where a cast stands now and how it is. Raises `Refused` for one that is no more."""
    cast = Cast.objects.select_for_update(of=("self",)).select_related("patient").get(pk=cast.pk)
    if cast.destroyed_on is not None:
        raise Refused(f"This cast was destroyed on {in_words(cast.destroyed_on)}.")
    says = f"The cast {Side(cast.side).label} of {in_words(cast.made_on)} is kept at: {place}; {condition}."
    with acting(by=by, action="move_cast", says=says, at=at, patient=cast.patient.uuid):
        cast.place, cast.condition = place, condition
        cast.save(update_fields=["place", "condition"])


@transaction.atomic
def destroy_cast(cast: Cast, *, destroyed_on: date, why: str, by: Person, at: datetime) -> None:
    """Note that a cast is no more. Raises `Refused` where it was noted already, and for an impossible day."""
    cast = Cast.objects.select_for_update(of=("self",)).select_related("patient").get(pk=cast.pk)
    if cast.destroyed_on is not None:
        raise Refused(f"This cast was already destroyed, on {in_words(cast.destroyed_on)}.")
    if destroyed_on < cast.made_on:
        raise Refused("A cast is destroyed on or after the day it was made.")
    check_day(destroyed_on, at=at)
    says = f"Destroyed the cast {Side(cast.side).label} of {in_words(cast.made_on)}: {why}."
    with acting(by=by, action="destroy_cast", says=says, at=at, patient=cast.patient.uuid):
        cast.destroyed_on = destroyed_on
        cast.destroyed_why = why
        cast.save(update_fields=["destroyed_on", "destroyed_why"])
