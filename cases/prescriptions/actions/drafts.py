"""Beginning a prescription and writing on it while it is a draft."""

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Max
from django.utils import timezone

from cases.lasts.models import Last, MeasureSet
from cases.patients.models import Patient
from cases.prescriptions import given
from cases.prescriptions.models import Foot, Prescription, PrescriptionStatus, StartingPattern
from cases.prescriptions.models.prescription import Feet
from cases.prescriptions.parts import PartsOfFoot, parts_of, write_parts
from cases.prescriptions.patterns import laid_on
from cases.prescriptions.queries import whole
from cases.prescriptions.starting_values import starting_parts
from shared.history import acting
from shared.refusals import Refused
from shared.sides import SIDES, Side
from shared.versions import Stale, save_version
from workshop.staff.models import Person


@transaction.atomic
def start_prescription(
    patient: Patient,
    *,
    work: str,
    feet: str,
    construction: str,
    purpose: str = "",
    own_shoe: str = "",
    measure_set: MeasureSet | None = None,
    lasts: Mapping[str, Last] | None = None,
    pattern: StartingPattern | None = None,
    by: Person,
    at: datetime,
) -> Prescription:
    """Begin a draft: its feet with the parts of an ordinary shoe, worked out from measures and last where known.

    `lasts` gives the last of each side; without it, a side's only last of this client is taken. Without a
    `measure_set` the client's latest measures are taken. A `pattern` gives the parts in place of the ordinary ones.
    """
    number = next_number(patient)
    measure_set = measure_set or given.latest_measures(patient)
    says = f"Began prescription {number}."
    with acting(by=by, action="start_prescription", says=says, at=at, patient=patient.uuid):
        prescription = Prescription.objects.create(
            patient=patient,
            number=number,
            work=work,
            feet=feet,
            construction=construction,
            purpose=purpose,
            own_shoe=own_shoe,
            measure_set=measure_set,
            written_by=by,
            written_at=at,
            saved_at=at,
        )
        for side, last in given.lasts_of(patient, chosen=lasts or {}).items():
            if side in sides_of(feet):
                _begin_foot(prescription, side=side, last=last, pattern=pattern, at=at)
    return prescription


def next_number(patient: Patient) -> int:
    """The next free number of this client's prescriptions; the client's row stays locked until the end."""
    Patient.objects.select_for_update().get(pk=patient.pk)
    latest: int | None = patient.prescriptions.aggregate(latest=Max("number"))["latest"]
    return (latest or 0) + 1


def sides_of(feet: str) -> tuple[Side, ...]:
    """The feet that the work is on."""
    return SIDES if feet == Feet.BOTH else (Side(feet),)


@transaction.atomic
def save_draft(
    prescription: Prescription,
    *,
    seen_version: int,
    fields: Mapping[str, Any] | None = None,
    parts: Mapping[str, PartsOfFoot] | None = None,
    by: Person,
    at: datetime,
) -> Prescription:
    """Write what is given: `fields` of the pair, and `parts` by side and name. What is not named stays.

    `parts={"left": {"stiffener": {"medial_reach": "long", "medial_reach_mm": 180}, "rocker": None}}`

    Where the work is no longer on a foot, that foot goes; where it now is, that foot comes with its starting values.
    Gives the draft as it now is, whole. Raises `Refused` where it is no draft, `Stale` where somebody saved since.
    """
    draft = _whole_draft(prescription, seen_version=seen_version)
    changed = {name: value for name, value in (fields or {}).items() if getattr(draft, name) != value}
    with acting(
        by=by,
        action="save_draft",
        says=f"Wrote on prescription {draft.number}, version {draft.version_no}.",
        at=at,
        patient=draft.patient.uuid,
    ):
        save_version(draft, seen_version=seen_version, saved_at=at, **changed)
        if _agree_feet(draft, at=at):
            draft = whole(draft.uuid)
        for foot in draft.foot_set.all():
            write_parts(foot, (parts or {}).get(foot.side, {}))
    return draft


