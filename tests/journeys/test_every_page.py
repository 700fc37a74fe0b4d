"""Every page of the program, in the invented workshop, before each person to whom it is open, at their own screen."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any
from urllib.parse import urlsplit

import pytest
from django.core.management import call_command
from django.db import connection
from django.urls import resolve
from django.utils import timezone
from playwright.sync_api import Browser, Page
from pytest_django.live_server_helper import LiveServer

from demo.load import load
from tests.architecture.walk import url_patterns
from tests.browser import seat
from tests.journeys.addresses import (
    ADDRESSES,
    FILES,
    ONLY_SENT,
    PAPERS,
    PARTS,
    SCREENS,
    Called,
    address_of_paper,
    roles_at,
)
from tests.journeys.invented_workshop import InventedWorkshop, furnish
from tests.journeys.looking import wrong_at_this_size, wrong_headers, wrong_with

pytestmark = [pytest.mark.browser, pytest.mark.django_db]

OPEN_TO: dict[str, frozenset[str]] = {
    str(pattern.name): getattr(pattern.callback, "open_to", frozenset()) for pattern in url_patterns()
}
PAGES = [(role, name) for name in ADDRESSES for role in roles_at(name, OPEN_TO.get(name, frozenset()))]


@pytest.fixture(scope="module")
def workshop(django_db_setup: None, django_db_blocker: Any) -> Iterator[InventedWorkshop]:
    """The invented workshop, loaded once, since loading it takes longer than looking at ten pages."""
    with django_db_blocker.unblock():
        # Emptied at the end: were no test here marked for the database, this would be the workshop's own.
        assert str(connection.settings_dict["NAME"]).startswith("test_")
        call_command("prepare_workshop")
        now = timezone.now()
        load(now=now)
        try:
            yield furnish(now=now)
        finally:
            call_command("flush", interactive=False, verbosity=0)


@dataclass
class Screen:
    """The page before one person, always the same, and what its browser complained about."""

    page: Page
    complaints: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.page.on("console", lambda said: self.complaints.append(said.text) if said.type == "error" else None)
        self.page.on("pageerror", lambda error: self.complaints.append(str(error)))


@pytest.fixture(scope="module")
def screens(workshop: InventedWorkshop, chromium: Browser) -> Iterator[Mapping[str, Screen]]:
    """One screen for each role. All sign in before the first test: what a test writes no server sees."""
    server = LiveServer("localhost")
    screens = {
        role: Screen(seat(chromium, server.url, person, at=SCREENS[role][0], cookies=workshop.cookies.get(role)))
        for role, person in workshop.people.items()
    }
    yield screens
    for screen in screens.values():
        screen.page.context.close()
    server.stop()


def test_the_walk_knows_every_address() -> None:
    assert {*ADDRESSES, *ONLY_SENT, *FILES, *PARTS} == set(OPEN_TO)


def look(screen: Screen, called: Called, *, role: str, name: str) -> Iterator[str]:
    """What is wrong with one page at every screen of this role."""
    page = screen.page
    screen.complaints.clear()
    page.set_viewport_size(SCREENS[role][0])
    yield from wrong_with(page, page.goto(called.path), [] if workshop_is_closed_to(role) else [role])
    stands_at = resolve(urlsplit(page.url).path).url_name
    if stands_at != (called.leads_to or name):
        yield f"it led to {stands_at}"
    for size in SCREENS[role][1:]:
        page.set_viewport_size(size)
        yield from (f"at {size['width']} px width {each}" for each in wrong_at_this_size(page))
    yield from screen.complaints


def workshop_is_closed_to(role: str) -> bool:
    return role.startswith("nobody")


@pytest.mark.parametrize(("role", "name"), PAGES)
def test_nothing_is_wrong_with_a_page(
    workshop: InventedWorkshop, screens: Mapping[str, Screen], role: str, name: str
) -> None:
    wrong = {
        called.path: list(look(screens[role], called, role=role, name=name))
        for called in ADDRESSES[name](workshop, role)
    }
    assert wrong == {path: [] for path in wrong}


@pytest.mark.parametrize(("role", "kind"), [(role, kind) for kind, roles in PAPERS.items() for role in roles])
def test_a_paper_is_given_out_and_kept_by_no_cache(
    workshop: InventedWorkshop, screens: Mapping[str, Screen], role: str, kind: str
) -> None:
    answer = screens[role].page.request.get(address_of_paper(kind))
    wrong = list(wrong_headers(answer.headers))
    assert (answer.status, answer.headers["content-type"], wrong) == (200, "application/pdf", [])
