"""The drawing beside a draft, as a tablet shows it: read without a glass, by whoever listens, with no words on others."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from playwright.sync_api import Page, expect

from cases.prescriptions.models import Prescription
from tests.browser import TABLET, TABLET_UPRIGHT, Sit
from tests.factories.figures import load_figures
from tests.factories.lasts import make_last, make_measure_set
from tests.factories.patients import make_patient
from tests.factories.prescriptions import make_prescription
from tests.factories.staff import make_person
from workshop.staff.models import Person

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

LEAST_PX = 12
SMALLEST = """() => Math.min(...[...document.querySelectorAll("svg.cut-away")].map(svg =>
  svg.getBoundingClientRect().width / svg.viewBox.baseVal.width
  * parseFloat(svg.querySelector("[font-size]").getAttribute("font-size"))))"""
"""Of the type of the drawings on a page, in px as it is shown."""
ON_OTHERS = """() => [...document.querySelectorAll("svg.cut-away")].flatMap(svg => {
  const words = [...svg.querySelectorAll("text")].map(each => [each.textContent, each.getBBox()]);
  return words.flatMap(([says, one], at) => words.slice(at + 1).filter(([, other]) =>
    one.x < other.x + other.width && other.x < one.x + one.width
    && one.y + 0.3 * one.height < other.y + 0.8 * other.height
    && other.y + 0.3 * other.height < one.y + 0.8 * one.height).map(([other]) => [says, other]));
})"""
"""Pairs of words that lie on one another, by the browser's own measure of its type."""


@pytest.fixture
def prescriber(transactional_db: None) -> Person:
    load_figures()
    return make_person(name="Clara Clinician", roles=["clinician"], may_prescribe=True)


@pytest.fixture
def draft(prescriber: Person) -> Prescription:
    patient = make_patient()
    return make_prescription(
        patient=patient,
        written_by=prescriber,
        measure_set=make_measure_set(
            patient=patient, both={}, left={"heel_to_joint": 200, "heel_to_fifth": 180}, right={"heel_to_joint": 202}
        ),
        left_last=make_last(owner=patient, side="left"),
        right_last=make_last(owner=patient, side="right"),
    )


def shown(page: Page) -> tuple[list[str], bool, list[list[str]]]:
    """What axe finds wrong, whether all type is large enough, words that lie on others."""
    violations = [each["id"] for each in Axe().run(page).response["violations"]]
    return violations, page.evaluate(SMALLEST) >= LEAST_PX, page.evaluate(ON_OTHERS)


def test_the_drawing_beside_a_draft_is_read_on_a_tablet_either_way(
    sit_down: Sit, prescriber: Person, draft: Prescription
) -> None:
    page = sit_down(prescriber, at=TABLET, path=reverse("prescription", args=[draft.uuid]))
    expect(page.locator("#region-drawing svg")).to_have_count(2)
    across = shown(page)
    page.set_viewport_size(TABLET_UPRIGHT)
    assert (across, shown(page)) == (([], True, []),) * 2
