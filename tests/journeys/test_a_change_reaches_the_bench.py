"""Two different feet prescribed, built until the stiffeners are covered, and amended: by touch, on tablets held both ways.

The maker sees the new version before anything else is ticked; what is covered otherwise waits for the clinician.
"""

import re
from datetime import timedelta

import pytest
from django.core.management import call_command
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Page, ViewportSize, expect

from cases.bench.models import Difference, Pair, Stage
from cases.patients.models import Patient
from cases.prescriptions import queries
from cases.prescriptions.described import describe
from cases.prescriptions.models import Prescription
from tests.browser import TABLET, TABLET_UPRIGHT, Sit
from tests.factories.lasts import make_last, make_measure_set
from tests.factories.patients import make_patient
from tests.factories.staff import make_person
from tests.journeys.looking import wrong_at_this_size
from tests.journeys.measuring import key_what_is_measured
from workshop.staff.models import Person

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

PRESCRIBED = {
    "left-stiffener-medial_reach_mm": "150",
    "left-stiffener-lateral_reach_mm": "110",
    "left-stiffener-back_height_mm": "51",
    "right-stiffener-medial_reach_mm": "131",
    "right-stiffener-lateral_reach_mm": "117",
    "right-stiffener-back_height_mm": "52",
    "left-heel-height_mm": "20",
    "right-heel-height_mm": "24",
    "left-sole-material": "microcellular rubber",
    "right-sole-material": "microcellular rubber",
    "left-sole-thickness_mm": "8",
    "right-sole-thickness_mm": "9",
}
LONGER_MM = "182"
COVERED_BY = "last-backs"


@pytest.fixture
def clara(transactional_db: None) -> Person:
    call_command("prepare_workshop")
    return make_person(name="Clara Clinician", roles=["clinician"], may_prescribe=True)


@pytest.fixture
def max_maker(clara: Person) -> Person:
    return make_person(name="Max Maker", roles=["maker"])


@pytest.fixture
def patient(clara: Person) -> Patient:
    """Measured, and with a last for each foot."""
    patient = make_patient(given_names="Hugo", family_name="Surveyman")
    make_measure_set(patient=patient, taken_by=clara)
    for side in ("left", "right"):
        make_last(owner=patient, side=side)
    return patient


def tap(page: Page, name: str) -> None:
    """Touch a button that sends a whole page, and wait for the answer."""
    with page.expect_navigation():
        page.get_by_role("button", name=re.compile(name)).first.tap()


def saved(page: Page) -> None:
    expect(page.locator("#saved")).to_contain_text(re.compile(r"^Saved \d\d:\d\d$"))


def write(page: Page, figures: dict[str, str]) -> None:
    for name, value in figures.items():
        block = page.locator(f"details.block:has([name={name}])")
        if block.get_attribute("open") is None:
            block.locator("> summary").tap()
        page.locator(f"[name={name}]").fill(value)


def drawn(page: Page) -> list[str]:
    """The feet drawn on a page, in its order; waits for the first."""
    expect(page.locator("svg.cut-away").first).to_be_visible()
    return [each[: each.index(" ")] for each in page.locator("svg.cut-away > title").all_text_contents()]


def sign(page: Page) -> None:
    tap(page, "read it once more and sign")
    tap(page, "^Sign version")
    expect(page.get_by_text("signed", exact=True).first).to_be_visible()


def prescribe(page: Page, patient: Patient) -> Prescription:
    page.goto(reverse("prescription-new", args=[patient.uuid]))
    tap(page, "^Begin the draft")
    write(page, PRESCRIBED)
    saved(page)
    assert drawn(page) == ["LEFT", "RIGHT"]
    sign(page)
    return Prescription.objects.get()


def open_on_the_bench(page: Page) -> Pair:
    page.get_by_role("link", name=re.compile("Open a pair")).first.tap()
    page.get_by_label("Promised day").fill((timezone.localdate() + timedelta(days=20)).isoformat())
    tap(page, "^Open the pair")
    return Pair.objects.get()


def build_until_the_stiffeners_are_covered(page: Page, pair: Pair) -> None:
    """Checks as prescribed and ticks, each with one touch."""
    page.goto(reverse("pair-bench", args=[pair.uuid]))
    covering = Stage.objects.filter(pair=pair, kind__key=COVERED_BY, retired_at__isnull=True, ticked_at__isnull=True)
    for _ in range(60):
        if not covering.exists():
            return
        checks = page.locator("button[name=outcome]:visible", has_text="as prescribed")
        together = checks.filter(has_text="LEFT and RIGHT")
        button = next(
            (each.first for each in (together, checks) if each.count()), page.locator(".tick button.big").first
        )
        button = key_what_is_measured(page) or button
        before = page.locator("#bench").inner_text()
        button.tap()
        expect(page.locator("#bench")).not_to_have_text(before, use_inner_text=True)
    raise AssertionError("the stiffeners are never covered")


