"""The pages that join the rooms in a real browser: fit for assistive technology, and usable without JavaScript."""

from collections.abc import Callable
from datetime import timedelta

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, expect

from cases.bench.models import Pair
from cases.patients.models import Paper
from tests.browser import BENCH, DESK, TABLET, Sit
from tests.factories.bench import bring_to, differ, make_pair, requirement
from tests.factories.diary import make_call, make_visit
from tests.factories.patients import make_allergy, make_finding, make_red_flag
from tests.factories.staff import make_person

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SCREENS = {"reception": DESK, "clinician": TABLET, "maker": BENCH, "manager": DESK}


@pytest.fixture
def pair(transactional_db: None) -> Pair:
    """A late pair, half built, with an open difference; its client is flagged, allergic and comes today."""
    now = timezone.now()
    clinician = make_person(name="Clara Clinician", roles=["clinician"], may_prescribe=True)
    pair = make_pair(by=clinician, at=now - timedelta(days=30), promised_day=timezone.localdate() - timedelta(days=3))
    bring_to(pair, "cut-stiffeners", by=clinician, at=now)
    asked = requirement(pair, "stiffener", "part")
    differ(asked, "medial reach 121 mm", by=clinician, at=now)
    make_finding(pair.patient)
    make_allergy(pair.patient)
    make_red_flag(pair.patient)
    make_visit(starts_at=now, patient=pair.patient, about_uuid=pair.uuid)
    make_call(due_on=timezone.localdate(), patient=pair.patient, about_uuid=pair.uuid)
    return pair


@pytest.fixture
def screen(sit_down: Sit) -> Callable[..., Page]:
    """`screen("maker", "/")` is a page at that role's own size with somebody of that role signed in."""

    def open_page(role: str, path: str, *, scripts: bool = True) -> Page:
        somebody = make_person(name="Sol Somebody", roles=[role])
        return sit_down(somebody, at=SCREENS[role], path=path, javascript=scripts)

    return open_page


def address(name: str, pair: Pair) -> str:
    about = {"client": [pair.patient.uuid], "pair": [pair.uuid]}
    return reverse(name, args=about.get(name))


PAGES = [
    ("desk", "reception"),
    ("clinic", "clinician"),
    ("late", "manager"),
    ("client", "reception"),
    ("client", "clinician"),
    ("pair", "reception"),
    ("pair", "clinician"),
    ("pair", "maker"),
]


@pytest.mark.parametrize(("name", "role"), PAGES)
def test_assistive_technology_finds_nothing_in_its_way(screen, pair, name, role) -> None:
    page = screen(role, address(name, pair))
    violations = Axe().run(page).response["violations"]
    assert [(each["id"], each["nodes"][0]["html"][:120]) for each in violations] == []


SMALLER_THAN_ITS_TARGET = """
least => [...document.querySelectorAll("main a.button, main button, main summary")]
  .filter(each => each.offsetParent && each.getBoundingClientRect().height < least)
  .map(each => each.outerHTML.slice(0, 80))
"""


@pytest.mark.parametrize(("name", "role"), [("clinic", "clinician"), ("client", "clinician"), ("pair", "clinician")])
def test_a_finger_finds_every_button_on_a_tablet(screen, pair, name, role) -> None:
    page = screen(role, address(name, pair))
    assert page.evaluate(SMALLER_THAN_ITS_TARGET, 48) == []


@pytest.mark.parametrize(("name", "role"), PAGES)
def test_no_page_is_wider_than_its_screen(screen, pair, name, role) -> None:
    page = screen(role, address(name, pair))
    assert page.evaluate("document.documentElement.scrollWidth") <= SCREENS[role]["width"]


def test_the_job_card_is_printed_without_javascript(screen, pair) -> None:
    page = screen("maker", address("pair", pair), scripts=False)
    with page.expect_response(lambda answer: "/papers/" in answer.url) as answer:
        page.get_by_role("button", name="Print the job card").click()
    assert (answer.value.headers["content-type"], Paper.objects.count()) == ("application/pdf", 1)


def test_reception_books_from_the_to_call_list_in_one_touch(screen, pair) -> None:
    page = screen("reception", address("desk", pair), scripts=False)
    page.get_by_role("link", name=f"Book: {pair.patient.name}").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text(pair.patient.name)
