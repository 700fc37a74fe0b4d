"""Measuring two feet on a tablet held upright, by touch, with the network cut in the middle; and by keyboard alone."""

import re
from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal

import pytest
from django.contrib.sessions.models import Session
from django.urls import reverse
from playwright.sync_api import Locator, Page, expect

from cases.lasts.models import MeasureSet, MeasuringDraft
from cases.patients.models import Patient
from tests.browser import TABLET, TABLET_UPRIGHT, Sit
from tests.factories.figures import load_figures
from tests.factories.lasts import FIRST_MAN, make_measure_set
from tests.factories.patients import make_patient
from tests.factories.staff import make_person
from tests.journeys.looking import wrong_at_this_size, wrong_for_assistive_technology
from workshop.staff.models import Person

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

PASSWORD = "a password that nobody guesses"


@pytest.fixture
def iris(transactional_db: None) -> Person:
    load_figures()
    return make_person(name="Iris Clinician", roles=["clinician"], password=PASSWORD)


@pytest.fixture
def patient(iris: Person) -> Patient:
    return make_patient(given_names="Hugo", family_name="Surveyman")


@pytest.fixture
def tablet(sit_down: Sit, iris: Person, patient: Patient) -> Page:
    """The form of a sitting, on a tablet held upright, by touch."""
    return sit_down(iris, at=TABLET_UPRIGHT, path=address(patient), has_touch=True)


def address(patient: Patient) -> str:
    return reverse("measures-new", args=[patient.uuid])


def field(page: Page, name: str) -> Locator:
    return page.locator(f"[name={name}]")


def type_foot(page: Page, side: str) -> None:
    for name, mm in FIRST_MAN.items():
        field(page, f"{side}-{name}-1").tap()
        page.keyboard.type(str(mm))


def saved(page: Page) -> None:
    expect(page.locator("#saved")).to_contain_text(re.compile(r"^saved \d\d:\d\d"))


def values(measure_set: MeasureSet) -> dict[tuple[str, str], Decimal]:
    return {(each.side, each.name): each.value_mm for each in measure_set.measures.filter(take=1)}


EVERYTHING = {(side, name): Decimal(mm) for side in ("left", "right") for name, mm in FIRST_MAN.items()}


def test_two_feet_are_measured_by_touch_with_the_network_cut_in_the_middle(tablet: Page, patient: Patient) -> None:
    field(tablet, "load").select_option("part")
    field(tablet, "heel_height_mm").fill("0")
    type_foot(tablet, "left")
    saved(tablet)
    tablet.context.set_offline(True)
    type_foot(tablet, "right")
    expect(tablet.locator("#saved")).to_have_text("not saved: no network. The figures are kept in this tablet.")
    tablet.context.set_offline(False)
    saved(tablet)
    tablet.get_by_role("button", name="Save the measures of both feet").tap()
    expect(tablet.get_by_role("heading", level=1)).to_contain_text("Measures of Hugo Surveyman, ")
    assert (values(MeasureSet.objects.get(patient=patient)), MeasuringDraft.objects.count()) == (EVERYTHING, 0)


def test_what_was_typed_without_network_is_back_when_the_page_is_loaded_again(tablet: Page) -> None:
    tablet.context.set_offline(True)
    type_foot(tablet, "left")
    expect(tablet.locator("#saved")).to_contain_text("no network")
    tablet.context.set_offline(False)
    # The tablet slept, and its page was thrown away before the network was back.
    tablet.goto("about:blank")
    tablet.go_back()
    saved(tablet)
    assert field(tablet, "left-joint_girth-1").input_value() == "253"


def test_saving_without_network_keeps_the_page_and_everything_on_it(tablet: Page) -> None:
    tablet.context.set_offline(True)
    type_foot(tablet, "left")
    tablet.get_by_role("button", name="Save the measures of both feet").tap()
    expect(tablet.locator("#saved")).to_contain_text("no network")
    assert field(tablet, "left-foot_length-1").input_value() == "273"


def test_the_tablet_keeps_figures_and_no_name_and_no_note(tablet: Page) -> None:
    tablet.context.set_offline(True)
    field(tablet, "left-foot_length-1").fill("273")
    field(tablet, "note").fill("her sister says the bunion rubs")
    expect(tablet.locator("#saved")).to_contain_text("no network")
    kept = tablet.evaluate("Object.values(localStorage).map(text => JSON.parse(text).typed)")
    assert kept == [{"left-foot_length-1": "273"}]


