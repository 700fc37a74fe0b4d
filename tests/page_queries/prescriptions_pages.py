"""Prescriptions: begun, drafted, read, signed."""

from typing import Any

from cases.lasts.models import Last
from cases.patients.models import Patient
from cases.prescriptions.actions import switch_note, write_new_version
from cases.prescriptions.models import Prescription
from cases.prescriptions.notes import RULES
from tests.factories.figures import load_figures
from tests.factories.lasts import make_last, make_measure_set
from tests.factories.patients import make_allergy, make_finding, make_patient
from tests.factories.prescriptions import make_order_document, make_pattern, make_prescription, make_signed_prescription
from tests.factories.staff import make_person
from tests.page_queries.counted import KNOWN, Asked, Counted, Scene
from tests.page_queries.patients_pages import raise_red_flags

WHOLE = f"{KNOWN}; the version, and the one it follows, each with everything in it"
DRAWN = "figures and materials"
FOUND = "open red flags"
BEHIND = "findings, allergies, notes answered and switched off"


def _client(scene: Scene) -> Patient:
    """A client with so much found, measured, and on the rack."""
    load_figures()
    patient = make_patient()
    for name in scene.names():
        make_finding(patient, condition="corn", place=name, found_by=scene.clinician)
        make_allergy(patient, substance=name)
        make_measure_set(patient=patient, taken_by=scene.clinician)
        make_last(owner=patient, number=name)
    raise_red_flags(patient, scene)
    return patient


def _prescribed(scene: Scene) -> dict[str, Any]:
    reliefs = [{"place": name, "width_mm": 34, "height_mm": 26, "way": "cut out"} for name in scene.names()]
    return {"patient": _client(scene), "written_by": scene.clinician, "both": {"reliefs": reliefs}}


def _new(scene: Scene) -> Asked:
    return Asked([_client(scene).uuid])


def _draft(scene: Scene) -> Asked:
    prescribed = _prescribed(scene)
    measures = prescribed["patient"].measure_sets.earliest("pk")
    return Asked([make_prescription(measure_set=measures, **prescribed).uuid])


def _drawn(scene: Scene) -> dict[str, Any]:
    """Prescribed from measures, and LEFT on a last: what a drawing reads."""
    prescribed = _prescribed(scene)
    patient = prescribed["patient"]
    return {
        "measure_set": patient.measure_sets.earliest("pk"),
        "left_last": Last.objects.filter(owner=patient).earliest("pk"),
        **prescribed,
    }


def _signed(scene: Scene) -> Asked:
    return Asked([make_signed_prescription(**_drawn(scene)).uuid])


def _next_version(scene: Scene) -> Prescription:
    signed = make_signed_prescription(**_drawn(scene))
    return write_new_version(signed, reason="The back rubs.", by=scene.clinician, at=scene.now)


def _follows(scene: Scene) -> Asked:
    return Asked([_next_version(scene).uuid])


def _beside(scene: Scene) -> Asked:
    return Asked([_next_version(scene).uuid], {"beside": 1})


def _patterns(scene: Scene) -> Asked:
    draft = make_prescription(written_by=scene.clinician)
    for name in scene.names():
        make_pattern(draft, name=name)
    return Asked()


def _attached(scene: Scene) -> Asked:
    draft = make_prescription(**_prescribed(scene))
    for name in scene.names():
        make_order_document(draft, title=name)
    return Asked([draft.uuid])


def _paper(scene: Scene) -> Asked:
    draft = make_prescription(written_by=scene.clinician)
    return Asked([[make_order_document(draft, title=name) for name in scene.names()].pop().uuid])


def _switched(scene: Scene) -> Asked:
    manager = make_person(roles=["manager"])
    for number, name in enumerate(scene.names()):
        switch_note(next(iter(RULES)), is_off=number % 2 == 0, reason=name, by=manager, at=scene.now)
    return Asked()


DRAWING = Counted(
    "prescription-drawing",
    "maker",
    5,
    f"{WHOLE}; {DRAWN}",
    "reliefs on each foot",
    _signed,
)

PAGES = [
    Counted(
        "prescription-panel",
        "clinician",
        5,
        f"{KNOWN}; the version with everything in it and behind its notes; {DRAWN}",
        "reliefs, findings, allergies",
        _draft,
    ),
    DRAWING,
    Counted(
        "prescription-drawing",
        "maker",
        5,
        DRAWING.reads,
        DRAWING.grows,
        _beside,
        case="beside the one before",
    ),
    DRAWING.part("prescriptions/drawing.html#shoes-cut-open", 5, DRAWING.reads),
    Counted(
        "prescription-patterns",
        "manager",
        4,
        f"{KNOWN}; the patterns with who kept each",
        "patterns, by name",
        _patterns,
    ),
    Counted(
        "order-document-add",
        "clinician",
        4,
        WHOLE,
        "papers that are attached already: this page adds one",
        _attached,
        most_shown=0,
    ),
    Counted(
        "order-document",
        "clinician",
        4,
        f"{KNOWN}; the paper with its version and client",
        "papers of the same order, of which one",
        _paper,
        most_shown=0,
    ),
    Counted(
        "prescription-new",
        "clinician",
        8,
        f"{KNOWN}; the client; open red flags; the last pair; patterns; measures to choose from",
        "measures, each shown by its day, and red flags, by their signs",
        _new,
        most_shown=0,
    ),
    Counted(
        "prescription",
        "clinician",
        9,
        f"{WHOLE}; {DRAWN}; lasts to choose from; measures to choose from; {FOUND}; {BEHIND}",
        "reliefs, lasts, measures, findings, allergies",
        _draft,
        case="draft",
    ),
    Counted(
        "prescription",
        "maker",
        6,
        f"{WHOLE}; {DRAWN}; its versions",
        "reliefs on each foot",
        _signed,
        case="signed",
    ),
    Counted(
        "prescription",
        "maker",
        6,
        f"{WHOLE}; {DRAWN}; all versions",
        "reliefs on each foot of both versions",
        _follows,
        case="next version",
    ),
    Counted(
        "prescription-sign",
        "clinician",
        7,
        f"{WHOLE}; {DRAWN}; {FOUND}; {BEHIND}",
        "reliefs, findings, allergies, red flags",
        _follows,
    ),
    Counted(
        "notes",
        "manager",
        4,
        f"{KNOWN}; the latest switch of each note",
        "reasons for which the first note was switched: the latest stands",
        _switched,
        most_shown=1,
    ),
]
