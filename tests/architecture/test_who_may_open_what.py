"""Who may open what, written out by hand from what each role must get done, and tried at every door.

Reception finds, books, calls and sends letters. The clinician finds, measures, prescribes, signs, fits, reviews. The
maker works at the bench. The manager sees what is late and why, and keeps the workshop's figures, hours and
terminals. The administrator makes accounts.
"""

from collections.abc import Mapping
from datetime import datetime
from typing import Any
from uuid import uuid4

import pytest
from django.db import transaction
from django.http import HttpResponseBase
from django.test import Client
from django.urls import reverse

from tests.architecture.rows_at_addresses import Arguments, rows_at_addresses
from tests.architecture.walk import url_patterns
from tests.factories.bench import load_starting_values
from tests.factories.staff import make_person
from tests.factories.terminals import make_terminal
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
    "prescription-drawing": {"clinician", "maker", "manager"},
    "prescription-new-version": {"clinician"},
    "prescription-withdraw": {"clinician"},
    "prescription-keep": {"clinician"},
    "prescription-open": {"clinician"},
    "prescription-panel": {"clinician"},
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
    "check-measure": {"maker", "manager"},
    "placed-photo-add": {"maker", "manager"},
    "final-check": {"maker", "manager", "clinician"},
    "placed-photo": {"maker", "manager", "clinician"},
    "placed-photo-small": {"maker", "manager", "clinician"},
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
    "pair-weigh": {"maker", "manager", "clinician"},
    "pair": {"reception", "clinician", "maker", "manager"},
    "job-card-print": {"clinician", "maker", "manager"},
    # Patterns: all who read the bench look, print and list what is cut; makers adjust, and cut by their own templates.
    "patterns": {"clinician", "maker", "manager"},
    "pattern-piece": {"clinician", "maker", "manager"},
    "pattern-adjust": {"maker", "manager"},
    "adjustment-take-back": {"maker", "manager"},
    "own-template-use": {"maker", "manager"},
    "own-template-end": {"maker", "manager"},
    "patterns-print": {"clinician", "maker", "manager"},
    "patterns-svg": {"clinician", "maker", "manager"},
    "patterns-dxf": {"clinician", "maker", "manager"},
    "cutting-of-pair": {"clinician", "maker", "manager"},
    "cutting-of-pair-pdf": {"clinician", "maker", "manager"},
    "cutting-of-bench": {"clinician", "maker", "manager"},
    "cutting-of-bench-pdf": {"clinician", "maker", "manager"},
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


@pytest.fixture
def rows(db: None, now: datetime) -> Arguments:
    return rows_at_addresses(now)


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
    **dict.fromkeys(("pattern-piece", "pattern-adjust"), (uuid4(), "left", "stiffener")),
    **dict.fromkeys(("patterns-svg", "patterns-dxf"), (uuid4(), "left")),
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
