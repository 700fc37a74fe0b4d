"""A maker lays a reach longer on the pattern and prints it, without scripts; the clinician finds the difference waiting."""

import re

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from cases.bench.models import Pair
from cases.patients.models import Paper
from tests.browser import BENCH, TABLET, Sit
from tests.factories.patterns import make_pair_on_lasts
from tests.factories.staff import make_person
from tests.journeys.looking import wrong_at_this_size, wrong_for_assistive_technology
from workshop.staff.models import Person

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

WHY = "the last runs long at the medial joint"


@pytest.fixture
def clara(transactional_db: None) -> Person:
    return make_person(name="Clara Clinician", roles=["clinician"], may_prescribe=True)


@pytest.fixture
def pair(clara: Person) -> Pair:
    """Of which stiffeners and puffs are cut: few sheets, soon printed."""
    return make_pair_on_lasts(by=clara, at=timezone.now(), both={"insole": None})


def test_a_reach_shifted_at_the_bench_waits_for_the_clinician(sit_down: Sit, clara: Person, pair: Pair) -> None:
    maker = make_person(name="Max Maker", roles=["maker"])
    bench = sit_down(maker, at=BENCH, javascript=False, path=reverse("pair-bench", args=[pair.uuid]))
    bench.get_by_role("link", name="Patterns", exact=True).click()
    bench.get_by_role("link", name=re.compile("Adjust LEFT stiffener", re.IGNORECASE)).click()
    bench.get_by_role("link", name=re.compile("medial reach")).click()
    bench.get_by_label("Cut it to (mm)").fill("138")
    bench.get_by_label("Why it is adjusted").fill(WHY)
    bench.get_by_role("button", name="Adjust LEFT").click()
    expect(bench.locator(".adjustments")).to_contain_text("130 → 138 mm")
    expect(bench.locator(".adjustments")).to_contain_text("a difference that waits for a clinician")
    bench.get_by_role("link", name="Patterns", exact=True).click()
    with bench.context.expect_event("response", lambda answer: "/papers/" in answer.url):
        bench.get_by_role("button", name="Print A4").click()
    assert [paper.kind for paper in Paper.objects.all()] == ["patterns A4"]
    tablet = sit_down(clara, at=TABLET, path=reverse("differences"))
    waiting = tablet.locator(".difference")
    expect(waiting).to_contain_text(f"medial reach 138 mm, 130 mm is prescribed. Because: {WHY}")
    tablet.goto(reverse("pattern-piece", args=[pair.uuid, "left", "stiffener"]))
    assert [*wrong_at_this_size(tablet), *wrong_for_assistive_technology(tablet)] == []
