"""What a terminal does by itself, and by touch alone, in a real browser."""

import os
import shutil
from collections.abc import Callable, Iterator
from datetime import timedelta
from typing import Any

import pytest
from django.contrib.sessions.backends.db import SessionStore
from django.contrib.sessions.models import Session
from django.db import connections
from django.utils import timezone
from playwright.sync_api import BrowserContext, Page, expect, sync_playwright

from tests.factories.figures import load_figures
from tests.factories.staff import make_person
from tests.factories.terminals import PIN, give_pin
from workshop.staff import actions, session
from workshop.staff.models import Person
from workshop.terminals.middleware import COOKIE

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

QUIET = "--no-sandbox --disable-gpu --no-first-run --disable-background-networking --disable-component-update --disable-sync"


@pytest.fixture
def bram(transactional_db: None) -> Person:
    load_figures()
    person = make_person(name="Bram Oxley", roles=["maker"])
    give_pin(person)
    return person


@pytest.fixture
def bench_terminal(live_server: Any, bram: Person, monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[..., Page]]:
    """Opens the lock screen of a registered device, with JavaScript or without."""
    # The browser's driver runs a loop of its own in this thread, in which Django would refuse the database.
    monkeypatch.setitem(os.environ, "DJANGO_ALLOW_ASYNC_UNSAFE", "1")
    manager = make_person(roles=["manager"])
    _, key = actions.register_terminal(name="window", bench_key="", by=manager, at=timezone.now())
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=shutil.which("chromium"), args=QUIET.split())

        def lock_screen(**options: Any) -> Page:
            context: BrowserContext = browser.new_context(base_url=live_server.url, **options)
            context.add_cookies([{"name": COOKIE, "value": key, "url": live_server.url}])
            page = context.new_page()
            page.goto("/terminal/?next=/materials/")
            return page

        yield lock_screen
        browser.close()
        # Under that loop the test had a connection of its own, which nobody else would close.
        connections.close_all()


def nobody_touched_it(*, minutes: float) -> None:
    """The one session there is was last touched so many minutes ago."""
    kept = SessionStore(session_key=Session.objects.get().pk)
    kept[session.TOUCHED_AT] = (timezone.now() - timedelta(minutes=minutes)).isoformat()
    kept.save()


def test_a_maker_takes_over_by_touch_alone(bench_terminal: Callable[..., Page]) -> None:
    page = bench_terminal(has_touch=True)
    page.get_by_role("link", name="Bram Oxley").tap()
    for digit in PIN:
        page.get_by_role("button", name=digit, exact=True).tap()
    page.get_by_role("button", name="Begin").tap()
    expect(page.get_by_role("heading", name="Materials")).to_be_visible()


def test_a_maker_takes_over_without_javascript(bench_terminal: Callable[..., Page]) -> None:
    page = bench_terminal(java_script_enabled=False)
    page.get_by_role("link", name="Bram Oxley").click()
    page.get_by_label("PIN").fill(PIN)
    page.get_by_role("button", name="Begin").click()
    expect(page.get_by_role("heading", name="Materials")).to_be_visible()


def test_an_idle_page_goes_to_the_lock_screen_by_itself(bench_terminal: Callable[..., Page]) -> None:
    page = bench_terminal()
    page.clock.install()
    page.get_by_role("link", name="Bram Oxley").click()
    page.get_by_label("PIN").fill(PIN)
    page.get_by_role("button", name="Begin").click()
    expect(page.get_by_role("heading", name="Materials")).to_be_visible()
    nobody_touched_it(minutes=5)
    page.clock.fast_forward(301_000)
    expect(page.get_by_role("heading", name="Who is there?")).to_be_visible()
    expect(page.get_by_role("button", name="Change hands")).to_have_count(0)
