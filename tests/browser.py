"""A real Chromium for tests: one browser for the whole run, one fresh context for each person who sits at a screen."""

import shutil
from collections.abc import Callable, Iterator, Mapping
from typing import Any

import pytest
from django.db import connections
from django.test import Client
from playwright.sync_api import Browser, Page, ViewportSize, expect, sync_playwright

from workshop.staff.models import Person

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]

DESK = ViewportSize(width=1280, height=800)
TABLET = ViewportSize(width=1024, height=768)
TABLET_UPRIGHT = ViewportSize(width=768, height=1024)
BENCH = ViewportSize(width=1366, height=768)

PATIENCE_MS = 20_000

Sit = Callable[..., Page]


expect.set_options(timeout=PATIENCE_MS)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Browser tests come last: from the first of them on, the browser's driver has its loop in the tests' thread."""
    items.sort(key=lambda item: item.get_closest_marker("browser") is not None)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Browser]:
    """Chromium as Debian ships it, started once. A test closes what it opened in it."""
    with pytest.MonkeyPatch.context() as surroundings, sync_playwright() as driver:
        # In a thread with a running loop, which the driver needs, Django would refuse the database.
        surroundings.setenv("DJANGO_ALLOW_ASYNC_UNSAFE", "1")
        browser = driver.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        yield browser
        browser.close()
        # Under that loop the tests had a connection of their own, which nobody else would close.
        connections.close_all()


def seat(
    browser: Browser,
    server: str,
    person: Person | None,
    *,
    at: ViewportSize,
    javascript: bool = True,
    cookies: Mapping[str, str] | None = None,
    path: str = "/",
    **options: Any,
) -> Page:
    """A page of the workshop at `path` in which this person is signed in, or nobody."""
    brought = dict(cookies or {})
    if person is not None:
        signed_in = Client()
        signed_in.force_login(person)
        brought["sessionid"] = signed_in.cookies["sessionid"].value
    context = browser.new_context(base_url=server, viewport=at, java_script_enabled=javascript, **options)
    context.set_default_timeout(PATIENCE_MS)
    context.add_cookies([{"name": name, "value": value, "url": server} for name, value in brought.items()])
    page = context.new_page()
    page.goto(path)
    return page


@pytest.fixture
def sit_down(chromium: Browser, live_server: Any, transactional_db: None) -> Iterator[Sit]:
    """`sit_down(person, at=TABLET, javascript=False)` is a page in which this person is signed in; see `seat`.

    After the test every page is closed, and what they asked for last is answered before the database is emptied.
    """
    pages: list[Page] = []

    def sit(person: Person | None, **options: Any) -> Page:
        pages.append(seat(chromium, live_server.url, person, **options))
        return pages[-1]

    yield sit
    for page in pages:
        page.context.close()
    live_server.thread.httpd.wait_until_all_is_answered()
