"""Everything that changes measures, casts and lasts."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from django.db import connection, transaction
from django.utils import timezone

from cases.diary.clock import in_words
from cases.diary.models import Visit
from cases.lasts.measures import BY_KEY, MOST_TAKES
from cases.lasts.models import Cast, Last, LastAgreement, Making, Measure, MeasureSet, Origin
from cases.patients.models import Patient
from shared.history import acting
from shared.refusals import NotAllowed, Refused
from shared.sides import SIDES, Side
from shared.versions import save_version
from workshop.figures.queries import is_switched_on
from workshop.staff.models import Person

SECOND_EYES = "second_eyes_for_a_last"


@dataclass(frozen=True)
class MeasureValue:
    """One take of one measure in mm. `method` and `load` only where they differ from the sitting's."""

    side: str
    name: str
    take: int
    value_mm: Decimal
    method: str = ""
    load: str = ""


@dataclass(frozen=True)
class LastFoot:
    """What differs between the two lasts of a pair."""

    side: str
    length_mm: Decimal
    cast: Cast | None = None
    alteration_note: str = ""


def record_measures(
    patient: Patient,
    *,
    visit: Visit | None = None,
    taken_at: datetime,
    method: str,
    load: str,
    heel_height_mm: Decimal,
    note: str = "",
    values: Sequence[MeasureValue],
    by: Person,
    at: datetime,
) -> MeasureSet:
    """Record one sitting of measuring, both feet in one set.

    Raises `Refused` without a measure, for one that is not in the list, twice there, or taken in a time to come.
    """
    _check_values(values)
    _check_visit(visit, patient)
    if taken_at > at:
        raise Refused("These measures would be taken in a time to come.")
    sides = " and ".join(side.label for side in SIDES if any(value.side == side for value in values))
    says = f"Measured {sides}: {len({(value.side, value.name) for value in values})} measures."
    with acting(by=by, action="record_measures", says=says, at=at, patient=patient.uuid):
        measure_set = MeasureSet.objects.create(
            patient=patient,
            visit=visit,
            taken_at=taken_at,
            taken_by=by,
            method=method,
            load=load,
            heel_height_mm=heel_height_mm,
            note=note,
        )
        Measure.objects.bulk_create(
            Measure(
                measure_set=measure_set,
                side=value.side,
                name=value.name,
                take=value.take,
                value_mm=value.value_mm,
                method=value.method,
                load=value.load,
            )
            for value in values
        )
    return measure_set


def _check_values(values: Sequence[MeasureValue]) -> None:
    if not values:
        raise Refused("Nothing was measured yet: type at least one measure.")
    if unknown := sorted({value.name for value in values} - BY_KEY.keys()):
        raise Refused(f"There is no such measure: {', '.join(unknown)}.")
    if len({(value.side, value.name, value.take) for value in values}) < len(values):
        raise Refused("A take of a measure is kept once.")
    if any(not 1 <= value.take <= MOST_TAKES for value in values):
        raise Refused(f"A measure is taken {MOST_TAKES} times at most.")


def _check_visit(visit: Visit | None, patient: Patient) -> None:
    if visit is not None and visit.patient_id != patient.pk:
        raise Refused("This visit is another client's.")


def register_cast(
    patient: Patient,
    *,
    side: str,
    made_on: date,
    place: str,
    condition: str,
    visit: Visit | None = None,
    made_by: Person | None = None,
    by: Person,
    at: datetime,
) -> Cast:
    """Register the cast of one foot. `made_by` is `by` where not said."""
    casts = register_casts(
        patient,
        sides=[side],
        made_on=made_on,
        place=place,
        condition=condition,
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
    visit: Visit | None = None,
    made_by: Person | None = None,
    by: Person,
    at: datetime,
) -> list[Cast]:
    """Register the casts of these feet, made in one go. Raises `Refused` for a day to come or no foot."""
    feet = [side for side in SIDES if side in sides]
    if not feet:
        raise Refused("Say of which foot the cast is.")
    _check_day(made_on, at=at)
    _check_visit(visit, patient)
    says = f"Registered the cast {_and(feet)}, kept at: {place}."
    with acting(by=by, action="register_cast", says=says, at=at, patient=patient.uuid):
        return [
            Cast.objects.create(
                patient=patient,
                visit=visit,
                side=side,
                made_on=made_on,
                made_by=made_by or by,
                place=place,
                condition=condition,
            )
            for side in feet
        ]


