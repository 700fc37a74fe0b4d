"""Keeping a scan, laying it as a person says, and taking its numbers as measures. Each scan is measured apart."""

import hashlib
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils import timezone

from cases.diary.clock import in_words
from cases.lasts.actions.checks import check_day
from cases.lasts.actions.measures import MeasureValue, record_measures
from cases.lasts.meshes.apart import measure_apart
from cases.lasts.meshes.files import BadMesh
from cases.lasts.models import Cast, MeasureSet, Method, Scan
from cases.lasts.scans import takeable_mm
from cases.patients.models import Patient
from shared.history import acting
from shared.refusals import Refused
from shared.sides import Side
from shared.versions import Stale, save_version
from workshop.staff.models import Person

NOON = time(12)


@transaction.atomic
def add_scan(
    patient: Patient,
    *,
    side: str,
    cast: Cast | None = None,
    file: bytes,
    load: str,
    heel_height_mm: Decimal,
    made_on: date,
    by: Person,
    at: datetime,
) -> Scan:
    """Keep the scan of a foot or of its cast, checked and measured. Heel height in mm.

    Raises `Refused` for a file that cannot be measured or is here already, a cast of another foot, a day to come.
    """
    check_day(made_on, at=at)
    _check_cast(cast, patient, side=side)
    sha256 = hashlib.sha256(file).hexdigest()
    twin = patient.scans.defer("file").filter(sha256=sha256).first()
    if twin is not None:
        raise Refused(f"This very file is kept already: the scan {Side(twin.side).label} of {in_words(twin.made_on)}.")
    measured = _measured(file, side=side, placed={})
    says = f"Kept the scan {Side(side).label} of {in_words(made_on)}."
    with acting(by=by, action="add_scan", says=says, at=at, patient=patient.uuid):
        return Scan.objects.create(
            patient=patient,
            cast=cast,
            side=side,
            format=measured["format"],
            file=file,
            sha256=sha256,
            faces=measured["faces"],
            load=load,
            heel_height_mm=heel_height_mm,
            made_on=made_on,
            added_at=at,
            added_by=by,
            measured=measured,
        )


def _check_cast(cast: Cast | None, patient: Patient, *, side: str) -> None:
    if cast is not None and cast.patient_id != patient.pk:
        raise Refused("This cast is another client's.")
    if cast is not None and cast.side != side:
        raise Refused(f"This cast is of the {Side(cast.side).label} foot.")


def _measured(file: bytes, *, side: str, placed: Mapping[str, Any]) -> dict[str, Any]:
    try:
        return measure_apart(file, side=side, asked=placed)
    except BadMesh as bad:
        raise Refused(bad.message) from bad


@transaction.atomic
def place_scan(scan: Scan, *, seen_version: int, placed: Mapping[str, Any], by: Person, at: datetime) -> None:
    """Lay a scan as a person says (`meshes.measuring.measure` names what may be said) and measure it so.

    Raises `Refused` where its measures were taken already or nothing can be measured so, `Stale` where somebody else
    laid it meanwhile.
    """
    scan = Scan.objects.select_for_update(of=("self",)).select_related("patient").get(pk=scan.pk)
    if scan.taken_as_id is not None:
        raise Refused("The measures of this scan were taken: it stays as it was laid then.")
    if scan.version != seen_version:
        raise Stale(scan)
    measured = _measured(bytes(scan.file), side=scan.side, placed=placed)
    says = f"Laid the scan {Side(scan.side).label} of {in_words(scan.made_on)} and measured it so."
    with acting(by=by, action="place_scan", says=says, at=at, patient=scan.patient.uuid):
        save_version(scan, seen_version=seen_version, placed=dict(placed), measured=measured)


@transaction.atomic
def take_measures(
    scans: Mapping[Scan, int], *, chosen: Sequence[tuple[str, str]], by: Person, at: datetime
) -> MeasureSet:
    """Take what a person chose, (side, key of `measures.py`), of scans made in one go as one sitting of measuring.

    `scans` gives for each the version that was seen: one scan, or one of each foot. Raises `Refused` where nothing is
    chosen, something is not there to be taken or was taken, and `Stale` where one was laid anew meanwhile.
    """
    seen = {scan.pk: version for scan, version in scans.items()}
    held = list(
        Scan.objects.select_for_update(of=("self",)).select_related("patient").defer("file").filter(pk__in=seen)
    )
    _check_takeable(held, seen)
    values = _values(held, chosen)
    first = held[0]
    noon = timezone.make_aware(datetime.combine(first.made_on, NOON))
    measure_set = record_measures(
        first.patient,
        taken_at=min(at, noon),
        method=Method.SCAN,
        load=first.load,
        heel_height_mm=first.heel_height_mm,
        values=values,
        by=by,
        at=at,
    )
    used = [scan for scan in held if any(value.side == scan.side for value in values)]
    feet = " and ".join(sorted(Side(scan.side).label for scan in used))
    says = f"Took the measures of the scan {feet} of {in_words(first.made_on)}."
    with acting(by=by, action="take_measures", says=says, at=at, patient=first.patient.uuid):
        for scan in used:
            save_version(scan, seen_version=seen[scan.pk], taken_as=measure_set)
    return measure_set


def _check_takeable(held: Sequence[Scan], seen: Mapping[int, int]) -> None:
    for scan in held:
        if scan.taken_as_id is not None:
            raise Refused(f"The measures of the scan {Side(scan.side).label} were taken already.")
        if scan.version != seen[scan.pk]:
            raise Stale(scan)
    together = {(scan.patient_id, scan.made_on, scan.load, scan.heel_height_mm) for scan in held}
    if len(together) != 1 or len({scan.side for scan in held}) != len(held):
        raise Refused("Only scans of both feet that were made in one go are one sitting.")


def _values(held: Sequence[Scan], chosen: Sequence[tuple[str, str]]) -> list[MeasureValue]:
    offered = {(scan.side, key): value for scan in held for key, value in takeable_mm(scan.measured).items()}
    if not chosen:
        raise Refused("Tick at least one measure to take it.")
    if any(each not in offered for each in chosen):
        raise Refused("One of these measures is not there to be taken from the scan.")
    return [MeasureValue(side=side, name=key, take=1, value_mm=offered[side, key]) for side, key in chosen]
