"""Registering lasts, and where they stand."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from typing import Any, NotRequired, TypedDict, Unpack

from django.db import connection, transaction
from django.utils import timezone

from cases.lasts.actions.checks import check_day, sides_in_words
from cases.lasts.models import MEASURED_MM, Cast, Last, LastPhoto, Origin
from cases.patients.models import Patient
from shared.history import acting
from shared.photo_files import sha256_of
from shared.refusals import Refused
from shared.sides import Side
from workshop.staff.models import Person


@dataclass(frozen=True)
class LastFoot:
    """What differs between the two lasts of a pair."""

    side: str
    length_mm: Decimal
    cast: Cast | None = None
    alteration_note: str = ""
    measured: Mapping[str, Decimal] = field(default_factory=dict)
    """What the tape, caliper and gauge found, by the column of the last: mm, or degrees for a tilt."""


class SameForBoth(TypedDict):
    """What the two lasts of a pair have in common."""

    origin: str
    making: str
    heel_height_mm: Decimal
    toe_spring_mm: Decimal
    toe_shape: str
    place: str
    made_on: date
    condition: NotRequired[str]
    marked_size: NotRequired[str]
    marked_read_on: NotRequired[str]


def register_last(
    *,
    owner: Patient | None,
    side: str,
    length_mm: Decimal,
    number: str | None = None,
    cast: Cast | None = None,
    alteration_note: str = "",
    measured: Mapping[str, Decimal] | None = None,
    made_by: Person | None = None,
    made_elsewhere: bool = False,
    by: Person,
    at: datetime,
    **same: Unpack[SameForBoth],
) -> Last:
    """Register one last. Arguments as for `register_lasts`."""
    lasts = register_lasts(
        owner=owner,
        feet=[LastFoot(side, length_mm, cast=cast, alteration_note=alteration_note, measured=measured or {})],
        number=number,
        made_by=made_by,
        made_elsewhere=made_elsewhere,
        by=by,
        at=at,
        **same,
    )
    return lasts[0]


@transaction.atomic
def register_lasts(
    *,
    owner: Patient | None,
    feet: Sequence[LastFoot],
    number: str | None = None,
    made_by: Person | None = None,
    made_elsewhere: bool = False,
    by: Person,
    at: datetime,
    **same: Unpack[SameForBoth],
) -> list[Last]:
    """Register the lasts of one or both feet under one number; the next free one where none is given.

    `made_by` is `by` where not said, and nobody of the workshop for one `made_elsewhere`. Raises `Refused` where the
    number is another client's or already given for that foot, for another client's cast, and for a day to come.
    """
    check_day(same["made_on"], at=at)
    _check_feet(feet, owner)
    number = _number_for(feet, number, owner)
    maker = None if made_elsewhere else made_by or by
    sides = sides_in_words([foot.side for foot in feet])
    origin = Origin(same["origin"]).label
    says = f"Registered last {number} {sides}, {origin}; it stands at: {same['place']}."
    with acting(by=by, action="register_last", says=says, at=at, patient=owner.uuid if owner else None):
        return [
            Last.objects.create(owner=owner, number=number, made_by=maker, **same, **_of_a_foot(foot, by=by, at=at))
            for foot in feet
        ]


def _of_a_foot(foot: LastFoot, *, by: Person, at: datetime) -> dict[str, Any]:
    """The columns of one foot's last. Where the tape was on it, that is of today."""
    found = {name: value for name, value in vars(foot).items() if name != "measured"}
    if foot.measured.keys() & set(MEASURED_MM):
        found |= {"measured_version": 1, "measured_on": timezone.localdate(at), "measured_by": by}
    return {**found, **foot.measured}


def _check_feet(feet: Sequence[LastFoot], owner: Patient | None) -> None:
    if not feet:
        raise Refused("Say for which foot the last is.")
    for foot in feet:
        _check_cast(foot, owner)


def _number_for(feet: Sequence[LastFoot], number: str | None, owner: Patient | None) -> str:
    """The number asked for, where it is free for these feet, or the next free one.

    Two people who register at one time get two numbers: the second waits here for the first.
    """
    give_numbers_alone()
    number = (number or "").strip() or _next_number()
    _check_number(number, owner, feet)
    return number


def give_numbers_alone() -> None:
    """From here to the end of the transaction nobody else gives a number to a last."""
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
def note_condition(last: Last, *, condition: str, not_used_because: str = "", by: Person, at: datetime) -> None:
    """Note how a last is: a worn hinge, a crack; and, where it is not to be used as it is, why.

    An agreed one stays agreed. Nothing happens where it says so already.
    """
    last = Last.objects.select_for_update(of=("self",)).select_related("owner").get(pk=last.pk)
    condition, not_used_because = condition.strip(), not_used_because.strip()
    noted = []
    if last.condition != condition:
        noted.append(condition or "nothing amiss any more")
    if last.not_used_because != not_used_because:
        noted.append(f"not to be used, {not_used_because}" if not_used_because else "to be used again")
    if not noted:
        return
    says = f"Noted on last {last}: {'; '.join(noted)}."
    with acting(by=by, action="note_condition", says=says, at=at, patient=last.owner.uuid if last.owner else None):
        last.condition, last.not_used_because = condition, not_used_because
        last.save(update_fields=["condition", "not_used_because"])


def keep_photo(last: Last, *, jpeg: bytes, words: str, by: Person, at: datetime) -> LastPhoto:
    """Keep a photo of a last, as `photos.kept_photo` made it."""
    says = f"Kept a photo of last {last}{f': {words}' if words else ''}."
    with acting(by=by, action="keep_photo", says=says, at=at, patient=last.owner.uuid if last.owner else None):
        return LastPhoto.objects.create(last=last, jpeg=jpeg, sha256=sha256_of(jpeg), words=words, by=by, at=at)
