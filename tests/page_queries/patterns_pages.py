"""Patterns: of one pair, one piece of it, and what is cut."""

from cases.bench.models import Pair
from cases.patterns.actions import Adjusted
from shared.sides import Side
from tests.factories.lasts import make_measure_set
from tests.factories.patients import make_patient
from tests.factories.patterns import (
    MEDIUM_MM,
    make_adjustment,
    make_lasts,
    make_own_template,
    make_pair_on_lasts,
    reach,
)
from tests.factories.staff import make_person
from tests.page_queries.counted import KNOWN, Asked, Counted, Scene

SMALL = {"insole": None}
"""So that thirty pairs are soon drafted."""
VERSION = "the version with everything in it; figures and materials"
PAIR = f"{KNOWN}; the pair with its own templates; {VERSION}; adjustments with their differences"
BENCH = f"{PAIR}, of all pairs; benches"


def _adjusted(scene: Scene) -> Pair:
    """A pair whose medial reach was adjusted so many times, with a template of its own for the puff."""
    maker = make_person(name="Max Maker", roles=["maker"])
    patient = make_patient()
    measured = make_measure_set(patient=patient)
    pair = make_pair_on_lasts(by=scene.clinician, at=scene.now, patient=patient, measure_set=measured, both=SMALL)
    make_own_template(pair, by=maker, at=scene.now)
    before = None
    for number, name in enumerate(scene.names()):
        adjusted: Adjusted = reach(MEDIUM_MM + 1 + number % 2, after=before)
        before = make_adjustment(pair, adjusted, reason=name, by=maker, at=scene.now)
    return pair


def _patterns(scene: Scene) -> Asked:
    return Asked([_adjusted(scene).uuid])


def _left_file(scene: Scene) -> Asked:
    return Asked([_adjusted(scene).uuid, "left"])


def _piece(scene: Scene) -> Asked:
    return Asked([_adjusted(scene).uuid, Side.LEFT, "stiffener"], {"what": "medial-reach"})


def _bench(scene: Scene) -> Asked:
    """So many pairs whose next stages lie anywhere, on the same lasts."""
    lasts = make_lasts(None)
    for name in scene.names():
        patient = make_patient(record_number=name)
        measured = make_measure_set(patient=patient)
        make_pair_on_lasts(
            by=scene.clinician,
            at=scene.now,
            patient=patient,
            lasts=lasts,
            feet="left",
            measure_set=measured,
            both=SMALL,
        )
    return Asked()


PAGES = [
    Counted("patterns", "maker", 7, PAIR, "adjustments", _patterns),
    Counted("pattern-piece", "maker", 7, PAIR, "adjustments of the piece", _piece),
    Counted(
        "cutting-of-pair",
        "maker",
        7,
        PAIR,
        "adjustments, which the list does not show",
        _patterns,
        most_shown=0,
    ),
    Counted(
        "cutting-of-pair-pdf", "maker", 7, PAIR, "adjustments, which the list does not show", _patterns, most_shown=0
    ),
    Counted("cutting-of-bench", "maker", 8, BENCH, "pairs on the bench", _bench),
    Counted("cutting-of-bench-pdf", "maker", 8, BENCH, "pairs on the bench, pressed together", _bench, most_shown=0),
    Counted("patterns-svg", "maker", 7, PAIR, "adjustments, of which the latest is drawn", _left_file, most_shown=0),
    Counted("patterns-dxf", "maker", 7, PAIR, "adjustments, of which the latest is drawn", _left_file, most_shown=0),
]
