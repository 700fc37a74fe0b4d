"""The pages of a prescription in a real browser: fit for assistive technology, and usable without JavaScript."""

from collections.abc import Callable
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, expect

from cases.prescriptions import actions, queries
from cases.prescriptions.described import describe
from cases.prescriptions.models import Heel, Prescription
from tests.browser import TABLET, Sit
from tests.factories.figures import load_figures
from tests.factories.lasts import make_last, make_measure_set
from tests.factories.patients import make_patient, make_red_flag
from tests.factories.prescriptions import make_prescription
from tests.factories.staff import make_person
from workshop.staff.models import Person

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


@pytest.fixture
def prescriber(transactional_db: None) -> Person:
    load_figures()
    return make_person(name="Clara Clinician", roles=["clinician"], may_prescribe=True)


@pytest.fixture
def draft(prescriber: Person) -> Prescription:
    """Of a client with measures, a last for each foot and an open red flag."""
    patient = make_patient()
    make_red_flag(patient)
    return make_prescription(
        patient=patient,
        written_by=prescriber,
        measure_set=make_measure_set(
            patient=patient, both={}, left={"heel_to_joint": 200, "heel_to_fifth": 180}, right={"heel_to_joint": 202}
        ),
        left_last=make_last(owner=patient, side="left"),
        right_last=make_last(owner=patient, side="right"),
    )


@pytest.fixture
def tablet(sit_down: Sit, prescriber: Person) -> Callable[..., Page]:
    """A page of the workshop in which the prescriber is signed in, with JavaScript or without."""

    def page(path: str, **options: Any) -> Page:
        return sit_down(prescriber, at=TABLET, path=path, **options)

    return page


def test_no_page_of_a_prescription_shuts_anybody_out(
    tablet: Callable[..., Page], draft: Prescription, prescriber: Person
) -> None:
    now = timezone.now()
    signed = actions.sign_prescription(draft, seen_version=1, by=prescriber, at=now)
    follower = actions.write_new_version(signed, reason="Worn out.", by=prescriber, at=now)
    actions.save_draft(follower, seen_version=1, parts={"left": {"heel": {"height_mm": 18}}}, by=prescriber, at=now)
    paths = [
        reverse("prescription-new", args=[draft.patient.uuid]),
        reverse("prescription", args=[follower.uuid]),
        reverse("prescription-sign", args=[follower.uuid]),
        reverse("prescription", args=[signed.uuid]),
    ]
    found = {path: [each["id"] for each in Axe().run(tablet(path)).response["violations"]] for path in paths}
    assert found == {path: [] for path in paths}


def test_a_part_is_added_read_and_signed_without_javascript(tablet: Callable[..., Page], draft: Prescription) -> None:
    page = tablet(reverse("prescription", args=[draft.uuid]), javascript=False)
    page.get_by_text("Wedge, heel", exact=True).first.click()
    page.locator("#id_left-wedge-heel-edge").select_option("medial")
    page.locator("#id_left-wedge-heel-height_mm").fill("4")
    page.get_by_role("button", name="Save, read it once more and sign").click()
    page.get_by_role("button", name="Sign version 1").click()
    expect(page.get_by_text("Signed", exact=False).first).to_be_visible()
    signed = queries.whole(draft.uuid)
    wedge = describe(signed)[0].part("wedge_heel")
    assert (signed.status, wedge and wedge.lines) == (
        "signed",
        (("edge", "medial"), ("height at the edge", "4 mm")),
    )


def test_a_change_is_saved_and_said_so_without_a_button(tablet: Callable[..., Page], draft: Prescription) -> None:
    page = tablet(reverse("prescription", args=[draft.uuid]))
    page.locator("#block-heel > summary").click()
    page.locator("#id_left-heel-height_mm").fill("31")
    page.locator("#id_left-heel-height_mm").press("Tab")
    expect(page.locator("#line-heel")).to_contain_text("height 31 mm")
    expect(page.locator("#saved")).to_contain_text("Saved")
    heel = describe(queries.whole(draft.uuid))[0].part("heel")
    assert heel
    assert dict(heel.lines)["height"] == "31 mm"


def test_what_is_folded_away_comes_when_it_is_opened_and_a_panel_without_an_answer_is_said_to_be_behind(
    tablet: Callable[..., Page], draft: Prescription
) -> None:
    page = tablet(reverse("prescription", args=[draft.uuid]))
    page.locator("#block-heel > summary").click()
    height, fold = page.locator("#id_left-heel-height_mm"), page.locator("#all-implied")
    height.fill("31")
    height.press("Tab")
    expect(page.locator("#region-drawing")).to_contain_text("sole 8, heel 31")
    fold.locator("summary").first.click()
    expect(fold.locator("table.implied")).to_have_count(3)
    expect(page.locator("#behind")).to_be_hidden()
    page.route("**/panel/**", lambda route: route.abort())
    height.fill("32")
    height.press("Tab")
    expect(page.locator("#behind")).to_be_visible()
    expect(page.locator("#saved")).to_contain_text("Saved")
    page.unroute("**/panel/**")
    height.fill("33")
    height.press("Tab")
    expect(page.locator("#region-drawing")).to_contain_text("sole 8, heel 33")
    expect(page.locator("#behind")).to_be_hidden()


