"""A maker at a page of the bench who keys what is measured before it is shown."""

import re

from playwright.sync_api import Locator, Page

from cases.bench.models import CoverRequirement

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
