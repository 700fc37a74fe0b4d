"""A pair comes to the bench: from a signed prescription, as a repeat, as a repair; and what the client was told."""

from collections.abc import Collection, Mapping
from datetime import date, datetime
from uuid import uuid4

from django.db import connection, transaction
from django.db.models import Max
from django.utils import timezone

from cases.bench import queries
from cases.bench.actions import planning
from cases.bench.actions.locking import lock_pair
from cases.bench.models import Pair, PairState, PairVisit, Promise
from cases.bench.repeats import fitting_is_wanted
from cases.diary.clock import in_words
from cases.diary.models import Visit
from cases.patients.models import Patient
from cases.prescriptions import queries as prescriptions
from cases.prescriptions.actions import repeat_prescription, sign_prescription
from cases.prescriptions.models import Prescription
from cases.prescriptions.models.prescription import Feet, PrescriptionStatus, WorkKind
from shared.history import acting
from shared.refusals import NotAllowed, Refused
from shared.sides import SIDES, Side
from workshop.staff.models import Person

FIRST_PROMISE = "first promise"
REPAIR_JOBS: Mapping[str, str] = {
    "heel job": "new heel",
    "half sole job": "half sole",
    "full sole job": "full sole",
    "heel lining job": "line the heel again",
    "strap job": "mend the strap",
}


@transaction.atomic
def open_pair(
    prescription: Prescription,
    *,
    promised_day: date,
    rough_fitting: bool | None = None,
    by: Person,
    at: datetime,
) -> Pair:
    """Open a pair from a signed prescription, with its promised day and its route.

    The rough fitting is planned for a new pair unless said otherwise. Raises `Refused`.
    """
    version = prescriptions.whole(prescription.uuid)
    if version.status != PrescriptionStatus.SIGNED:
        raise Refused("A pair is opened from a signed prescription.")
    working = Pair.objects.filter(
        working_to__patient=version.patient_id, working_to__number=version.number, state=PairState.OPEN
    ).first()
    if working is not None:
        raise Refused(f"Pair {working.number} is already on the bench for this prescription.")
    wanted = version.work == WorkKind.NEW if rough_fitting is None else rough_fitting
    pair = Pair(
        patient=version.patient,
        kind=version.work,
        feet=version.feet,
        working_to=version,
        description=version.purpose,
    )
    return _open(pair, version, promised_day=promised_day, rough_fitting=wanted, by=by, at=at)


@transaction.atomic
def repeat_pair(pair: Pair, *, promised_day: date, rough_fitting: bool | None = None, by: Person, at: datetime) -> Pair:
    """Make a pair once more on the same last: its prescription is copied as a repeat, signed by `by`, and opened.

    A rough fitting is planned where the last visit is more than a year ago or swelling was found since, or as said.
    A change of the weight is not known here: the clinician says so. Raises `NotAllowed` and `Refused`.
    """
    if pair.working_to is None or pair.kind not in (WorkKind.NEW, WorkKind.REPEAT):
        raise Refused("Only a pair that was built on a last can be made again.")
    if not by.may_prescribe:
        raise NotAllowed("A repeat is signed by a person who may prescribe.")
    latest = queries.current_version(pair.working_to) or pair.working_to
    draft = repeat_prescription(latest, by=by, at=at)
    signed = sign_prescription(draft, seen_version=draft.version, by=by, at=at)
    version = prescriptions.whole(signed.uuid)
    wanted = fitting_is_wanted(pair, at=at) if rough_fitting is None else rough_fitting
    again = Pair(
        patient=pair.patient,
        kind=version.work,
        feet=version.feet,
        working_to=version,
        repeat_of=pair,
        description=pair.description,
    )
    return _open(again, version, promised_day=promised_day, rough_fitting=wanted, by=by, at=at)


def _open(
    pair: Pair, version: Prescription, *, promised_day: date, rough_fitting: bool, by: Person, at: datetime
) -> Pair:
    feet = planning.foot_plans(version, rough_fitting=rough_fitting)
    today = timezone.localdate(at)
    table = queries.workshop_table(on=today)
    planned = planning.plan(pair, feet, construction=version.construction, table=table)
    _number(pair, promised_day=promised_day, by=by, at=at)
    again = f", pair {pair.repeat_of.number} once more" if pair.repeat_of else ""
    says = f"Opened pair {pair.number}: {pair.get_kind_display()}{again}, promised {in_words(promised_day)}."
    with acting(by=by, action="open_pair", says=says, at=at, patient=pair.patient.uuid, pair=pair.uuid):
        _save_with_promise(pair)
        planning.write_stages(pair, planned, fresh=set(planned), live={}, feet=feet, on=today)
    return pair