@transaction.atomic
def copy_foot(prescription: Prescription, *, seen_version: int, of: str, by: Person, at: datetime) -> Prescription:
    """Make the other foot the same as the foot `of`, all parts, medial staying medial. Its last stays its own.

    Raises `Refused` where the work is on one foot only or the version is no draft, `Stale` as `save_draft`.
    """
    draft = _whole_draft(prescription, seen_version=seen_version)
    feet = {foot.side: foot for foot in draft.foot_set.all()}
    if set(feet) != set(SIDES):
        raise Refused("The work is on one shoe only: there is no other to copy to.")
    source, target = feet[of], feet[Side(of).other]
    with acting(
        by=by,
        action="copy_foot",
        says=f"Copied {Side(source.side).label} to {Side(target.side).label} in prescription {draft.number}.",
        at=at,
        patient=draft.patient.uuid,
    ):
        save_version(draft, seen_version=seen_version, saved_at=at)
        write_parts(target, parts_of(source))
    return draft


def locked_for_writing(prescription: Prescription) -> Prescription:
    """The draft, locked until the end, whoever saved it last. Raises `Refused` where it is none."""
    draft = Prescription.objects.select_for_update(of=("self",)).select_related("patient").get(pk=prescription.pk)
    _refuse_unless_draft(draft)
    return draft


def locked_draft(prescription: Prescription, *, seen_version: int) -> Prescription:
    """The draft, locked until the end. Raises `Refused` where it is none, `Stale` where somebody saved since."""
    draft = locked_for_writing(prescription)
    _refuse_unless_seen(draft, seen_version=seen_version)
    return draft


def _refuse_unless_draft(version: Prescription) -> None:
    if version.status != PrescriptionStatus.DRAFT:
        raise Refused(f"This version is {version.get_status_display()}: it is not changed. Write a new version.")


def _refuse_unless_seen(draft: Prescription, *, seen_version: int) -> None:
    if draft.version != seen_version:
        raise Stale(draft)


def _whole_draft(prescription: Prescription, *, seen_version: int) -> Prescription:
    """The draft with everything in it, locked until the end. Raises as `locked_draft`.

    A version that was read whole and that nobody saved since is not read again.
    """
    locked = Prescription.objects.select_for_update().only("status", "version").get(pk=prescription.pk)
    _refuse_unless_draft(locked)
    _refuse_unless_seen(locked, seen_version=seen_version)
    is_as_read = prescription.is_whole and prescription.version == locked.version
    return prescription if is_as_read else whole(prescription.uuid)


def _agree_feet(draft: Prescription, *, at: datetime) -> bool:
    """Give the draft the feet that the work is on, and no other; whether that changed anything."""
    wanted = {str(side) for side in sides_of(draft.feet)}
    there = {str(foot.side): foot for foot in draft.foot_set.all()}
    for side in sorted(there.keys() - wanted):
        there[side].delete()
    missing = sorted(wanted - there.keys())
    if missing:
        lasts = given.lasts_of(draft.patient, chosen={})
        for side in missing:
            _begin_foot(draft, side=side, last=lasts[Side(side)], at=at)
    return wanted != there.keys()


def _begin_foot(
    prescription: Prescription, *, side: str, last: Last | None, pattern: StartingPattern | None = None, at: datetime
) -> None:
    foot = Foot.objects.create(prescription=prescription, side=side, last=last)
    on = timezone.localdate(at)
    known, reaches = given.of_a_foot(side, last=last, measure_set=prescription.measure_set), given.reach_settings(on=on)
    parts: PartsOfFoot = starting_parts(
        work=prescription.work,
        construction=prescription.construction,
        given=known,
        figures=given.starting_figures(on=on),
        reaches=reaches,
    )
    if pattern is not None:
        parts = laid_on(pattern.parts, ordinary=parts, arcs=known.arcs, reaches=reaches)
    write_parts(foot, parts)