def test_the_tablet_keeps_nothing_that_the_server_has(tablet: Page) -> None:
    field(tablet, "left-foot_length-1").fill("273")
    saved(tablet)
    assert tablet.evaluate("localStorage.length") == 0


def test_whoever_signs_out_leaves_nothing_in_the_tablet(tablet: Page) -> None:
    tablet.evaluate("localStorage.setItem('measuring:of another client', JSON.stringify({at: Date.now(), typed: {}}))")
    tablet.get_by_role("button", name="Sign out").tap()
    expect(tablet.get_by_label("Password")).to_be_visible()
    # The page of the sign-in clears the tablet by a script, which may run after its fields are seen.
    tablet.wait_for_load_state()
    assert tablet.evaluate("localStorage.length") == 0


def test_a_sign_in_that_ended_loses_nothing(tablet: Page, iris: Person) -> None:
    field(tablet, "left-foot_length-1").fill("273")
    saved(tablet)
    Session.objects.all().delete()
    field(tablet, "left-joint_girth-1").fill("253")
    expect(tablet.locator("#saved")).to_contain_text("you are signed out")
    tablet.reload()
    tablet.get_by_label("Sign-in name").fill(iris.login)
    tablet.get_by_label("Password").fill(PASSWORD)
    tablet.get_by_role("button", name="Sign in").tap()
    saved(tablet)
    kept = [field(tablet, f"left-{name}-1").input_value() for name in ("foot_length", "joint_girth")]
    assert kept == ["273", "253"]


def test_saving_after_the_sign_in_ended_leads_through_it_with_the_note_as_well(
    tablet: Page, patient: Patient, iris: Person
) -> None:
    field(tablet, "load").select_option("part")
    field(tablet, "heel_height_mm").fill("0")
    field(tablet, "left-foot_length-1").fill("273")
    saved(tablet)
    Session.objects.all().delete()
    field(tablet, "note").fill("bunion rubs")
    tablet.get_by_role("button", name="Save the measures of both feet").tap()
    tablet.get_by_label("Sign-in name").fill(iris.login)
    tablet.get_by_label("Password").fill(PASSWORD)
    tablet.get_by_role("button", name="Sign in").tap()
    tablet.get_by_role("button", name=re.compile("send", re.IGNORECASE)).tap()
    expect(tablet.get_by_role("heading", level=1)).to_contain_text("Measures of Hugo Surveyman, ")
    assert MeasureSet.objects.get(patient=patient).note == "bunion rubs"


def test_a_sign_in_on_another_page_lets_this_one_go_on(tablet: Page, iris: Person) -> None:
    field(tablet, "left-foot_length-1").fill("273")
    saved(tablet)
    Session.objects.all().delete()
    field(tablet, "left-joint_girth-1").fill("253")
    expect(tablet.locator("#saved")).to_contain_text("you are signed out")
    other = tablet.context.new_page()
    other.goto(reverse("sign-in"))
    other.get_by_label("Sign-in name").fill(iris.login)
    other.get_by_label("Password").fill(PASSWORD)
    with other.expect_navigation():
        other.get_by_role("button", name="Sign in").tap()
    field(tablet, "left-waist_girth-1").fill("246")
    saved(tablet)
    typed = MeasuringDraft.objects.get().typed
    assert [typed[f"left-{name}-1"] for name in ("joint_girth", "waist_girth")] == ["253", "246"]


def test_what_one_person_typed_is_not_kept_as_anothers_who_signed_in_since(tablet: Page) -> None:
    other = make_person(name="Otto Other", roles=["clinician"], password=PASSWORD)
    Session.objects.all().delete()
    page = tablet.context.new_page()
    page.goto(reverse("sign-in"))
    page.get_by_label("Sign-in name").fill(other.login)
    page.get_by_label("Password").fill(PASSWORD)
    with page.expect_navigation():
        page.get_by_role("button", name="Sign in").tap()
    field(tablet, "left-foot_length-1").fill("273")
    expect(tablet.locator("#saved")).to_contain_text("you are signed out")
    assert MeasuringDraft.objects.count() == 0


def test_the_difference_of_two_takes_and_a_field_for_the_third_come_as_they_are_typed(tablet: Page) -> None:
    field(tablet, "left-joint_girth-1").fill("253")
    field(tablet, "left-joint_girth-2").fill("10 1/8 in")
    line = tablet.locator("[data-line=left-joint_girth]")
    expect(line).to_contain_text("= 257.2 mm; takes 4.2 mm apart")
    expect(line).to_contain_text("take it once more")
    field(tablet, "left-joint_girth-3").tap()
    tablet.keyboard.type("254")
    expect(line).not_to_contain_text("take it once more")


