"""For every address that names a row, one that exists."""

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from django.test import Client
from django.utils import timezone

from cases.bench.models import Pair
from cases.fittings.actions import record_fitting
from cases.fittings.models import HandOver
from cases.lasts.actions import choose_rack_file
from cases.lasts.rack_files import write_rack_file
from cases.patients.models import Patient
from cases.patterns.actions import use_own_template
from shared.sides import Side
from tests.factories.bench import bring_to, differ, make_pair, make_placed_photo, requirement
from tests.factories.diary import make_call
from tests.factories.figures import make_material
from tests.factories.fittings import finished_pair, make_review, visit_about, worn_pair
from tests.factories.hours import load_hours, make_closure
from tests.factories.lasts import make_cast, make_last, make_measure_set, make_patch, make_photo
from tests.factories.patients import make_allergy, make_finding, make_paper, make_red_flag
from tests.factories.patterns import make_adjustment, make_pair_on_lasts, reach
from tests.factories.prescriptions import make_order_document, make_pattern, make_prescription, make_signed_prescription
from tests.factories.scans import make_scan
from tests.factories.staff import make_person
from tests.factories.terminals import give_pin, make_terminal
from workshop.staff.models import Person

Arguments = Mapping[str, tuple[Any, ...]]


OF_A_PAIR = (
    "pair",
    "pair-bench",
    "pair-repeat",
    "promise-again",
    "pair-give-up",
    "pair-weigh",
    "job-card-print",
    "stage-tick",
    "stage-begin",
    "stage-take-back",
    "check-record",
    "check-measure",
    "placed-photo-add",
    "final-check",
    "check-withdraw",
    "version-take-up",
)

OF_PATTERNS = ("patterns", "patterns-print", "own-template-use", "cutting-of-pair", "cutting-of-pair-pdf")

OF_A_FILE_OF_PATTERNS = ("patterns-svg", "patterns-dxf")

OF_A_PIECE = ("pattern-piece", "pattern-adjust")

OF_A_CLIENT = (
    "client",
    "client-edit",
    "open-record",
    "finding-add",
    "allergy-add",
    "red-flag-raise",
    "measures-new",
    "measures-draft",
    "measures-draft-drop",
    "measures-sheet",
    "cast-new",
    "client-casts",
    "scan-new",
    "nearest-lasts",
    "last-new",
    "prescription-new",
    "repair-open",
    "ring-back",
)

OF_A_VISIT = ("visit", "visit-arrive", "visit-done", "visit-missed", "visit-take-back", "visit-cancel", "fitting-new")

OF_A_CALL = ("call-tried", "call-settle", "call-rung-back")

OF_A_CAST = ("cast", "cast-move", "cast-destroy", "cast-label")

OF_A_SCAN = ("scan", "scan-file", "scan-place", "scan-take")

OF_A_LAST = (
    "last",
    "last-alter",
    "last-agree",
    "last-move",
    "last-measure",
    "last-target",
    "last-patch-new",
    "last-bottom",
    "last-deformities",
    "last-sheet-print",
    "last-photo-add",
    "last-condition",
)

OF_A_DRAFT = (
    "prescription",
    "prescription-sign",
    "prescription-withdraw",
    "prescription-keep",
    "prescription-open",
    "prescription-panel",
    "prescription-pattern-keep",
    "order-document-add",
    "order-take-over",
    "note-answer",
)

OF_A_SIGNED_PRESCRIPTION = ("prescription-drawing", "prescription-new-version", "pair-open")

OF_A_PERSON = ("person-edit", "person-retire", "person-bring-back")


def rows_at_addresses(now: datetime) -> Arguments:
    """For every address that names a row, what names one that was made for it."""
    load_hours()
    clinician = make_person(name="Pia Prescriber", roles=["clinician"], may_prescribe=True)
    somebody = make_person(name="Bo Bencher", roles=["maker"])
    give_pin(somebody)
    pair = make_pair(by=clinician, at=now)
    return {
        **dict.fromkeys(OF_A_PERSON, (somebody.uuid,)),
        "terminal-revoke": (make_terminal(Client()).uuid,),
        "terminal-pin": (somebody.uuid,),
        "closure-remove": (make_closure(day=timezone.localdate(now) + timedelta(days=3)).uuid,),
        "opening-hours-set": (2,),
        "figure-edit": ("toe_spring_mm",),
        "material-edit": (make_material().uuid,),
        "calculator": ("last-length",),
        **_rows_of_a_client(pair.patient, clinician, now),
        **_rows_of_the_bench(pair, clinician, now),
        **_rows_of_patterns(somebody, clinician, now),
        **_rows_of_visits(clinician, now),
    }


