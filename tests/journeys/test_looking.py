"""The looking itself: it finds each fault on a page that has it, and nothing on a page that has none."""

import pytest
from playwright.sync_api import Browser

from tests.journeys.looking import (
    leads_astray,
    wrong_at_this_size,
    wrong_for_assistive_technology,
    wrong_headers,
    wrong_in_words,
)

pytestmark = pytest.mark.browser

SOUND = """<!doctype html><html lang="en"><head><title>A page</title><base href="http://localhost/"></head>
<body class="tablet"><main><h1>A page</h1><a class="button" href="/materials/" style="display:inline-block;height:48px">Materials</a>
<label style="display:block;height:48px"><input type="checkbox"> so</label>%s</main></body></html>"""

FAULTS = [
    ("<h1>Another</h1>", "it has 2 first headings"),
    ("<p>Length None mm</p>", "it says"),
    ("<p>{{ length }}</p>", "it says"),
    ('<button style="height:40px">Save</button>', "too small for a finger"),
    ('<label>so <input type="checkbox"></label>', "too small for a finger"),
    ('<p style="width:900px">long</p>', "it is "),
    ('<img src="data:,">', "image-alt"),
    ('<a href="/no-such-page/">there</a>', "it leads nowhere"),
    ('<a href="https://elsewhere.invalid/">there</a>', "it leads elsewhere"),
    ('<a href="/people/">People</a>', "it offers what it then refuses"),
    ('<form method="post" action="/people/new/"><input type="hidden" name="method"></form>', "it offers what"),
]


def found_on(browser: Browser, more: str) -> list[str]:
    with browser.new_page(viewport={"width": 800, "height": 600}) as page:
        page.route("**/*", lambda route: route.fulfill(body=SOUND % more, content_type="text/html"))
        page.goto("http://localhost/")
        return [
            *wrong_in_words(page),
            *wrong_at_this_size(page),
            *leads_astray(page, ["maker"]),
            *wrong_for_assistive_technology(page),
        ]


def test_nothing_is_found_on_a_sound_page(chromium: Browser) -> None:
    assert found_on(chromium, "") == []


@pytest.mark.parametrize(("more", "fault"), FAULTS)
def test_a_fault_is_found(chromium: Browser, more: str, fault: str) -> None:
    found = found_on(chromium, more)
    assert [each.startswith(fault) for each in found] == [True]


@pytest.mark.parametrize(
    "headers",
    [
        {"cache-control": "no-store"},
        {"cache-control": "no-store", "content-security-policy": "default-src 'none'; script-src 'unsafe-inline'"},
        {"cache-control": "max-age=60", "content-security-policy": "default-src 'none'"},
    ],
)
def test_a_weak_policy_or_a_cache_is_found(headers: dict[str, str]) -> None:
    assert len(list(wrong_headers(headers))) == 1
