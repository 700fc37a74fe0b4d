"""A maker at a page of the bench who keys what is measured before it is shown, and goes through the final check."""

import re

from playwright.sync_api import Locator, Page, expect

from cases.bench.models import CoverRequirement, FinalFigure, Pair

FIELD = re.compile(r"measured-(?P<check>[0-9a-f-]{36})-(?P<number>[0-9]+)")


def key_what_is_measured(page: Page) -> Locator | None:
    """Key the figures of the first part that waits for them, as prescribed. Gives the button that records them."""
    form = page.locator(".measure-blind:visible").first
    if not form.count():
        return None
    for field in form.locator("[data-keyed]").all():
        name = FIELD.fullmatch(field.get_attribute("name") or "")
        assert name is not None
        asked = CoverRequirement.objects.get(uuid=name["check"])
        field.fill(asked.measured[int(name["number"])]["prescribed"])
    return form.locator("button.big")


def look_finally(page: Page, pair: Pair) -> None:
    """At the final check, mark on its sheet that every line of both shoes holds, once."""
    sheet = page.get_by_role("link", name="The sheet of figures, LEFT and RIGHT")
    if not sheet.count() or FinalFigure.objects.filter(stage__pair=pair).exists():
        return
    sheet.click()
    for line in page.locator(".holds input").all():
        line.check()
    page.get_by_role("button", name="Record what is marked").click()
    expect(page.get_by_role("status")).to_contain_text("The sheet is complete")
    page.get_by_role("link", name=f"Pair {pair.number} on the bench").click()
    expect(page.locator("#bench")).to_be_visible()
