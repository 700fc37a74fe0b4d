"""Loads the invented workshop: one run of the whole thread for each of its pairs, by the actions people use."""

from collections.abc import Mapping
from datetime import datetime, timedelta

from django.db import connection, transaction
from django.utils import timezone

from cases.bench import actions as bench_actions
from cases.bench.models import Pair
from cases.diary.models import VisitKind
from cases.patients import actions as patients
from cases.patients.models import Patient
from cases.prescriptions.models import Prescription
from demo.beginnings import keep_patterns, receive_an_order
from demo.bench import Bench
from demo.calendar import at_time, working_day
from demo.clients import CLIENTS, Client
from demo.clinic import Clinic, examine, heel_height_of, measure_and_cast, prescribe, put_lasts_on_the_rack, refer
from demo.endings import go_home, trust_the_scale, weigh
from demo.pairs import FINISHED, HANDED_OVER, PAIRS, PlannedPair
from demo.parts import Prescribed
from demo.people import STAFF
from demo.pieces import adjust_pieces
from demo.prescriptions import PRESCRIPTIONS
from demo.rack import put_stock_on_the_rack, tape_the_rest
from demo.scans import scan_feet
from demo.shaping import shape_lasts
from demo.today import fill_the_diary, raise_a_difference, start_drying
from shared.history import Program
from workshop.staff import actions as staff
from workshop.staff.models import Person

SEED = 1902
DAYS_BEFORE_OPENING = 12
"""From the measures to the opened pair: time for the last and the signature."""


def load(*, now: datetime) -> None:
    """Fill an empty database with the invented workshop. All or nothing; the same seed gives the same workshop.

    Raises `ValueError` where the database already holds people: they would not be invented ones.
    """
    if Person.objects.exists():
        raise ValueError("This database already holds people. The invented workshop is loaded into an empty one only.")
    with transaction.atomic():
        clinic = _open_the_clinic(now)
        trust_the_scale(clinic)
        put_stock_on_the_rack(clinic)
        pairs = _build_all(clinic)
        start_drying(clinic, pairs["collapsed-arch"])
        raise_a_difference(clinic, pairs["haglund"])
        fill_the_diary(clinic, pairs)
        shape_lasts(clinic, pairs)
        tape_the_rest(clinic)
        scan_feet(clinic, {key: pair.patient for key, pair in pairs.items()})
        keep_patterns(clinic, pairs)
        adjust_pieces(clinic, pairs)
        receive_an_order(clinic, pairs["rheumatoid"])
        _refresh_statistics()


def _open_the_clinic(now: datetime) -> Clinic:
    at = now - timedelta(days=400)
    people = {}
    for member in STAFF:
        person = staff.make_person(
            login=member.login,
            name=member.name,
            initials=member.initials,
            roles=member.roles,
            password=member.password,
            may_prescribe=member.may_prescribe,
            by=Program(),
            at=at,
        )
        if member.pin:
            staff.set_pin(person, pin=member.pin, by=Program(), at=at)
        people[member.login] = person
    referrer = patients.register_referrer(
        name="Foot Clinic, Larkfield (invented)",
        address="2 Invented Lane\nLarkfield",
        by=people["nell"],
        at=at,
    )
    return Clinic(
        now=now,
        seed=SEED,
        staff=people,
        referrer=referrer,
        kinds={kind.key: kind for kind in VisitKind.objects.all()},
    )


def _build_all(clinic: Clinic) -> Mapping[str, Pair]:
    """Every client with their pairs; gives the latest of each client, a repair only where there is no other."""
    prescribed = {prescription.client: prescription for prescription in PRESCRIPTIONS}
    latest = {}
    for number, client in enumerate(CLIENTS, start=1):
        planned = sorted((pair for pair in PAIRS if pair.client == client.key), key=lambda pair: pair.opened)
        patient, prescription = _first_visits(clinic, client, number, prescribed.get(client.key), planned)
        earlier: Pair | None = None
        _refresh_statistics()
        for pair in planned:
            built = _build(clinic, pair, patient, prescription, earlier)
            if not pair.repair or client.key not in latest:
                latest[client.key] = earlier = built
    return latest


