"""Every page says its number of queries, and takes no other whether it shows 1, 3 or 30 rows."""

import ast
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest
from django.test import RequestFactory
from pytest_django import DjangoAssertNumQueries

from tests.architecture.walk import functions, source_files, url_patterns
from tests.conftest import Browserless
from tests.factories.staff import make_person
from tests.journeys.addresses import ONLY_SENT
from tests.page_queries.counted import HOW_MANY, NOBODY, Counted, Scene
from tests.page_queries.table import PAGES
from workshop.staff.models import Person

MOST_OF_A_PAGE = 12
MOST_OF_A_FRAGMENT = 6
LEADS_ON = {"home": "sends everybody on to the first screen of their role"}
"""Addresses that are opened and show no page, each with its reason."""
WORK_AREAS = {
    "bench/pair.html#bench": "all of the page but its head: a tick or a check changes every part of it",
    "bench/version_ahead.html#bench": "the same area while a newer version is to be taken up",
}
"""Fragments that may take as much as a page, each with its reason."""


def test_every_page_says_its_number_of_queries() -> None:
    opened = {str(pattern.name) for pattern in url_patterns()} - ONLY_SENT - LEADS_ON.keys()
    assert {page.name for page in PAGES} == opened


def test_what_says_no_number_shows_nothing_when_it_is_opened(rf: RequestFactory) -> None:
    """No page is kept from the table by being called an address to which a form is only sent."""
    answers = {
        str(pattern.name): pattern.callback(rf.get("/"), **dict.fromkeys(pattern.pattern.converters)).status_code
        for pattern in url_patterns()
        if pattern.name in ONLY_SENT
    }
    assert answers == dict.fromkeys(ONLY_SENT, 405)


def fragments_of(path: Path) -> Iterator[str]:
    """The parts of a template that the views of a file give out alone: `template.html#target`."""
    for function in functions(path):
        for call in ast.walk(function):
            if isinstance(call, ast.Call) and isinstance(call.func, ast.Name) and call.func.id == "page":
                template = ast.literal_eval(call.args[1])
                targets = [ast.literal_eval(word.value) for word in call.keywords if word.arg == "fragments"]
                yield from (f"{template}#{target}" for names in targets for target in names)


def test_every_fragment_says_its_number_of_queries() -> None:
    given_out = {fragment for path in source_files() for fragment in fragments_of(path)}
    assert {page.fragment for page in PAGES if page.fragment} == given_out


@pytest.mark.parametrize("page", PAGES, ids=str)
def test_no_page_takes_more_than_twelve_and_no_fragment_more_than_six(page: Counted) -> None:
    is_small = page.fragment and page.fragment not in WORK_AREAS
    assert page.queries <= (MOST_OF_A_FRAGMENT if is_small else MOST_OF_A_PAGE)


@pytest.mark.django_db
@pytest.mark.parametrize("rows", HOW_MANY)
@pytest.mark.parametrize("page", PAGES, ids=str)
def test_a_page_takes_its_number_of_queries_however_many_rows_it_shows(
    page: Counted, rows: int, *, now: datetime, clinician: Person, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    browser = Browserless()
    if page.role != NOBODY:
        browser.force_login(clinician if page.role == "clinician" else make_person(roles=[page.role]))
    address = page.address(page.opened(Scene(rows=rows, now=now, clinician=clinician, browser=browser)))
    with django_assert_num_queries(page.queries, info=page.reads):
        answer = browser.get(address, headers=page.headers())
    shown = page.shown_in(answer.content.decode(errors="replace"))
    assert (answer.status_code, shown) == (200, min(rows, page.most_shown))
