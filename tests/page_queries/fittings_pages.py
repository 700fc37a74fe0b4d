"""Visits, fittings, hand-overs and reviews."""

from cases.fittings.actions import record_fitting
from cases.fittings.entries import FittingNote
from cases.fittings.models import HandOver
from cases.patients.models import Patient
from tests.factories.bench import make_pair
from tests.factories.diary import make_drop_in, make_visit
from tests.factories.fittings import finished_pair, make_review, visit_about, worn_pair
from tests.factories.patients import make_finding, make_paper, make_patient
from tests.page_queries.counted import KNOWN, Asked, Counted, Scene
from tests.page_queries.patients_pages import raise_red_flags

VISIT = f"{KNOWN}; the visit; the client; the pair"


def _found_of(patient: Patient, scene: Scene) -> None:
    for name in scene.names():
        make_finding(patient, condition="corn", place=name, found_by=scene.clinician)
        make_paper(patient, title=name, rendered_by=scene.clinician)
    raise_red_flags(patient, scene)


def _visit(scene: Scene) -> Asked:
    pair = make_pair(by=scene.clinician, at=scene.now)
    for _ in range(scene.rows):
        make_drop_in(day=scene.now.date(), patient=pair.patient)
    return Asked([visit_about(pair, kind="rough-fitting", by=scene.clinician, at=scene.now).uuid])


def _fitting_to_record(scene: Scene) -> Asked:
    pair = make_pair(by=scene.clinician, at=scene.now)
    _found_of(pair.patient, scene)
    return Asked([visit_about(pair, kind="trial-shoe", by=scene.clinician, at=scene.now).uuid])


def _which_pair(scene: Scene) -> Asked:
    patient = make_patient()
    for _ in range(scene.rows):
        make_pair(by=scene.clinician, at=scene.now, patient=patient, written_by=scene.clinician)
    visit = make_visit(starts_at=scene.now, kind="trial-shoe", patient=patient, clinician=scene.clinician)
    return Asked([visit.uuid], {"pair": "not said"})


def _fitting(scene: Scene) -> Asked:
    pair = make_pair(by=scene.clinician, at=scene.now)
    fitting = record_fitting(
        visit_about(pair, kind="trial-shoe", by=scene.clinician, at=scene.now),
        pair=pair,
        kind="trial shoe",
        outcome="accept",
        findings=[FittingNote("left", "heel", name) for name in scene.names()],
        by=scene.clinician,
        at=scene.now,
    )
    return Asked([fitting.uuid])


def _hand_over_to_record(scene: Scene) -> Asked:
    pair = finished_pair(by=scene.clinician, at=scene.now)
    _found_of(pair.patient, scene)
    return Asked([visit_about(pair, kind="hand-over", by=scene.clinician, at=scene.now).uuid])


def _hand_over(scene: Scene) -> Asked:
    pair = worn_pair(by=scene.clinician, at=scene.now)
    _found_of(pair.patient, scene)
    return Asked([HandOver.objects.get(pair=pair).uuid])


def _review_to_record(scene: Scene) -> Asked:
    pair = worn_pair(by=scene.clinician, at=scene.now)
    _found_of(pair.patient, scene)
    return Asked([visit_about(pair, kind="review", by=scene.clinician, at=scene.now).uuid])


def _review(scene: Scene) -> Asked:
    pair = worn_pair(by=scene.clinician, at=scene.now)
    _found_of(pair.patient, scene)
    return Asked([make_review(pair, by=scene.clinician, at=scene.now).uuid])


RECORDED = "what was found of the client and printed, which is not shown here"

PAGES = [
    Counted(
        "visit",
        "clinician",
        10,
        f"{VISIT}; what was recorded at it, of three kinds in one each; red flags of the client",
        "other visits of the client, which are not shown",
        _visit,
        most_shown=0,
    ),
    Counted("fitting-new", "clinician", 6, VISIT, RECORDED, _fitting_to_record, most_shown=0),
    Counted(
        "fitting-new",
        "clinician",
        7,
        f"{VISIT}; pairs to choose from",
        "pairs to choose from, each shown by its number",
        _which_pair,
        case="which pair",
        most_shown=0,
    ),
    Counted("fitting", "maker", 5, f"{KNOWN}; the fitting; its findings", "findings of the fitting", _fitting),
    Counted(
        "hand-over-new",
        "clinician",
        10,
        f"{VISIT}; window of the review; findings; red flags; what differs at the end",
        "red flags, each shown by its sign, and findings",
        _hand_over_to_record,
        most_shown=0,
    ),
    Counted("hand-over", "clinician", 5, f"{KNOWN}; the hand-over; the client", RECORDED, _hand_over, most_shown=0),
    Counted("review-new", "clinician", 6, VISIT, RECORDED, _review_to_record, most_shown=0),
    Counted("review", "clinician", 6, f"{KNOWN}; the review; its feet; the client", RECORDED, _review, most_shown=0),
]