def test_a_question_is_asked_while_typing_and_its_answer_kept(tablet: Page, patient: Patient) -> None:
    field(tablet, "load").select_option("part")
    field(tablet, "heel_height_mm").fill("0")
    field(tablet, "left-foot_length-1").fill("27.3")
    tablet.get_by_role("link", name="1 question: measure again?").tap()
    tablet.get_by_label("Measured again: it stands").check()
    saved(tablet)
    tablet.get_by_role("button", name="Save the measures of both feet").tap()
    expect(tablet.get_by_role("heading", name="Asked and answered")).to_be_visible()
    (answer,) = MeasureSet.objects.get(patient=patient).slip_answers.all()
    assert (answer.side, answer.answer) == ("left", "stands")


def test_a_touch_on_the_drawing_leads_to_the_field(tablet: Page) -> None:
    tablet.locator("[data-lies=right-ankle_girth] .number").tap()
    expect(field(tablet, "right-ankle_girth-1")).to_be_focused()


def test_the_line_of_the_field_that_is_typed_stands_out_on_the_drawing(tablet: Page) -> None:
    field(tablet, "right-ankle_girth-1").tap()
    lit = tablet.locator(".lies.lit").evaluate_all("lines => lines.map(line => line.dataset.lies)")
    assert lit == ["right-ankle_girth"]


def test_the_form_is_filled_and_saved_by_keyboard_alone(sit_down: Sit, iris: Person, patient: Patient) -> None:
    page = sit_down(iris, at=TABLET, path=address(patient))
    field(page, "method").focus()
    typed = {"load": "p", "heel_height_mm": "0", "left-foot_length-1": "273", "right-calf_girth-1": "14 11/16 in"}
    for _ in range(120):
        name = page.evaluate("document.activeElement.name ?? ''")
        if name in typed:
            page.keyboard.type(typed.pop(name))
        if page.evaluate("document.activeElement.textContent").startswith("Save the measures"):
            break
        page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("Measures of Hugo Surveyman, ")
    assert (typed, values(MeasureSet.objects.get(patient=patient))) == (
        {},
        {("left", "foot_length"): Decimal(273), ("right", "calf_girth"): Decimal("373.1")},
    )


def test_a_field_with_the_focus_is_not_covered_by_what_stays_in_sight(tablet: Page) -> None:
    def covered() -> Iterator[str]:
        for name in ("left-foot_length-1", "right-toe_depth-1", "left-calf_girth-1", "note"):
            field(tablet, name).focus()
            top = field(tablet, name).evaluate(
                """field => {
                  const box = field.getBoundingClientRect();
                  return document.elementFromPoint(box.x + box.width / 2, box.y + box.height / 2)?.name ?? "";
                }"""
            )
            if top != name:
                yield name

    assert list(covered()) == []


@pytest.mark.parametrize("size", [TABLET_UPRIGHT, TABLET], ids=["upright", "across"])
def test_nothing_is_too_wide_or_too_small_with_everything_open(
    sit_down: Sit, iris: Person, patient: Patient, size: dict[str, int]
) -> None:
    make_measure_set(patient=patient)
    page = sit_down(iris, at=size, path=address(patient))
    field(page, "left-foot_length-1").fill("27.3")
    field(page, "right-joint_girth-1").fill("253")
    field(page, "right-joint_girth-2").fill("10 1/8 in")
    expect(page.locator("fieldset.slip").first).to_be_visible()
    for fold in page.locator("details.fold > summary").all():
        fold.click()
    assert [*wrong_at_this_size(page), *wrong_for_assistive_technology(page)] == []


def test_without_javascript_the_form_is_a_plain_form(
    sit_down: Sit, iris: Person, patient: Patient, now: datetime
) -> None:
    page = sit_down(iris, at=TABLET_UPRIGHT, path=address(patient), javascript=False)
    field(page, "load").select_option("part")
    field(page, "heel_height_mm").fill("0")
    field(page, "left-joint_girth-1").fill("253")
    field(page, "left-joint_girth-2").fill("258")
    page.get_by_role("button", name="Save the measures of both feet").click()
    field(page, "left-joint_girth-3").fill("254")
    page.get_by_role("button", name="Save the measures of both feet").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Measures of Hugo Surveyman, ")
