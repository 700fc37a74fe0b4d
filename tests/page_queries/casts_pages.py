"""Casts and scans."""

from tests.factories.lasts import make_cast, make_measure_set
from tests.factories.patients import make_patient
from tests.factories.scans import make_scan
from tests.page_queries.counted import KNOWN, Asked, Counted, Scene


def _register(scene: Scene) -> Asked:
    for name in scene.names():
        make_cast(patient=make_patient(), place=name)
    return Asked()


def _of_a_client(scene: Scene) -> Asked:
    patient = make_patient()
    for name in scene.names():
        make_scan(patient=patient, cast=make_cast(patient=patient, place=name))
    return Asked([patient.uuid])


def _cast(scene: Scene) -> Asked:
    cast = make_cast(place="row-1")
    for _ in range(scene.rows):
        make_scan(patient=cast.patient, cast=cast)
    return Asked([cast.uuid])


def _labels(scene: Scene) -> Asked:
    return Asked(query={"cast": [make_cast(place=name) for name in scene.names()][-1].uuid})


def _scan(scene: Scene) -> Asked:
    patient = make_patient()
    make_measure_set(patient=patient)
    return Asked([[make_scan(patient=patient) for _ in range(scene.rows)][-1].uuid])


REGISTER = Counted("casts", "maker", 4, f"{KNOWN}; casts with their clients", "casts", _register)
ONE_CAST = f"{KNOWN}; the cast with client and maker"

PAGES = [
    REGISTER,
    REGISTER.part("lasts/casts.html#found", 4, REGISTER.reads),
    Counted(
        "client-casts",
        "clinician",
        7,
        f"{KNOWN}; the client; red flags; casts; scans",
        "casts, each with a scan",
        _of_a_client,
    ),
    Counted("cast", "maker", 5, f"{ONE_CAST}; its scans", "scans of the cast", _cast, most_shown=1),
    Counted("cast-move", "clinician", 4, ONE_CAST, "scans of the cast", _cast, most_shown=1),
    Counted("cast-label", "maker", 4, ONE_CAST, "scans of the cast", _cast, most_shown=0),
    Counted(
        "cast-labels",
        "maker",
        4,
        f"{KNOWN}; the casts asked for with their clients",
        "casts, of which the label of one",
        _labels,
        most_shown=0,
    ),
    Counted(
        "scan-new",
        "clinician",
        7,
        f"{KNOWN}; the client; casts to work from, once to begin with and once to choose; red flags",
        "casts to choose from",
        _of_a_client,
    ),
    Counted(
        "scan",
        "clinician",
        7,
        f"{KNOWN}; the scan with client and cast; that of the other foot; last sitting by hand; its measures",
        "scans of the client, of which one",
        _scan,
        most_shown=0,
    ),
    Counted(
        "scan-file",
        "maker",
        5,
        f"{KNOWN}; the scan with client; its file",
        "scans of the client, of which one",
        _scan,
        most_shown=0,
    ),
]