def _refresh_statistics() -> None:
    """Nothing is committed yet, so the server cannot know by itself how the tables have grown."""
    with connection.cursor() as cursor:
        # Named one by one: without names it locks, until all is committed, what every database of the server shares.
        cursor.execute(f"ANALYZE {', '.join(connection.introspection.table_names(cursor))}")


def _first_visits(
    clinic: Clinic, client: Client, number: int, prescribed: Prescribed | None, planned: list[PlannedPair]
) -> tuple[Patient, Prescription | None]:
    if not planned:
        patient = refer(clinic, client, number=number, on=clinic.day(-6))
        examine(clinic, client, patient, at=clinic.now - timedelta(days=5))
        return patient, None
    measured_on = clinic.day(planned[0].opened - DAYS_BEFORE_OPENING)
    patient = refer(clinic, client, number=number, on=working_day(measured_on - timedelta(days=30), forward=False))
    assessment = clinic.book(patient, "assessment", working_day(measured_on - timedelta(days=7), forward=False))
    examine(clinic, client, patient, at=clinic.hold(assessment))
    if prescribed is None:
        return patient, None
    casting = clinic.book(patient, "measures-and-cast", measured_on)
    measure_and_cast(clinic, client, patient, casting, heel_height_mm=heel_height_of(prescribed))
    at = clinic.hold(casting)
    if prescribed.work == "new":
        at = at_time(clinic.day(planned[0].opened - 3), at_time(measured_on, at.time()).time())
        put_lasts_on_the_rack(clinic, client, patient, prescribed, at=at)
    return patient, prescribe(clinic, patient, prescribed, at=at + timedelta(hours=1))


def _build(
    clinic: Clinic, planned: PlannedPair, patient: Patient, prescription: Prescription | None, earlier: Pair | None
) -> Pair:
    opened_on = clinic.day(planned.opened)
    opened_at = min(clinic.now, timezone.make_aware(datetime.combine(opened_on, clinic.opens)))
    pair = _open(clinic, planned, patient, prescription, earlier, at=opened_at)
    bench = Bench(pair=pair, makers=[clinic.staff["bram"], clinic.staff["sunniva"]], clock=opened_at, now=clinic.now)
    is_done = planned.reached in {FINISHED, HANDED_OVER}
    until = None if is_done else planned.reached
    bench.spread(until, until=clinic.at(clinic.day(planned.handed_over - 6)) if planned.handed_over else clinic.now)
    while bench.work_until(until) == "rough-fitting" and until != "rough-fitting":
        bench.clock = clinic.rough_fitting(pair, after=bench.clock)
    pair.refresh_from_db()
    if is_done:
        weigh(clinic, planned, pair, at=bench.clock)
    if planned.reached == HANDED_OVER:
        go_home(clinic, planned, pair)
    return pair


def _open(
    clinic: Clinic,
    planned: PlannedPair,
    patient: Patient,
    prescription: Prescription | None,
    earlier: Pair | None,
    *,
    at: datetime,
) -> Pair:
    promised_day = clinic.day(planned.promised)
    if planned.repair:
        return bench_actions.open_repair(
            patient,
            description=planned.repair,
            feet=planned.repaired_feet,
            promised_day=promised_day,
            jobs=planned.repair_jobs,
            heights_to_restore=planned.heights_to_restore,
            by=clinic.staff["nell"],
            at=at,
        )
    if planned.again and earlier is not None:
        return bench_actions.repeat_pair(earlier, promised_day=promised_day, by=clinic.staff["iris"], at=at)
    assert prescription is not None
    return bench_actions.open_pair(prescription, promised_day=promised_day, by=clinic.staff["bram"], at=at)
