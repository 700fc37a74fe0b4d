"""Who may open what, written out by hand from what each role must get done, and tried at every door.

Reception finds, books, calls and sends letters. The clinician finds, measures, prescribes, signs, fits, reviews. The
maker works at the bench. The manager sees what is late and why, and keeps the workshop's figures, hours and
terminals. The administrator makes accounts.
"""

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.db import transaction
from django.http import HttpResponseBase
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cases.bench.actions import record_check
from cases.bench.models import Pair
from cases.fittings.actions import record_fitting
from cases.fittings.models import HandOver
from cases.lasts.actions import choose_rack_file
from cases.lasts.rack_files import write_rack_file
from cases.patients.models import Patient
from tests.architecture.walk import url_patterns
from tests.factories.bench import bring_to, load_starting_values, make_pair, requirement
from tests.factories.diary import make_call
from tests.factories.figures import make_material
from tests.factories.fittings import finished_pair, make_review, visit_about, worn_pair
from tests.factories.hours import load_hours, make_closure
from tests.factories.lasts import make_cast, make_last, make_measure_set, make_patch, make_photo
from tests.factories.patients import make_allergy, make_finding, make_paper, make_red_flag
from tests.factories.prescriptions import make_order_document, make_pattern, make_prescription, make_signed_prescription
from tests.factories.scans import make_scan
from tests.factories.staff import make_person
from tests.factories.terminals import give_pin, make_terminal
from workshop.staff.models import Person
from workshop.terminals.middleware import COOKIE

EVERYBODY = {"everybody"}
STAFF = {"staff"}
METHODS = ("GET", "POST")
ROLES = ("reception", "clinician", "maker", "manager", "administrator")

