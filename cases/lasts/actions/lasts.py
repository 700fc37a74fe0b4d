"""Altering, measuring again and agreeing lasts."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.db import transaction
from django.utils import timezone

from cases.diary.clock import in_words
from cases.lasts.models import Last, LastAgreement, LastPatch
from cases.lasts.models.lasts import MEASURED_MM, TILTS_DEGREES
from cases.lasts.stations import BY_KEY
from shared.history import acting
from shared.refusals import NotAllowed, Refused
from shared.versions import Stale, save_version
from workshop.figures.queries import figures, is_switched_on
from workshop.staff.models import Person

SECOND_EYES = "second_eyes_for_a_last"
GIRTH_TOLERANCE = "agreed_last_girth_tolerance_mm"
LENGTH_TOLERANCE = "agreed_last_length_tolerance_mm"
TILT_TOLERANCE = "agreed_last_tilt_tolerance_degrees"

Readings = Mapping[str, Decimal]
"""What was read on a last, by its column: mm, or degrees for a tilt."""

READ_ON_A_LAST = ("length_mm", *MEASURED_MM, "heel_height_mm", "toe_spring_mm", *TILTS_DEGREES)
_GIRTHS = tuple(name for name in MEASURED_MM if "girth" in name)


@dataclass(frozen=True)
class Remeasured:
    """What measuring a last again found. `beyond` names in words what is no longer as it was recorded."""

    last: Last
    beyond: tuple[str, ...]


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
    tilts_degrees: Mapping[str, Decimal | None] | None = None,
    patches_done: Sequence[LastPatch] = (),
    patches_off: Sequence[LastPatch] = (),
    measured: Readings | None = None,
    by: Person,
    at: datetime,
) -> Last:
    """Note what was built up or taken down. The last counts up: it is measured, then agreed again.

    `patches_done` are on it now, `patches_off` came off. Without `measured`, what the tape found afterwards by the
    column of the last, it waits for `measure_last`. Raises `Stale`, and `Refused` where nothing is altered, for a patch
    that is not this last's to do or take off, and where the tape was not laid on a place that was worked on.
    """
    patches_done, patches_off = _as_they_are_now(patches_done), _as_they_are_now(patches_off)
    note = alteration_note.strip() or "; ".join(str(patch) for patch in (*patches_done, *patches_off))
    if not note:
        raise Refused("Say what was built up or taken down, and where.")
    _check_patches(last, patches_done, patches_off)
    changes: dict[str, Any] = dict(tilts_degrees or {}) | {"altered_by": by, "altered_on": timezone.localdate(at)}
    changes |= {"alteration_note": note, "length_mm": length_mm, "heel_height_mm": heel_height_mm}
    changes |= {"toe_spring_mm": toe_spring_mm, "toe_shape": toe_shape}
    with acting(by=by, action="alter_last", says=f"Altered last {last}: {note}", at=at, patient=_owner(last)):
        _keep_patches(patches_done, patches_off, by=by, at=at)
        if measured:
            _check_readings(measured)
            _check_worked_places(last, measured)
            changes |= {**measured, **_taken(seen_version + 1, by, at)}
        save_version(last, seen_version=seen_version, **changes)
    return last


@transaction.atomic
def measure_last(last: Last, *, seen_version: int, measured: Readings, by: Person, at: datetime) -> Remeasured:
    """Lay the tape on a last again. `measured` goes by the column of the last.

    What was never taken is kept and changes nothing. Within the workshop's tolerances the recorded figures stand, and
    an agreed last stays agreed. Beyond them the new figures are kept, the state counts up, and it is agreed again.
    After an alteration whatever was taken is kept. Raises `Stale`, and `Refused` where nothing was taken, or where an
    altered place was left out.
    """
    last = Last.objects.select_for_update(of=("self",)).select_related("owner").get(pk=last.pk)
    if last.version != seen_version:
        raise Stale(last)
    _check_readings(measured)
    if last.awaits_tape:
        _check_worked_places(last, measured)
        return _keep(last, measured, version=last.version, beyond=(), by=by, at=at)
    beyond = _beyond_tolerance(last, measured, on=timezone.localdate(at))
    if beyond:
        return _keep(last, measured, version=last.version + 1, beyond=beyond, by=by, at=at)
    new = {name: value for name, value in measured.items() if getattr(last, name) is None}
    return _keep(last, new, version=last.version, beyond=(), by=by, at=at)


def _keep(
    last: Last, readings: Readings, *, version: int, beyond: tuple[str, ...], by: Person, at: datetime
) -> Remeasured:
    says = f"Measured last {last} again: as recorded."
    if beyond:
        says = f"Measured last {last} again: {'; '.join(beyond)}. It is a new state."
    elif last.awaits_tape:
        says = f"Measured last {last} after it was altered."
    elif readings:
        says = f"Measured last {last}: {', '.join(_words(name) for name in readings)} taken."
    with acting(by=by, action="measure_last", says=says, at=at, patient=_owner(last)):
        changes = {**readings, **_taken(version, by, at), "version": version}
        for name, value in changes.items():
            setattr(last, name, value)
        last.save(update_fields=list(changes))
    return Remeasured(last, beyond)


def _taken(version: int, by: Person, at: datetime) -> dict[str, Any]:
    return {"measured_version": version, "measured_on": timezone.localdate(at), "measured_by": by}


def _check_readings(measured: Readings) -> None:
    if not measured:
        raise Refused("Nothing was measured yet: type at least one figure.")
    if unknown := measured.keys() - set(READ_ON_A_LAST):
        raise Refused(f"A last has no such figure: {', '.join(sorted(unknown))}.")


def _as_they_are_now(patches: Sequence[LastPatch]) -> list[LastPatch]:
    """The patches, locked until the end: one may have been given up or worked since the page was read."""
    return list(LastPatch.objects.select_for_update().filter(pk__in=[patch.pk for patch in patches]))


def _check_patches(last: Last, done: Sequence[LastPatch], off: Sequence[LastPatch]) -> None:
    for patch in (*done, *off):
        if patch.last_id != last.pk:
            raise Refused(f"This patch is on another last: {patch}.")
        if patch.removed_at is not None:
            raise Refused(f"This patch was already taken off: {patch}.")
    for patch in done:
        if patch.done_at is not None:
            raise Refused(f"This patch was already done: {patch}.")
    for patch in off:
        if patch.done_at is None:
            raise Refused(f"This patch was not done yet: {patch}.")


def _keep_patches(done: Sequence[LastPatch], off: Sequence[LastPatch], *, by: Person, at: datetime) -> None:
    for patch in done:
        patch.done_at, patch.done_by = at, by
        patch.save(update_fields=["done_at", "done_by"])
    for patch in off:
        patch.removed_at = at
        patch.save(update_fields=["removed_at"])


def _check_worked_places(last: Last, measured: Readings) -> None:
    """The tape must lie again wherever a patch came on or off since it last did; somewhere at least, where none is."""
    since = last.measured_on or date.min
    worked = {
        patch.station
        for patch in last.patches.all()
        if any(when and timezone.localdate(when) >= since for when in (patch.done_at, patch.removed_at))
    }
    needed = {BY_KEY[key].last_field for key in worked if key in BY_KEY}
    if missing := needed - measured.keys():
        raise Refused(f"Measure again where it was altered: {', '.join(sorted(_words(name) for name in missing))}.")
    if not needed and not any(name in measured for name in _GIRTHS):
        raise Refused("Measure at least one girth again: the tape says what the alteration came to.")


def _beyond_tolerance(last: Last, measured: Readings, *, on: date) -> tuple[str, ...]:
    """What differs from the record by more than the workshop allows, in words."""
    within = figures([GIRTH_TOLERANCE, LENGTH_TOLERANCE, TILT_TOLERANCE], on=on)
    beyond = []
    for name, value in measured.items():
        recorded = getattr(last, name)
        tolerance = within[
            TILT_TOLERANCE if name in TILTS_DEGREES else GIRTH_TOLERANCE if name in _GIRTHS else LENGTH_TOLERANCE
        ]
        if recorded is not None and abs(value - recorded) > tolerance:
            unit = "°" if name in TILTS_DEGREES else " mm"
            beyond.append(f"{_words(name)} {value.normalize():f}{unit}, was {recorded.normalize():f}{unit}")
    return tuple(beyond)


def _words(name: str) -> str:
    """The words of a column: joint girth, heel height."""
    return name.removesuffix("_mm").removesuffix("_degrees").replace("_varus", " tilt").replace("_", " ")


def _owner(last: Last) -> UUID | None:
    return last.owner.uuid if last.owner else None


@transaction.atomic
def agree_last(last: Last, *, by: Person, at: datetime, seen_version: int | None = None) -> LastAgreement:
    """Agree a last as it is now. Raises `Refused` where that was done or it was altered since `seen_version`.

    Raises `Refused` too where it was altered and not measured since, and `NotAllowed` for whoever made or altered it,
    where the workshop asks for somebody else's eyes.
    """
    last = Last.objects.select_for_update(of=("self",)).select_related("owner").get(pk=last.pk)
    if seen_version is not None and seen_version != last.version:
        raise Refused("This last was altered since: look at it again.")
    if given := last.agreements.filter(last_version=last.version).select_related("by").first():
        raise Refused(f"{given.by.name} already agreed this last, {in_words(timezone.localdate(given.at))}.")
    if last.awaits_tape:
        raise Refused("This last was altered and not measured since: measure it again before it is agreed.")
    hands = {last.made_by_id, last.altered_by_id}
    if by.pk in hands and is_switched_on(SECOND_EYES, on=timezone.localdate(at)):
        raise NotAllowed("A last is agreed by somebody other than who made or altered it.")
    says = f"Agreed last {last} as it is, state {last.version}."
    with acting(by=by, action="agree_last", says=says, at=at, patient=_owner(last)):
        return LastAgreement.objects.create(last=last, last_version=last.version, by=by, at=at)
