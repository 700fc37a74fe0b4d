"""A client's record, and finding one."""

from cases.patients.models import Patient
from cases.patients.red_flags import SIGNS
from shared.sides import SIDES, Side
from tests.factories.patients import (
    make_allergy,
    make_finding,
    make_paper,
    make_patient,
    make_red_flag,
    make_referrer,
)
from tests.page_queries.counted import KNOWN, Asked, Counted, Scene

CLIENT = f"{KNOWN}; the client"


def _recorded(scene: Scene) -> Patient:
    """A client with so many findings on each foot, allergies, red flags answered and red flags open."""
    patient, by = make_patient(referrer=make_referrer()), scene.clinician
    for name in scene.names():
        for side in SIDES:
            make_finding(patient, side=side, condition="corn", place=name, found_by=by)
        make_allergy(patient, substance=name)
        make_red_flag(
            patient,
            raised_by=by,
            answered_by=by,
            what_was_done=name,
            referred_to="a clinic",
            answered_at=scene.now,
        )
    raise_red_flags(patient, scene)
    return patient


def raise_red_flags(patient: Patient, scene: Scene) -> None:
    """As many open red flags as there are rows, or as there are signs on two feet."""
    signs = [(sign, side) for sign in SIGNS for side in Side]
    for sign, side in signs[: scene.rows]:
        make_red_flag(patient, sign=sign, side=side, raised_by=scene.clinician)


def _of_the_client(scene: Scene) -> Asked:
    return Asked([_recorded(scene).uuid])


def _details_of_a_finding(scene: Scene) -> Asked:
    return Asked([_recorded(scene).uuid], {"condition": "hammer_toe"})


def _red_flag(scene: Scene) -> Asked:
    return Asked([_recorded(scene).red_flags.filter(answered_at__isnull=True).earliest("pk").uuid])


def _found(scene: Scene) -> Asked:
    for name in scene.names():
        make_patient(family_name=name)
    return Asked(query={"text": "row"})


def _with_referrers(scene: Scene) -> Asked:
    for name in scene.names():
        make_referrer(name=name)
    return Asked()


def _edited(scene: Scene) -> Asked:
    _with_referrers(scene)
    return _of_the_client(scene)


def _one_of_the_papers(scene: Scene) -> Asked:
    patient = make_patient()
    return Asked([[make_paper(patient, title=name) for name in scene.names()][-1].uuid])


CLIENTS = Counted("clients", "reception", 4, f"{KNOWN}; clients found", "clients found", _found, most_shown=25)
FINDINGS = Counted(
    "finding-add",
    "clinician",
    6,
    f"{CLIENT}; red flags; findings",
    "findings, allergies, red flags",
    _of_the_client,
)

PAGES = [
    CLIENTS,
    CLIENTS.part("patients/clients.html#found", 4, f"{KNOWN}; clients found"),
    Counted("client-new", "reception", 4, f"{KNOWN}; referrers to choose from", "referrers", _with_referrers),
    Counted(
        "client-edit",
        "clinician",
        6,
        f"{CLIENT} with referrer; red flags; referrers to choose from",
        "referrers, red flags",
        _edited,
    ),
    Counted(
        "open-record",
        "maker",
        4,
        CLIENT,
        "what is recorded, of which nothing is told before a reason is given",
        _of_the_client,
        most_shown=0,
    ),
    FINDINGS,
    Counted(
        "finding-add",
        "clinician",
        6,
        f"{CLIENT}; red flags; findings",
        "findings, of which the details of a new one show none",
        _details_of_a_finding,
        fragment="patients/findings.html#details",
        most_shown=0,
    ),
    Counted("allergy-add", "clinician", 6, f"{CLIENT}; red flags; allergies", "allergies, red flags", _of_the_client),
    Counted(
        "red-flag-raise",
        "clinician",
        6,
        f"{CLIENT}; red flags open; red flags answered",
        "red flags answered, red flags open",
        _of_the_client,
    ),
    Counted(
        "red-flag-answer",
        "clinician",
        5,
        f"{KNOWN}; the red flag with its client; the other red flags",
        "red flags open, shown by their sign",
        _red_flag,
        most_shown=0,
    ),
    Counted(
        "paper",
        "clinician",
        4,
        f"{KNOWN}; the paper with its client",
        "papers of the client, of which one",
        _one_of_the_papers,
        most_shown=0,
    ),
]