@transaction.atomic
def destroy_cast(cast: Cast, *, destroyed_on: date, why: str, by: Person, at: datetime) -> None:
    """Note that a cast is no more. Raises `Refused` where it was noted already, and for an impossible day."""
    cast = Cast.objects.select_for_update(of=("self",)).select_related("patient").get(pk=cast.pk)
    if cast.destroyed_on is not None:
        raise Refused(f"This cast was already destroyed, on {in_words(cast.destroyed_on)}.")
    if destroyed_on < cast.made_on:
        raise Refused("A cast is destroyed on or after the day it was made.")
    _check_day(destroyed_on, at=at)
    says = f"Destroyed the cast {Side(cast.side).label} of {in_words(cast.made_on)}: {why}."
    with acting(by=by, action="destroy_cast", says=says, at=at, patient=cast.patient.uuid):
        cast.destroyed_on = destroyed_on
        cast.destroyed_why = why
        cast.save(update_fields=["destroyed_on", "destroyed_why"])


def register_last(
    *,
    owner: Patient | None,
    side: str,
    origin: str,
    making: str,
    length_mm: Decimal,
    heel_height_mm: Decimal,
    toe_spring_mm: Decimal,
    toe_shape: str,
    place: str,
    made_on: date,
    number: str | None = None,
    cast: Cast | None = None,
    condition: str = "",
    alteration_note: str = "",
    made_by: Person | None = None,
    made_elsewhere: bool = False,
    by: Person,
    at: datetime,
) -> Last:
    """Register one last. Arguments as for `register_lasts`."""
    lasts = register_lasts(
        owner=owner,
        feet=[LastFoot(side=side, length_mm=length_mm, cast=cast, alteration_note=alteration_note)],
        number=number,
        origin=origin,
        making=making,
        heel_height_mm=heel_height_mm,
        toe_spring_mm=toe_spring_mm,
        toe_shape=toe_shape,
        place=place,
        condition=condition,
        made_on=made_on,
        made_by=made_by,
        made_elsewhere=made_elsewhere,
        by=by,
        at=at,
    )
    return lasts[0]


@transaction.atomic
def register_lasts(
    *,
    owner: Patient | None,
    feet: Sequence[LastFoot],
    origin: str,
    making: str,
    heel_height_mm: Decimal,
    toe_spring_mm: Decimal,
    toe_shape: str,
    place: str,
    made_on: date,
    number: str | None = None,
    condition: str = "",
    made_by: Person | None = None,
    made_elsewhere: bool = False,
    by: Person,
    at: datetime,
) -> list[Last]:
    """Register the lasts of one or both feet under one number; the next free one where none is given.

    `made_by` is `by` where not said, and nobody of the workshop for one `made_elsewhere`. Raises `Refused` where the
    number is another client's or already given for that foot, for another client's cast, and for a day to come.
    """
    if not feet:
        raise Refused("Say for which foot the last is.")
    _check_day(made_on, at=at)
    _keep_numbers_apart()
    number = (number or "").strip() or _next_number()
    _check_number(number, owner, feet)
    for foot in feet:
        _check_cast(foot, owner)
    sides = _and([foot.side for foot in feet])
    says = f"Registered last {number} {sides}, {Origin(origin).label}; it stands at: {place}."
    with acting(by=by, action="register_last", says=says, at=at, patient=owner.uuid if owner else None):
        return [
            Last.objects.create(
                owner=owner,
                number=number,
                side=foot.side,
                origin=origin,
                making=Making(making),
                cast=foot.cast,
                length_mm=foot.length_mm,
                heel_height_mm=heel_height_mm,
                toe_spring_mm=toe_spring_mm,
                toe_shape=toe_shape,
                place=place,
                condition=condition,
                alteration_note=foot.alteration_note,
                made_by=None if made_elsewhere else made_by or by,
                made_on=made_on,
            )
            for foot in feet
        ]


