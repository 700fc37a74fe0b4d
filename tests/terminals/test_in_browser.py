"""What a terminal does by itself, and by touch alone, in a real browser."""

from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from django.contrib.sessions.backends.db import SessionStore
from django.contrib.sessions.models import Session
from django.utils import timezone
from playwright.sync_api import Page, expect

from tests.browser import BENCH, Sit
from tests.factories.figures import load_figures
from tests.factories.staff import make_person
from tests.factories.terminals import PIN, give_pin
from workshop.staff import actions, session
from workshop.staff.models import Person
from workshop.terminals.middleware import COOKIE

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def bram(transactional_db: None) -> Person:
    load_figures()
    person = make_person(name="Bram Oxley", roles=["maker"])
    give_pin(person)
    return person


@pytest.fixture
def bench_terminal(sit_down: Sit, bram: Person) -> Callable[..., Page]:
    """Opens the lock screen of a registered device, with JavaScript or without."""
    manager = make_person(roles=["manager"])
    _, key = actions.register_terminal(name="window", bench_key="", by=manager, at=timezone.now())

    def lock_screen(**options: Any) -> Page:
        return sit_down(None, at=BENCH, cookies={COOKIE: key}, path="/terminal/?next=/materials/", **options)

    return lock_screen


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
    page = bench_terminal(javascript=False)
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
    # What is seen may be there before the script that waits for the idle time.
    page.wait_for_load_state()
    nobody_touched_it(minutes=5)
    page.clock.fast_forward(301_000)
    expect(page.get_by_role("heading", name="Who is there?")).to_be_visible()
    expect(page.get_by_role("button", name="Change hands")).to_have_count(0)