def _rows_of_a_client(patient: Patient, clinician: Person, now: datetime) -> Arguments:
    signed = make_signed_prescription(patient=patient, written_by=clinician)
    draft = make_prescription(patient=patient, written_by=clinician)
    return {
        **dict.fromkeys(OF_A_CLIENT, (patient.uuid,)),
        "finding-end": (make_finding(patient).uuid,),
        "allergy-end": (make_allergy(patient).uuid,),
        "red-flag-answer": (make_red_flag(patient).uuid,),
        "paper": (make_paper(patient).uuid,),
        **dict.fromkeys(("measures", "slip-answer"), (make_measure_set(patient=patient).uuid,)),
        **dict.fromkeys(OF_A_CAST, (make_cast(patient=patient).uuid,)),
        **dict.fromkeys(OF_A_SCAN, (make_scan(patient=patient).uuid,)),
        **dict.fromkeys(OF_A_LAST, (make_last(owner=patient).uuid,)),
        **dict.fromkeys(("last-photo", "last-photo-small"), (make_photo(by=clinician).uuid,)),
        "rack-file": (choose_rack_file(write_rack_file([]).encode(), name="rack.csv", by=clinician, at=now).uuid,),
        "last-patch-drop": (make_patch(by=clinician, at=now).uuid,),
        **dict.fromkeys(OF_A_DRAFT, (draft.uuid,)),
        **dict.fromkeys(("order-document", "order-document-off"), (make_order_document(draft).uuid,)),
        "prescription-pattern-retire": (make_pattern(draft).uuid,),
        **dict.fromkeys(OF_A_SIGNED_PRESCRIPTION, (signed.uuid,)),
    }


def _rows_of_the_bench(pair: Pair, clinician: Person, now: datetime) -> Arguments:
    bring_to(pair, "cut-stiffeners", by=clinician, at=now)
    asked = requirement(pair, "stiffener", "part")
    differ(asked, "medial reach 121 mm", by=clinician, at=now)
    return {
        **dict.fromkeys(OF_A_PAIR, (pair.uuid,)),
        "difference-settle": (pair.differences.get().uuid,),
        **dict.fromkeys(("placed-photo", "placed-photo-small"), (make_placed_photo(pair, by=clinician, at=now).uuid,)),
    }


def _rows_of_patterns(maker: Person, clinician: Person, now: datetime) -> Arguments:
    """A small pair: every address is knocked at by every role, and each knock drafts it."""
    few = {"insole": None, "stiffener": {"medial_reach": "short", "lateral_reach": "short"}}
    pair = make_pair_on_lasts(by=clinician, at=now, feet="left", both=few)
    used = use_own_template(pair, sides=(Side.LEFT,), piece="toe_puff", template="no. 3", by=maker, at=now)
    return {
        **dict.fromkeys(OF_PATTERNS, (pair.uuid,)),
        **dict.fromkeys(OF_A_FILE_OF_PATTERNS, (pair.uuid, "left")),
        **dict.fromkeys(OF_A_PIECE, (pair.uuid, "left", "stiffener")),
        "adjustment-take-back": (make_adjustment(pair, reach(80), by=maker, at=now).uuid,),
        "own-template-end": (used[0].uuid,),
    }


def _rows_of_visits(clinician: Person, now: datetime) -> Arguments:
    ready, worn = finished_pair(by=clinician, at=now), worn_pair(by=clinician, at=now)
    hand_over_to_come = visit_about(ready, kind="hand-over", by=clinician, at=now + timedelta(hours=1))
    review_to_come = visit_about(worn, kind="review", by=clinician, at=now + timedelta(hours=2))
    fitting = record_fitting(
        visit_about(ready, kind="final-fitting", by=clinician, at=now - timedelta(hours=2)),
        pair=ready,
        kind="final",
        outcome="accept",
        by=clinician,
        at=now,
    )
    review = make_review(worn, by=clinician, at=now).uuid
    return {
        **dict.fromkeys(OF_A_VISIT, (hand_over_to_come.uuid,)),
        **dict.fromkeys(OF_A_CALL, (make_call(due_on=timezone.localdate(now)).uuid,)),
        "hand-over-new": (hand_over_to_come.uuid,),
        "review-new": (review_to_come.uuid,),
        "fitting": (fitting.uuid,),
        "hand-over": (HandOver.objects.get(pair=worn).uuid,),
        **dict.fromkeys(("review", "review-letter-print"), (review,)),
    }
