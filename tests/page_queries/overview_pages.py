"""Pages that join many rooms: the first screens, the client's page, the pair's page."""

from datetime import timedelta

from django.utils import timezone

from cases.bench.actions import promise_again
from cases.diary.models import RING_BACK
from cases.overview.calculations import CALCULATIONS
from shared.sides import SIDES
from tests.factories.bench import make_pair
from tests.factories.diary import make_call, make_visit
from tests.factories.figures import load_figures, make_figure
from tests.factories.lasts import make_cast, make_last, make_measure_set
from tests.factories.patients import make_allergy, make_finding, make_paper, make_patient
from tests.factories.prescriptions import make_prescription
from tests.page_queries.counted import KNOWN, Asked, Counted, Scene


def _desk(scene: Scene) -> Asked:
    clinician, today = scene.clinician, timezone.localdate(scene.now)
    for number, name in enumerate(scene.names()):
        starts_at = scene.now + timedelta(minutes=10 * number)
        make_visit(starts_at=starts_at, minutes=10, clinician=clinician, patient=make_patient(family_name=name))
        make_call(due_on=today)
        make_visit(starts_at=starts_at - timedelta(days=40), minutes=10)
    return Asked()


def _clinic(scene: Scene) -> Asked:
    for number, name in enumerate(scene.names()):
        pair = make_pair(by=scene.clinician, at=scene.now, patient=make_patient(family_name=name))
        starts_at = scene.now + timedelta(minutes=10 * number)
        make_visit(
            starts_at=starts_at, minutes=10, clinician=scene.clinician, patient=pair.patient, about_uuid=pair.uuid
        )
        make_prescription()
        make_call(due_on=timezone.localdate(scene.now), kind=RING_BACK)
    return Asked()


def _late(scene: Scene) -> Asked:
    opened, today, by = scene.now - timedelta(days=60), timezone.localdate(scene.now), scene.clinician
    for number, name in enumerate(scene.names()):
        late_client = make_patient(family_name=name)
        make_pair(by=by, at=opened, patient=late_client, promised_day=today - timedelta(days=number + 1))
        make_pair(by=by, at=opened, promised_day=today + timedelta(days=1))
    return Asked()


def _client(scene: Scene) -> Asked:
    patient, by = make_patient(), scene.clinician
    for number, name in enumerate(scene.names()):
        for side in SIDES:
            make_finding(patient, place=name, side=side)
        make_allergy(patient, substance=name)
        starts_at = scene.now + timedelta(days=30, minutes=10 * number)
        make_visit(starts_at=starts_at, minutes=10, patient=patient)
        make_paper(patient, title=name)
        make_measure_set(patient=patient, taken_by=by)
        make_cast(patient=patient, made_by=by)
        make_last(owner=patient, number=name)
        make_prescription(patient=patient)
        make_pair(by=by, at=scene.now, patient=patient, written_by=by)
    return Asked([patient.uuid])


def _pair(scene: Scene) -> Asked:
    by = scene.clinician
    pair = make_pair(by=by, at=scene.now)
    for number, name in enumerate(scene.names()):
        promise_again(pair, day=pair.promised_day + timedelta(days=number + 1), reason=name, by=by, at=scene.now)
        make_allergy(pair.patient, substance=name)
    return Asked([pair.uuid])


def _calculators(scene: Scene) -> Asked:
    for name in scene.names():
        make_patient(family_name=name)
    return Asked()


def _calculator(scene: Scene) -> Asked:
    load_figures()
    calculation = CALCULATIONS["last-length"]
    of_the_workshop = next(each.setting for each in calculation.inputs if each.setting)
    for days in range(1, scene.rows + 1):
        make_figure(of_the_workshop, "14", valid_from=timezone.localdate(scene.now) - timedelta(days=days))
    return Asked(["last-length"], {"foot_length_mm": 270})


CALCULATOR = Counted(
    "calculator",
    "maker",
    4,
    f"{KNOWN}; the workshop's own figures of this calculation",
    "values that a figure had, of which the one that holds is taken",
    _calculator,
    most_shown=0,
)

PAGES = [
    Counted("calculators", "maker", 3, KNOWN, "clients, of whom no calculator knows", _calculators, most_shown=0),
    CALCULATOR,
    CALCULATOR.part(
        "overview/calculator.html#result", 3, "session, person; the workshop's own figures of this calculation"
    ),
    Counted(
        "desk",
        "reception",
        10,
        f"{KNOWN}; opening hours; clinicians; visits; closures; counts of the week; calls to make; past visits that "
        "nobody marked",
        "visits, calls, past visits",
        _desk,
    ),
    Counted(
        "clinic",
        "clinician",
        8,
        f"{KNOWN}; whom to ring back; visits with red flags; their pairs; drafts; differences",
        "visits with their pairs, drafts",
        _clinic,
    ),
    Counted(
        "late",
        "manager",
        6,
        f"{KNOWN}; late pairs with their stages; their next stages; pairs due with theirs",
        "late pairs, pairs due soon",
        _late,
    ),
    Counted(
        "client",
        "clinician",
        12,
        f"{KNOWN}; the client; findings; red flags; allergies; measures with casts and lasts; prescriptions; pairs with "
        "their stages; visits; papers",
        "findings on both feet, allergies, visits, papers, measures, casts, lasts, prescriptions, pairs",
        _client,
    ),
    Counted(
        "pair",
        "clinician",
        7,
        f"{KNOWN}; the pair with its stages, promises, differences, fittings, hand-over, reviews, papers and allergies; "
        "the prescription with everything in it; room before the toe, for its drawing; the story",
        "promises, allergies, and the deeds of the story",
        _pair,
    ),
    Counted("pair", "reception", 4, f"{KNOWN}; the pair", "promises", _pair, case="at the desk"),
]