def amend(page: Page, signed: Prescription) -> Prescription:
    page.goto(reverse("prescription", args=[signed.uuid]))
    page.get_by_label("Why a new version is written").fill("The arch sinks over the day.")
    tap(page, "^Write a new version")
    write(page, {"left-stiffener-medial_reach_mm": LONGER_MM})
    saved(page)
    tap(page, "read it once more and sign")
    assert drawn(page) == ["LEFT", "LEFT", "RIGHT"]
    tap(page, "^Sign version 2")
    return Prescription.objects.get(version_no=2)


def ticks_are_refused_until_it_is_taken_up(page: Page) -> None:
    """On the page as it stood before, and on the page as it is now."""
    before = Stage.objects.filter(ticked_at__isnull=False).count()
    page.locator(".tick button.big").first.tap()
    expect(page.locator("#alert")).to_contain_text("newer version")
    page.reload()
    expect(page.get_by_role("alert").first).to_contain_text("Version 2 of prescription 1 was signed")
    assert (page.locator(".tick button").count(), Stage.objects.filter(ticked_at__isnull=False).count()) == (0, before)


def the_bench_reads_what_changed(page: Page) -> None:
    expect(page.locator(".foot.left")).to_contain_text(f"{LONGER_MM} mm")
    expect(page.locator(".foot.right")).not_to_contain_text("mm")
    assert drawn(page) == ["LEFT", "LEFT", "RIGHT"]


def take_up(page: Page) -> None:
    page.get_by_role("button", name="Take up version 2").tap()
    difference = page.get_by_label("Difference, LEFT stiffener")
    expect(difference).to_contain_text(f"{LONGER_MM} mm")
    expect(page.get_by_label(re.compile("^Difference"))).to_have_count(1)


def accept_as_built(page: Page) -> None:
    page.goto(reverse("differences"))
    page.get_by_text("Accept as built").first.tap()
    page.get_by_label("Why", exact=True).fill("The insole carries the arch; the next pair is longer.")
    with page.expect_navigation():
        page.get_by_role("button", name="Accept as built").tap()


def the_bench_goes_on(page: Page) -> None:
    page.reload()
    expect(page.get_by_text("The insole carries the arch")).to_be_visible()
    before = Stage.objects.filter(ticked_at__isnull=False).count()
    drawing = page.locator("#shoes-cut-open svg.cut-away").first
    expect(drawing).to_be_visible()
    drawing.evaluate("drawing => { drawing.dataset.stays = ''; }")
    words = page.locator("#bench").inner_text()
    page.locator(".tick button.big").first.tap()
    expect(page.locator("#bench")).not_to_have_text(words, use_inner_text=True)
    assert Stage.objects.filter(ticked_at__isnull=False).count() > before
    expect(page.locator("[data-stays]")).to_have_count(1)


@pytest.mark.parametrize("size", [TABLET, TABLET_UPRIGHT], ids=["across", "upright"])
def test_a_prescription_amended_after_its_stiffener_is_covered_reaches_the_bench(
    sit_down: Sit, clara: Person, max_maker: Person, patient: Patient, size: ViewportSize
) -> None:
    tablet, bench = (sit_down(person, at=size, has_touch=True) for person in (clara, max_maker))
    signed = prescribe(tablet, patient)
    pair = open_on_the_bench(tablet)
    build_until_the_stiffeners_are_covered(bench, pair)
    amended = amend(tablet, signed)
    ticks_are_refused_until_it_is_taken_up(bench)
    the_bench_reads_what_changed(bench)
    take_up(bench)
    accept_as_built(tablet)
    the_bench_goes_on(bench)
    pair.refresh_from_db()
    left, right = (dict(foot.part("stiffener").lines) for foot in describe(queries.whole(amended.uuid)))  # type: ignore[union-attr]
    assert (pair.working_to, Difference.objects.get().state) == (amended, "accepted")
    assert (left["medial reach"][-6:], right["medial reach"][-6:]) == ("182 mm", "131 mm")
    assert [*wrong_at_this_size(bench), *wrong_at_this_size(tablet)] == []
