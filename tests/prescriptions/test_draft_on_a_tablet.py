"""A draft on a tablet, by touch: large enough for a finger, figures that follow what is written, and nothing typed lost."""

import re

import pytest
from django.contrib.sessions.models import Session
from django.urls import reverse
from playwright.sync_api import Locator, Page, ViewportSize, expect

from cases.prescriptions import queries
from cases.prescriptions.described import describe
from cases.prescriptions.models import Prescription
from tests.browser import TABLET, TABLET_UPRIGHT, Sit
from tests.factories.figures import load_figures
from tests.factories.prescriptions import make_prescription
from tests.factories.staff import make_person
from tests.journeys.looking import wrong_at_this_size
from workshop.staff.models import Person

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

PASSWORD = "a password that nobody guesses"


@pytest.fixture
def clara(transactional_db: None) -> Person:
    load_figures()
    return make_person(name="Clara Clinician", roles=["clinician"], may_prescribe=True, password=PASSWORD)


@pytest.fixture
def draft(clara: Person) -> Prescription:
    return make_prescription(written_by=clara)


@pytest.fixture
def tablet(sit_down: Sit, clara: Person, draft: Prescription) -> Page:
    """The draft, on a tablet held upright."""
    return sit_down(clara, at=TABLET_UPRIGHT, path=reverse("prescription", args=[draft.uuid]), has_touch=True)


def field(page: Page, name: str) -> Locator:
    """A field of the draft, its block opened by touch."""
    block = page.locator(f"details.block:has([name={name}])")
    if block.get_attribute("open") is None:
        block.locator("> summary").tap()
    return page.locator(f"[name={name}]")


def saved(page: Page) -> None:
    expect(page.locator("#saved")).to_contain_text(re.compile(r"^Saved \d\d:\d\d$"))


def saved_height(draft: Prescription) -> str:
    heel = describe(queries.whole(draft.uuid))[0].part("heel")
    assert heel
    return dict(heel.lines)["height"]


@pytest.mark.parametrize("size", [TABLET_UPRIGHT, TABLET], ids=["upright", "across"])
def test_nothing_is_too_wide_or_too_small_for_a_finger_with_everything_open(tablet: Page, size: ViewportSize) -> None:
    tablet.set_viewport_size(size)
    tablet.evaluate("document.querySelectorAll('details.block, details.fold').forEach(each => { each.open = true; })")
    assert [*wrong_at_this_size(tablet)] == []


def test_a_weight_follows_the_reach_of_its_own_foot_and_opens_its_workings_by_finger(tablet: Page) -> None:
    weights = tablet.locator("#region-implied table.implied").first.locator("tr", has_text="Weight").locator("td")
    left, right = (weights.nth(side).locator("summary") for side in (0, 1))
    before = [left.inner_text(), right.inner_text()]
    field(tablet, "left-stiffener-medial_reach_mm").fill("230")
    field(tablet, "left-stiffener-lateral_reach_mm").fill("220")
    saved(tablet)
    expect(left).not_to_have_text(before[0])
    expect(right).to_have_text(before[1])
    left.tap()
    expect(weights.first.locator("details.workings")).to_contain_text("Standing")
    assert weights.first.locator("details.workings dl").is_visible()


def test_what_was_typed_without_a_network_is_back_after_the_tablet_was_closed(
    tablet: Page, draft: Prescription
) -> None:
    tablet.context.set_offline(True)
    field(tablet, "left-heel-height_mm").fill("29")
    expect(tablet.locator("#saved")).to_contain_text("no network")
    # The tablet was closed, and its page was thrown away before the network was back.
    tablet.goto("about:blank")
    tablet.context.set_offline(False)
    tablet.goto(reverse("prescription", args=[draft.uuid]))
    expect(tablet.locator("#line-heel")).to_contain_text("height 29 mm")
    assert (tablet.locator("[name=left-heel-height_mm]").input_value(), saved_height(draft)) == ("29", "29 mm")


def test_a_sign_in_that_ended_in_the_middle_takes_figures_and_words_along(
    tablet: Page, draft: Prescription, clara: Person
) -> None:
    Session.objects.all().delete()
    field(tablet, "left-heel-height_mm").fill("29")
    field(tablet, "pair-remarks").fill("walks the dog twice a day")
    expect(tablet.locator("#saved")).to_contain_text("you are signed out")
    tablet.get_by_role("button", name="Save", exact=True).first.tap()
    tablet.get_by_label("Sign-in name").fill(clara.login)
    tablet.get_by_label("Password").fill(PASSWORD)
    tablet.get_by_role("button", name="Sign in").tap()
    tablet.get_by_role("button", name=re.compile("send", re.IGNORECASE)).tap()
    expect(tablet.locator("#line-heel")).to_contain_text("height 29 mm")
    assert (saved_height(draft), queries.whole(draft.uuid).remarks) == ("29 mm", "walks the dog twice a day")


def test_a_sign_in_on_another_page_lets_the_draft_go_on(tablet: Page, draft: Prescription, clara: Person) -> None:
    Session.objects.all().delete()
    field(tablet, "left-heel-height_mm").fill("29")
    expect(tablet.locator("#saved")).to_contain_text("you are signed out")
    other = tablet.context.new_page()
    other.goto(reverse("sign-in"))
    other.get_by_label("Sign-in name").fill(clara.login)
    other.get_by_label("Password").fill(PASSWORD)
    with other.expect_navigation():
        other.get_by_role("button", name="Sign in").tap()
    field(tablet, "right-heel-height_mm").fill("24")
    saved(tablet)
    assert saved_height(draft) == "29 mm"


def test_without_javascript_save_draws_and_works_out_anew(sit_down: Sit, clara: Person, draft: Prescription) -> None:
    page = sit_down(clara, at=TABLET, path=reverse("prescription", args=[draft.uuid]), javascript=False)
    page.locator("#block-heel > summary").click()
    page.locator("[name=left-heel-height_mm]").fill("41")
    page.get_by_role("button", name="Save", exact=True).first.click()
    left = page.locator("#region-drawing svg.cut-away").first
    expect(left).to_be_visible()
    assert "heel 41" in (left.get_attribute("aria-label") or "")