@transaction.atomic
def open_repair(
    patient: Patient,
    *,
    description: str,
    feet: str,
    promised_day: date,
    jobs: Collection[str] = ("full sole job",),
    heights_to_restore: Mapping[Side, str] | None = None,
    by: Person,
    at: datetime,
) -> Pair:
    """Take in a repair. `jobs` are keys of `REPAIR_JOBS`; heights given for a foot are checked before and after.

    Raises `Refused` where nothing or something unknown is to be done.
    """
    if not jobs or not set(jobs) <= set(REPAIR_JOBS):
        raise Refused("Say what is to be repaired.")
    if not description.strip():
        raise Refused("Say in a few words what is to be repaired.")
    heights = heights_to_restore or {}
    plans = tuple(
        planning.FootPlan(
            side=side,
            words={"heights": (("restore exactly", heights[side]),)} if heights.get(side) else {},
            features=frozenset(jobs),
        )
        for side in SIDES
        if feet in (Feet.BOTH, side)
    )
    pair = Pair(patient=patient, kind=WorkKind.REPAIR, feet=feet, description=description.strip())
    today = timezone.localdate(at)
    table = queries.workshop_table(on=today)
    planned = planning.plan(pair, plans, construction="", table=table)
    _number(pair, promised_day=promised_day, by=by, at=at)
    what = ", ".join(REPAIR_JOBS[job] for job in REPAIR_JOBS if job in jobs)
    says = f"Took in pair {pair.number} for repair: {what}, promised {in_words(promised_day)}."
    with acting(by=by, action="open_repair", says=says, at=at, patient=patient.uuid, pair=pair.uuid):
        _save_with_promise(pair)
        planning.write_stages(pair, planned, fresh=set(planned), live={}, feet=plans, on=today)
    return pair


def _number(pair: Pair, *, promised_day: date, by: Person, at: datetime) -> None:
    """Give a pair the next number. Whoever opens a pair at the same moment waits for it."""
    if promised_day < timezone.localdate(at):
        raise Refused("The promised day is already past.")
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_xact_lock(hashtext('bench_pair.number'))")
    latest: int | None = Pair.objects.aggregate(latest=Max("number"))["latest"]
    pair.uuid = uuid4()
    pair.number = (latest or 0) + 1
    pair.promised_day = promised_day
    pair.opened_at = at
    pair.opened_by = by


def _save_with_promise(pair: Pair) -> None:
    pair.save()
    Promise.objects.create(pair=pair, day=pair.promised_day, reason=FIRST_PROMISE, by=pair.opened_by, at=pair.opened_at)


@transaction.atomic
def promise_again(pair: Pair, *, day: date, reason: str, by: Person, at: datetime) -> Promise:
    """Tell the client another day. The earlier promises stay on record. Raises `Refused`, also for a day gone by."""
    pair = lock_pair(pair)
    if not reason.strip():
        raise Refused("Say why the client was told another day.")
    if day == pair.promised_day:
        raise Refused(f"{in_words(day)} is already the promised day.")
    if day < timezone.localdate(at):
        raise Refused(f"{in_words(day)} is already past.")
    says = (
        f"Promised pair {pair.number} for {in_words(day)} instead of {in_words(pair.promised_day)}: {reason.strip()}."
    )
    with acting(by=by, action="promise_again", says=says, at=at, patient=pair.patient.uuid, pair=pair.uuid):
        promise = Promise.objects.create(pair=pair, day=day, reason=reason.strip(), by=by, at=at)
        pair.promised_day = day
        pair.save(update_fields=["promised_day"])
    return promise


@transaction.atomic
def link_visit(pair: Pair, visit: Visit, *, by: Person, at: datetime) -> PairVisit:
    """Say that a visit is about this pair. Said again, it stays as it is."""
    already = PairVisit.objects.filter(visit=visit).first()
    if already is not None:
        if already.pair_id != pair.pk:
            raise Refused("This visit is already about another pair.")
        return already
    if visit.patient_id != pair.patient_id:
        raise Refused("This visit belongs to another client.")
    kind = visit.kind.name
    says = f"{kind} of {in_words(visit.day)} is about pair {pair.number}."
    with acting(by=by, action="link_visit", says=says, at=at, patient=pair.patient.uuid, pair=pair.uuid):
        return PairVisit.objects.create(pair=pair, visit=visit)