MAY_OPEN: Mapping[str, set[str]] = {
    # Coming in and going out.
    "sign-in": EVERYBODY,
    "sign-out": EVERYBODY,
    "terminal-unlock": EVERYBODY,
    "terminal-pin": EVERYBODY,
    "home": STAFF,
    # Accounts; and who guessed a password too often waits for whoever is there to help.
    "people": {"administrator"},
    "person-new": {"administrator"},
    "person-edit": {"administrator"},
    "person-retire": {"administrator"},
    "person-bring-back": {"administrator"},
    "locked-out": {"manager", "administrator"},
    "let-try-again": {"manager", "administrator"},
    # The workshop itself.
    "terminals": {"manager"},
    "terminal-revoke": {"manager"},
    "hours": {"manager"},
    "room-add": {"manager"},
    "closure-add": {"manager"},
    "closure-remove": {"manager"},
    "opening-hours-set": {"manager"},
    "figures": {"manager"},
    "figure-edit": {"manager"},
    "materials": {"clinician", "maker", "manager"},
    "material-add": {"manager"},
    "material-edit": {"manager"},
    # A client's record: looked up by all who speak with clients; what was found is the clinician's to write.
    "clients": {"reception", "clinician", "manager"},
    "client-new": {"reception", "clinician", "manager"},
    "client-edit": {"reception", "clinician", "manager"},
    "client": STAFF,
    "open-record": {"maker", "administrator"},
    "finding-add": {"clinician"},
    "finding-end": {"clinician"},
    "allergy-add": {"clinician"},
    "allergy-end": {"clinician"},
    "red-flag-raise": {"clinician"},
    "red-flag-answer": {"clinician"},
    "paper": STAFF,
    # The diary.
    "diary": {"reception", "clinician", "manager"},
    "visit-book": {"reception", "clinician", "manager"},
    "visit": {"reception", "clinician", "manager"},
    "visit-arrive": {"reception", "clinician", "manager"},
    "visit-done": {"reception", "clinician", "manager"},
    "visit-missed": {"reception", "clinician", "manager"},
    "visit-take-back": {"reception", "clinician", "manager"},
    "visit-cancel": {"reception", "clinician", "manager"},
    "calls": {"reception", "clinician", "manager"},
    "call-tried": {"reception", "clinician", "manager"},
    "call-settle": {"reception", "clinician", "manager"},
    "call-rung-back": {"clinician"},
    "ring-back": {"reception", "clinician", "manager"},
    # Measures and casts are taken by the clinician; makers work from them and handle the lasts.
    "measures-new": {"clinician"},
    "measures-draft": {"clinician"},
    "measures-draft-drop": {"clinician"},
    "measures-sheet": {"clinician"},
    "slip-answer": {"clinician"},
    "measures": {"clinician", "maker", "manager"},
    "cast-new": {"clinician"},
    "cast-move": {"clinician"},
    "cast-destroy": {"clinician"},
    "casts": {"clinician", "maker", "manager"},
    "client-casts": {"clinician", "maker", "manager"},
    "cast": {"clinician", "maker", "manager"},
    "cast-label": {"clinician", "maker", "manager"},
    "cast-labels": {"clinician", "maker", "manager"},
    "scan-new": {"clinician"},
    "scan": {"clinician", "maker", "manager"},
    "scan-file": {"clinician", "maker", "manager"},
    "scan-place": {"clinician"},
    "scan-take": {"clinician"},
    "last-rack": {"clinician", "maker", "manager"},
    "rack-export": {"clinician", "maker", "manager"},
    "rack-import": {"clinician", "maker"},
    "rack-file": {"clinician", "maker"},
    "nearest-lasts": {"clinician", "maker", "manager"},
    "last-photo": {"clinician", "maker", "manager"},
    "last-photo-small": {"clinician", "maker", "manager"},
    "last-photo-add": {"clinician", "maker"},
    "last-condition": {"clinician", "maker"},
    "last": {"clinician", "maker", "manager"},
    "stock-last-new": {"clinician", "maker"},
    "last-new": {"clinician", "maker"},
    "last-alter": {"clinician", "maker"},
    "last-agree": {"clinician", "maker"},
    "last-move": {"clinician", "maker"},
    "last-measure": {"clinician", "maker"},
    "last-target": {"clinician", "maker"},
    "last-patch-new": {"clinician", "maker"},
    "last-patch-drop": {"clinician", "maker"},
    "last-bottom": {"clinician", "maker"},
    "last-deformities": {"clinician", "maker"},
    "last-sheet-print": {"clinician", "maker", "manager"},
    # The prescription.
    "prescription-new": {"clinician"},
    "prescription": {"clinician", "maker", "manager"},
    "prescription-sign": {"clinician"},
    "prescription-new-version": {"clinician"},
    "prescription-withdraw": {"clinician"},
    "prescription-keep": {"clinician"},
    "prescription-open": {"clinician"},
    # What a draft begins from: clinicians write it, the manager reads it. The letter of a prescriber is clinical.
    "prescription-patterns": {"clinician", "manager"},
    "prescription-pattern-keep": {"clinician"},
    "prescription-pattern-retire": {"clinician"},
    "order-document-add": {"clinician"},
    "order-document": {"clinician"},
    "order-document-off": {"clinician"},
    "order-take-over": {"clinician"},
    # The bench: makers tick and check; the manager keys in what was done on paper; the clinician looks and settles.
    "my-bench": {"clinician", "maker", "manager"},
    "pair-bench": {"clinician", "maker", "manager"},
    "catch-up": {"maker", "manager"},
    "stage-tick": {"maker", "manager"},
    "stage-begin": {"maker", "manager"},
    "stage-take-back": {"maker", "manager"},
    "check-record": {"maker", "manager"},
    "check-withdraw": {"maker", "manager"},
    "version-take-up": {"maker", "manager"},
    "differences": {"clinician", "manager"},
    # A maker answers a difference by making the part again; to accept it takes a person who may prescribe.
    "difference-settle": {"clinician", "maker", "manager"},
    # A pair comes and goes. A repeat is signed as it is opened; a repair is taken in by whoever meets the client.
    "pair-open": {"clinician", "maker", "manager"},
    "pair-repeat": {"clinician"},
    "repair-open": {"reception", "clinician", "manager"},
    "promise-again": {"reception", "clinician", "manager"},
    "pair-give-up": {"clinician", "manager"},
    "pair": {"reception", "clinician", "maker", "manager"},
    "job-card-print": {"clinician", "maker", "manager"},
    # Fitting, hand-over and review; makers read what is to be done after a fitting.
    "fitting-new": {"clinician"},
    "fitting": {"clinician", "maker", "manager"},
    "hand-over-new": {"clinician"},
    "hand-over": {"clinician", "manager"},
    "review-new": {"clinician"},
    "review": {"clinician", "manager"},
    "review-letter-print": {"clinician", "manager"},
    # First screens.
    "desk": {"reception"},
    "clinic": {"clinician"},
    "late": {"manager"},
    # Notes: the clinician answers, everybody who reads a prescription sees which are asked, the manager switches.
    "note-answer": {"clinician"},
    "notes": {"clinician", "maker", "manager"},
    "note-switch": {"manager"},
    # A figure tried without a client.
    "calculators": STAFF,
    "calculator": STAFF,
}

READ_AND_NOT_WRITTEN: Mapping[str, set[str]] = {"prescription": {"maker", "manager"}}
"""One address to read and to write, which these roles may only read."""


