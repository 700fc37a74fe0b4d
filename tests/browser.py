"""A real Chromium for tests: one browser for the whole run, one fresh context for each person who sits at a screen."""

import os
import shutil
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from django.db import connections
from django.test import Client
from playwright.sync_api import Browser, BrowserContext, Page, ViewportSize, sync_playwright

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


@pytest.fixture
def chromium(monkeypatch: pytest.MonkeyPatch) -> Iterator[Browser]:
    """Chromium as Debian ships it."""
    # The browser's driver runs a loop of its own in this thread, in which Django would refuse the database.
    monkeypatch.setitem(os.environ, "DJANGO_ALLOW_ASYNC_UNSAFE", "1")
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        yield browser
        browser.close()
        # Under that loop the test had a connection of its own, which nobody else would close.
        connections.close_all()


@pytest.fixture
def sit_down(chromium: Browser, live_server: Any) -> Sit:
    """`sit_down(person, at=TABLET, javascript=False)` is a page in which this person is signed in."""

    def sit(person: Person, *, at: ViewportSize, javascript: bool = True, **options: Any) -> Page:
        signed_in = Client()
        signed_in.force_login(person)
        context: BrowserContext = chromium.new_context(
            base_url=live_server.url, viewport=at, java_script_enabled=javascript, **options
        )
        context.set_default_timeout(PATIENCE_MS)
        context.add_cookies(
            [{"name": "sessionid", "value": signed_in.cookies["sessionid"].value, "url": live_server.url}]
        )
        page = context.new_page()
        page.goto("/")
        return page

    return sit
