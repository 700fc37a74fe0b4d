"""Measures, casts and lasts."""

from datetime import timedelta

from cases.lasts.models import LegGirth
from shared.sides import Side
from tests.factories.base import setting_up
from tests.factories.figures import load_figures
from tests.factories.lasts import agreed, make_cast, make_last, make_measure_set
from tests.factories.patients import make_patient
from tests.page_queries.counted import KNOWN, Asked, Counted, Scene

CLIENT = f"{KNOWN}; the client"


def _measured(scene: Scene) -> Asked:
    load_figures()
    patient = make_patient()
    for number in range(scene.rows):
        make_measure_set(patient=patient, taken_at=scene.now - timedelta(days=number))
    return Asked([patient.uuid])


def _sitting_with_legs(scene: Scene) -> Asked:
    """The second sitting of a client, whose leg was measured at so many heights."""
    load_figures()
    before = make_measure_set(taken_at=scene.now - timedelta(days=90))
    measure_set = make_measure_set(patient=before.patient, taken_at=scene.now)
    with setting_up():
        for height_mm, name in enumerate(scene.names(), start=200):
            LegGirth.objects.create(
                measure_set=measure_set, side=Side.LEFT, words=name, height_mm=height_mm, girth_mm=300
            )
    return Asked([measure_set.uuid])


def _cast(scene: Scene) -> Asked:
    load_figures()
    patient = make_patient()
    for name in scene.names():
        make_cast(patient=patient, place=name)
    return Asked([patient.uuid])


def _one_of_the_casts(scene: Scene) -> Asked:
    patient = make_patient()
    return Asked([[make_cast(patient=patient, place=name) for name in scene.names()][-1].uuid])


def _rack(scene: Scene) -> Asked:
    for name in scene.names():
        agreed(make_last(owner=make_patient(), number=name))
    return Asked()


def _stock_last(scene: Scene) -> Asked:
    load_figures()
    for name in scene.names():
        make_last(number=name)
    return Asked()


RACK = Counted("last-rack", "maker", 4, f"{KNOWN}; lasts with owner and agreement", "lasts", _rack)

PAGES = [
    Counted(
        "measures-new",
        "clinician",
        12,
        f"{CLIENT}; last sitting; its measures; what others typed; findings; visits; who measures; third takes; red flags",
        "earlier sittings, of which the latest is shown",
        _measured,
        most_shown=0,
    ),
    Counted(
        "measures",
        "clinician",
        12,
        f"{KNOWN}; the sitting with client and measurer; its measures; legs; bulges; answers; the sitting before and its "
        "measures; findings; allowance",
        "heights at which the leg was measured",
        _sitting_with_legs,
    ),
    Counted(
        "measures-sheet",
        "clinician",
        7,
        f"{CLIENT}; last sitting; its measures; third takes",
        "earlier sittings, of which the latest is shown",
        _measured,
        most_shown=0,
    ),
    Counted(
        "cast-new",
        "clinician",
        8,
        f"{CLIENT}; visit of today; red flags; who casts; visits",
        "casts there are already",
        _cast,
        most_shown=0,
    ),
    Counted(
        "cast-destroy",
        "clinician",
        4,
        f"{KNOWN}; the cast",
        "casts of the client, of which one",
        _one_of_the_casts,
        most_shown=1,
    ),
    RACK,
    RACK.part("lasts/rack.html#found", 4, RACK.reads),
    Counted(
        "stock-last-new",
        "maker",
        5,
        f"{KNOWN}; toe spring; who makes lasts",
        "stock lasts there are already",
        _stock_last,
        most_shown=0,
    ),
    Counted(
        "last-new",
        "maker",
        8,
        f"{KNOWN}; the owner; toe spring; who makes lasts; casts of each foot in one each",
        "casts to work from",
        _cast,
    ),
]