def _keep_numbers_apart() -> None:
    """Two people who register at one time get two numbers: the second waits here for the first."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_xact_lock(hashtext('lasts_last.number'))")


def _next_number() -> str:
    plain = Last.objects.filter(number__regex=r"^[0-9]{1,9}$").values_list("number", flat=True)
    return str(max((int(number) for number in plain), default=0) + 1)


def _check_number(number: str, owner: Patient | None, feet: Sequence[LastFoot]) -> None:
    for last in Last.objects.filter(number=number).select_related("owner"):
        if last.owner_id != (owner.pk if owner else None):
            raise Refused(f"Number {number} is already given to a last of another owner.")
        if last.side in {foot.side for foot in feet}:
            raise Refused(f"There is already a last {number} {Side(last.side).label}.")


def _check_cast(foot: LastFoot, owner: Patient | None) -> None:
    if foot.cast is None:
        return
    if owner is None or foot.cast.patient_id != owner.pk:
        raise Refused("This cast is another client's.")
    if foot.cast.side != foot.side:
        raise Refused(f"The cast {Side(foot.cast.side).label} is not of the foot {Side(foot.side).label}.")


@transaction.atomic
def alter_last(
    last: Last,
    *,
    seen_version: int,
    alteration_note: str,
    length_mm: Decimal,
    heel_height_mm: Decimal,
    toe_spring_mm: Decimal,
    toe_shape: str,
    by: Person,
    at: datetime,
) -> Last:
    """Note what was built up or taken down. The last counts up: it is agreed again. Raises `Stale`, `Refused`."""
    if not alteration_note.strip():
        raise Refused("Say what was built up or taken down, and where.")
    with acting(
        by=by,
        action="alter_last",
        says=f"Altered last {last}: {alteration_note}",
        at=at,
        patient=last.owner.uuid if last.owner else None,
    ):
        save_version(
            last,
            seen_version=seen_version,
            alteration_note=alteration_note,
            length_mm=length_mm,
            heel_height_mm=heel_height_mm,
            toe_spring_mm=toe_spring_mm,
            toe_shape=toe_shape,
            altered_by=by,
            altered_on=timezone.localdate(at),
        )
    return last


@transaction.atomic
def move_last(last: Last, *, place: str, by: Person, at: datetime) -> None:
    """Put a last somewhere else. An agreed one stays agreed. Nothing happens where it stands there already."""
    last = Last.objects.select_for_update(of=("self",)).select_related("owner").get(pk=last.pk)
    place = place.strip()
    if not place:
        raise Refused("Say where the last stands now.")
    if last.place == place:
        return
    says = f"Moved last {last} from {last.place} to {place}."
    with acting(by=by, action="move_last", says=says, at=at, patient=last.owner.uuid if last.owner else None):
        last.place = place
        last.save(update_fields=["place"])


@transaction.atomic
def agree_last(last: Last, *, by: Person, at: datetime, seen_version: int | None = None) -> LastAgreement:
    """Agree a last as it is now. Raises `Refused` where that was done or it was altered since `seen_version`.

    Raises `NotAllowed` for whoever made or altered it, where the workshop asks for somebody else's eyes.
    """
    last = Last.objects.select_for_update(of=("self",)).select_related("owner").get(pk=last.pk)
    if seen_version is not None and seen_version != last.version:
        raise Refused("This last was altered since: look at it again.")
    if given := last.agreements.filter(last_version=last.version).select_related("by").first():
        raise Refused(f"{given.by.name} already agreed this last, {in_words(timezone.localdate(given.at))}.")
    hands = {last.made_by_id, last.altered_by_id}
    if by.pk in hands and is_switched_on(SECOND_EYES, on=timezone.localdate(at)):
        raise NotAllowed("A last is agreed by somebody other than who made or altered it.")
    says = f"Agreed last {last} as it is, state {last.version}."
    with acting(by=by, action="agree_last", says=says, at=at, patient=last.owner.uuid if last.owner else None):
        return LastAgreement.objects.create(last=last, last_version=last.version, by=by, at=at)


def _check_day(day: date, *, at: datetime) -> None:
    if day > timezone.localdate(at):
        raise Refused("This day is still to come.")


def _and(sides: Sequence[str]) -> str:
    return " and ".join(Side(side).label for side in sides)
