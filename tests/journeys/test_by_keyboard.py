"""Small jobs by keyboard and by touch, at the desk and at the bench; and where the focus stands when a part of a page changed."""

from datetime import datetime

import pytest
from django.urls import reverse
from playwright.sync_api import Page, expect

from cases.bench.models import CoverCheck, Pair, Stage
from tests.browser import BENCH, DESK, Sit
from tests.factories.bench import bring_to, make_pair
from tests.factories.patients import make_patient
from tests.factories.staff import make_person
from workshop.staff.models import Person

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

MOST_TABS = 60
FOCUSED = "document.activeElement.innerText.trim()"


@pytest.fixture
def maker(transactional_db: None) -> Person:
    return make_person(name="Max Maker", roles=["maker"])


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return make_pair(by=maker, at=now)


def tab_to(page: Page, words: str) -> None:
    """Go on from control to control until the one with these words has the focus."""
    for _ in range(MOST_TABS):
        page.keyboard.press("Tab")
        if page.evaluate(FOCUSED).startswith(words):
            return
    raise AssertionError(f"{words!r} is not reached by {MOST_TABS} tabs; the last is {page.evaluate(FOCUSED)!r}")


def press_enter_and_wait(page: Page) -> None:
    """Press Enter on a control of the bench, and wait until the bench has been exchanged for its new state."""
    before = page.locator("#bench").element_handle()
    page.keyboard.press("Enter")
    page.wait_for_function("before => !before.isConnected && !document.querySelector('.htmx-settling')", arg=before)


def wait_until_nothing_is_under_way(page: Page) -> None:
    """A page that was once idle counts as idle for good, so it is asked whether any part of it waits for an answer."""
    page.wait_for_function("() => !document.querySelector('.htmx-request, .htmx-swapping, .htmx-settling')")


def test_a_client_is_found_in_two_keystrokes_and_opened(sit_down: Sit, transactional_db: None) -> None:
    make_patient(given_names="Cecily", family_name="Quillfeather")
    make_patient(given_names="Bertram", family_name="Ashdown")
    page = sit_down(make_person(roles=["reception"]), at=DESK, path=reverse("clients"))
    expect(page.get_by_role("searchbox")).to_be_focused()
    page.keyboard.type("qu")
    expect(page.get_by_role("row")).to_have_count(2)
    tab_to(page, "Quillfeather, Cecily")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Cecily Quillfeather")


def test_the_search_keeps_the_focus_while_its_answers_come(sit_down: Sit, transactional_db: None) -> None:
    make_patient(given_names="Cecily", family_name="Quillfeather")
    page = sit_down(make_person(roles=["reception"]), at=DESK, path=reverse("clients"))
    expect(page.get_by_role("searchbox")).to_be_focused()
    page.keyboard.type("qu")
    expect(page.get_by_role("row")).to_have_count(2)
    page.keyboard.type("ill")
    expect(page.get_by_role("searchbox")).to_be_focused()
    expect(page.get_by_role("searchbox")).to_have_value("quill")


STANDS_IN = "document.activeElement.closest('[aria-labelledby]')?.getAttribute('aria-labelledby')"
ON_A_CONTROL = "document.activeElement.matches('a, button, input, summary')"


def ticked(pair: Pair) -> list[tuple[str, str]]:
    return sorted(Stage.objects.filter(pair=pair, ticked_at__isnull=False).values_list("kind__key", "side"))


GATHERED = [("gather", "left"), ("gather", "right")]


def test_a_stage_is_ticked_and_the_focus_stands_before_the_next_tick(sit_down: Sit, maker: Person, pair: Pair) -> None:
    page = sit_down(maker, at=BENCH, path=reverse("pair-bench", args=[pair.uuid]))
    tab_to(page, "Tick LEFT and RIGHT")
    press_enter_and_wait(page)
    stands_in = page.evaluate(STANDS_IN)
    tab_to(page, "Tick LEFT and RIGHT")
    assert (ticked(pair), page.evaluate(STANDS_IN)) == (GATHERED, stands_in)


def test_enter_pressed_again_after_a_tick_ticks_nothing_more(sit_down: Sit, maker: Person, pair: Pair) -> None:
    page = sit_down(maker, at=BENCH, path=reverse("pair-bench", args=[pair.uuid]))
    tab_to(page, "Tick LEFT and RIGHT")
    press_enter_and_wait(page)
    page.keyboard.press("Enter")
    page.keyboard.press("Space")
    wait_until_nothing_is_under_way(page)
    assert (ticked(pair), page.evaluate(ON_A_CONTROL)) == (GATHERED, False)


def test_enter_held_down_ticks_one_stage(sit_down: Sit, maker: Person, pair: Pair) -> None:
    """A key that is held repeats: some of its presses come before the answer to the first, some after it."""
    page = sit_down(maker, at=BENCH, path=reverse("pair-bench", args=[pair.uuid]))
    tab_to(page, "Tick LEFT and RIGHT")
    before = page.locator("#bench").element_handle()
    for _ in range(3):
        page.keyboard.down("Enter")
    page.wait_for_function("before => !before.isConnected", arg=before)
    for _ in range(3):
        page.keyboard.down("Enter")
    wait_until_nothing_is_under_way(page)
    assert ticked(pair) == GATHERED


def test_a_field_made_larger_by_hand_breaks_no_policy_when_its_page_changes(
    sit_down: Sit, maker: Person, pair: Pair
) -> None:
    """A browser writes the size that a hand gave a field into its style, which our content policy lets nothing copy."""
    page = sit_down(maker, at=BENCH, path=reverse("pair-bench", args=[pair.uuid]))
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text))
    page.locator("#done-gather").evaluate("field => { field.style.width = '30em'; }")
    tab_to(page, "LEFT only")
    press_enter_and_wait(page)
    assert (ticked(pair), said) == ([("gather", "left")], [])


def test_a_check_is_recorded_and_the_focus_stays_at_its_stage(
    sit_down: Sit, maker: Person, pair: Pair, now: datetime
) -> None:
    bring_to(pair, "cut-stiffeners", by=maker, at=now)
    before = CoverCheck.objects.count()
    page = sit_down(maker, at=BENCH, path=reverse("pair-bench", args=[pair.uuid]))
    tab_to(page, "LEFT and RIGHT as prescribed")
    stood_in = page.evaluate(STANDS_IN)
    press_enter_and_wait(page)
    assert (CoverCheck.objects.count() - before, page.evaluate(STANDS_IN)) == (2, stood_in)


def test_what_is_pressed_twice_presses_nothing_else(sit_down: Sit, maker: Person, pair: Pair, now: datetime) -> None:
    """After a check the focus is on no other button, which a second press would set off unread."""
    bring_to(pair, "cut-stiffeners", by=maker, at=now)
    page = sit_down(maker, at=BENCH, path=reverse("pair-bench", args=[pair.uuid]))
    tab_to(page, "LEFT and RIGHT as prescribed")
    press_enter_and_wait(page)
    assert page.evaluate(ON_A_CONTROL) is False


def test_a_double_click_ticks_one_stage(sit_down: Sit, maker: Person, pair: Pair) -> None:
    """The next stage comes to stand under the same finger."""
    page = sit_down(maker, at=BENCH, path=reverse("pair-bench", args=[pair.uuid]))
    before = page.locator("#bench").element_handle()
    tick = page.get_by_role("button", name="Tick LEFT and RIGHT").first
    tick.click()
    page.wait_for_function("before => !before.isConnected", arg=before)
    tick.click(force=True)
    wait_until_nothing_is_under_way(page)
    assert ticked(pair) == GATHERED