def test_a_block_is_opened_and_filled_with_the_keyboard_alone(tablet: Callable[..., Page], draft: Prescription) -> None:
    page = tablet(reverse("prescription", args=[draft.uuid]))
    page.locator("#block-heel > summary").focus()
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    page.keyboard.press("Control+A")
    page.keyboard.type("29")
    page.keyboard.press("Tab")
    expect(page.locator("#line-heel")).to_contain_text("height 29 mm")


def test_what_is_typed_without_a_network_is_saved_when_it_is_back(
    tablet: Callable[..., Page], draft: Prescription
) -> None:
    page = tablet(reverse("prescription", args=[draft.uuid]))
    page.locator("#block-heel > summary").click()
    page.context.set_offline(True)
    page.locator("#id_left-heel-height_mm").fill("27")
    page.locator("#id_left-heel-height_mm").press("Tab")
    expect(page.locator("#saved")).to_contain_text("no network")
    page.context.set_offline(False)
    expect(page.locator("#line-heel")).to_contain_text("height 27 mm")


def test_a_part_half_said_waits_and_says_so(tablet: Callable[..., Page], draft: Prescription) -> None:
    page = tablet(reverse("prescription", args=[draft.uuid]))
    page.locator("#block-rocker > summary").click()
    page.locator("#id_left-rocker-angle_deg").fill("15")
    page.locator("#id_left-rocker-angle_deg").press("Tab")
    expect(page.locator("#saved")).to_contain_text("but for what is marked")
    expect(page.locator("#block-rocker")).to_contain_text("Not saved: Say this too")


def test_two_people_are_told_and_the_second_is_shown_both(
    tablet: Callable[..., Page], draft: Prescription, prescriber: Person
) -> None:
    page = tablet(reverse("prescription", args=[draft.uuid]))
    page.locator("#block-heel > summary").click()
    actions.save_draft(
        draft,
        seen_version=1,
        parts={"left": {"heel": {"height_mm": 18}}, "right": {"heel": {"height_mm": 19}}},
        by=prescriber,
        at=timezone.now(),
    )
    page.locator("#id_left-heel-height_mm").fill("33")
    page.locator("#id_left-heel-height_mm").press("Tab")
    expect(page.locator("#saved")).to_contain_text("somebody else saved this draft")
    page.get_by_role("button", name="Save", exact=True).first.click()
    expect(page.locator("#stale tbody tr")).to_have_count(1)
    expect(page.locator("#stale")).to_contain_text("LEFT, Heel, height (mm)")
    page.get_by_role("button", name="Save", exact=True).first.click()
    expect(page.locator("#stale")).to_have_count(0)
    heels = [foot.one("heel", Heel) for foot in queries.whole(draft.uuid).foot_set.all()]
    assert [heel and heel.height_mm for heel in heels] == [33, 19]


def test_the_save_button_saves_with_javascript_too(tablet: Callable[..., Page], draft: Prescription) -> None:
    page = tablet(reverse("prescription", args=[draft.uuid]))
    page.get_by_role("button", name="Save, read it once more and sign").click()
    page.wait_for_url(f"**{reverse('prescription-sign', args=[draft.uuid])}")
    assert queries.whole(draft.uuid).version == 2


FIRST_ANSWER_LATE = """
const atOnce = window.fetch;
let isFirst = true;
window.fetch = async (...asked) => {
  const answer = await atOnce(...asked);
  if (String(asked[0]).endsWith("/keep/") && isFirst) {
    isFirst = false;
    await new Promise((then) => { setTimeout(then, 600); });
  }
  return answer;
};
"""


def test_a_change_that_waits_for_the_one_before_it_goes_with_the_page_that_is_sent(
    tablet: Callable[..., Page], draft: Prescription
) -> None:
    page = tablet(reverse("prescription", args=[draft.uuid]))
    page.add_init_script(FIRST_ANSWER_LATE)
    page.reload()
    page.locator("#block-heel > summary").click()
    for name, figure in (("height_mm", "31"), ("extended_medial_mm", "4")):
        page.locator(f"#id_left-heel-{name}").fill(figure)
        page.locator(f"#id_left-heel-{name}").press("Tab")
    page.get_by_role("button", name="Save, read it once more and sign").click()
    page.wait_for_url(f"**{reverse('prescription-sign', args=[draft.uuid])}")
    assert queries.whole(draft.uuid).version == 3


def test_the_bar_the_drawing_and_the_blocks_fit_the_tablet(tablet: Callable[..., Page], draft: Prescription) -> None:
    page = tablet(reverse("prescription", args=[draft.uuid]))
    expect(page.locator("#region-drawing svg").first).to_be_visible()
    page.locator("#underfoot").scroll_into_view_if_needed()
    wide = page.evaluate("document.documentElement.scrollWidth")
    bar, drawing = page.locator("#draft-bar").bounding_box(), page.locator("#region-drawing svg").first.bounding_box()
    assert bar
    assert drawing
    assert (wide, bar["y"] >= 0, 0 <= drawing["y"] < 768) == (1024, True, True)