def test_every_view_says_what_the_table_says() -> None:
    declared = {str(pattern.name): set(getattr(pattern.callback, "open_to", ())) for pattern in url_patterns()}
    assert declared == MAY_OPEN


Arguments = Mapping[str, tuple[Any, ...]]

OF_A_PAIR = (
    "pair",
    "pair-bench",
    "pair-repeat",
    "promise-again",
    "pair-give-up",
    "job-card-print",
    "stage-tick",
    "stage-begin",
    "stage-take-back",
    "check-record",
    "check-withdraw",
    "version-take-up",
)
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
    "prescription-pattern-keep",
    "order-document-add",
    "order-take-over",
    "note-answer",
)
OF_A_SIGNED_PRESCRIPTION = ("prescription-new-version", "pair-open")
OF_A_PERSON = ("person-edit", "person-retire", "person-bring-back")


@pytest.fixture
def rows(db: None, now: datetime) -> Arguments:
    """For every address that names a row, one that exists."""
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
    record_check(asked, outcome="differs", found="medial reach 121 mm", by=clinician, at=now)
    return {**dict.fromkeys(OF_A_PAIR, (pair.uuid,)), "difference-settle": (pair.differences.get().uuid,)}


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


def knock(person: Person | None, address: str, method: str, *, cookies: Mapping[str, str]) -> HttpResponseBase:
    """Ask for an address as this person, with an empty form where something is sent; whatever it did is undone."""
    client = Client(raise_request_exception=False)
    client.cookies.load(dict(cookies))
    with transaction.atomic():
        if person is not None:
            client.force_login(person)
        form = {"submission": str(uuid4())}
        answer = client.get(address) if method == "GET" else client.post(address, form)
        transaction.set_rollback(True)
    return answer


def is_refused(answer: HttpResponseBase) -> bool:
    sent_to_the_door = answer.headers.get("Location", "").startswith(f"{reverse('sign-in')}?next=")
    return answer.status_code == 403 or sent_to_the_door


def may_open(role: str, name: str, method: str) -> bool:
    if MAY_OPEN[name] == EVERYBODY:
        return True
    if method == "POST" and role in READ_AND_NOT_WRITTEN.get(name, ()):
        return False
    return role != "nobody" and (MAY_OPEN[name] == STAFF or role in MAY_OPEN[name])


@pytest.fixture
def at_a_terminal(rows: Arguments) -> Mapping[str, str]:
    """The cookie of a device that a manager has registered."""
    device = Client()
    make_terminal(device)
    return {COOKIE: device.cookies[COOKIE].value}


def person_in(role: str) -> Person | None:
    return None if role == "nobody" else make_person(roles=[role], may_prescribe=role == "clinician")


@pytest.mark.parametrize("role", [*ROLES, "nobody"])
def test_every_address_opens_to_the_roles_of_the_table_alone(
    rows: Arguments, at_a_terminal: Mapping[str, str], role: str
) -> None:
    person = person_in(role)
    answers = {
        # A PIN is typed at a registered device alone, whoever types it.
        (method, name): knock(
            person, reverse(name, args=rows.get(name)), method, cookies=at_a_terminal if name == "terminal-pin" else {}
        )
        for method in METHODS
        for name in MAY_OPEN
    }
    broken = {asked: answer.status_code for asked, answer in answers.items() if answer.status_code >= 500}
    open_to_them = {(method, name) for method, name in answers if may_open(role, name, method)}
    let_in = {asked for asked, answer in answers.items() if not is_refused(answer)}
    assert (broken, let_in - open_to_them, open_to_them - let_in) == ({}, set(), set())


NAMES_A_ROW = sorted(str(pattern.name) for pattern in url_patterns() if "<" in str(pattern.pattern))
NAMES_NOTHING: Mapping[str, tuple[Any, ...]] = {
    "opening-hours-set": (7,),
    "figure-edit": ("no-such-figure",),
    "calculator": ("no-such-calculation",),
}


@pytest.mark.parametrize("role", [*ROLES, "nobody"])
def test_an_address_that_names_no_row_is_not_found_or_refused(db: None, role: str) -> None:
    load_starting_values()
    person = person_in(role)
    answers = {
        (method, name): knock(person, reverse(name, args=NAMES_NOTHING.get(name, (uuid4(),))), method, cookies={})
        for method in METHODS
        for name in NAMES_A_ROW
    }
    # 405: nothing is ever looked for by this method.
    astray = {
        (method, name): answer.status_code
        for (method, name), answer in answers.items()
        if not is_refused(answer) and not (may_open(role, name, "GET") and answer.status_code in {404, 405})
    }
    assert astray == {}
