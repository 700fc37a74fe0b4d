"""The materials of the workshop in a real browser."""

import pytest
from django.urls import reverse
from playwright.sync_api import expect

from tests.browser import DESK, Sit
from tests.factories.figures import load_figures
from tests.factories.staff import make_person
from tests.journeys.looking import wrong_at_this_size, wrong_for_assistive_technology

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]


def test_a_manager_writes_down_what_a_material_weighs_here(sit_down: Sit) -> None:
    load_figures()
    page = sit_down(make_person(name="Mona Manager", roles=["manager"]), at=DESK, path=reverse("materials"))
    row = page.locator("tr", has_text="microcellular rubber").first
    row.get_by_role("link").click()
    page.locator("[name=density_low_kg_m3]").fill("311")
    page.locator("[name=density_high_kg_m3]").fill("322")
    page.get_by_label("Where the figures come from").fill("weighed here, five soles")
    page.get_by_role("button", name="Write it down from that day on").click()
    page.goto(reverse("materials"))
    expect(row).to_contain_text("311")
    expect(row).to_contain_text("weighed here, five soles")
    assert [*wrong_at_this_size(page), *wrong_for_assistive_technology(page)] == []
