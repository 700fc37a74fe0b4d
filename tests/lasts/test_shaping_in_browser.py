"""A last shaped in a real browser: fit for assistive technology, and usable without JavaScript."""

from decimal import Decimal

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import ViewportSize

from cases.lasts import actions
from cases.lasts.models import Last
from shared.sides import Side
from tests.browser import BENCH, TABLET, Sit
from tests.factories.figures import load_figures
from tests.factories.lasts import make_cast, make_last, make_measure_set
from tests.factories.patients import make_finding, make_patient
from tests.factories.staff import make_person
from workshop.staff.models import Person

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

FOOT = {"foot_length": 273, "joint_girth": 253, "instep_girth": 255}
PAGES = ["last", "last-target", "last-alter", "last-measure", "last-patch-new", "last-bottom", "last-deformities"]


@pytest.fixture
def maker(transactional_db: None) -> Person:
    return make_person(name="Max Maker", roles=["maker"])


@pytest.fixture
def last(maker: Person) -> Last:
    """A LEFT last from a cast, with a target, a planned patch, a look at its bottom and a fixed deformity."""
    load_figures()
    at, owner = timezone.now(), make_patient()
    joint, instep = Decimal(243), Decimal(262)
    last = make_last(
        owner=owner, number="7", cast=make_cast(patient=owner), joint_girth_mm=joint, instep_girth_mm=instep
    )
    make_last(owner=owner, number="7", side="right")
    measure_set = make_measure_set(patient=owner, both=FOOT)
    make_finding(owner, side=Side.LEFT, flexibility="fixed")
    actions.set_last_target(last, measure_set=measure_set, footwear_kind="low", hose="normal", by=maker, at=at)
    actions.plan_patch(
        last, work="build up", station="joint", place="over the joint", height_mm=Decimal("4.5"), by=maker, at=at
    )
    seen = [actions.BottomSeen("arch", "gap", Decimal(3), "under the navicular")]
    actions.check_bottom(last, seen=seen, by_gauge=True, seen_version=1, by=maker, at=at)
    return last


@pytest.mark.parametrize("size", [TABLET, BENCH], ids=["tablet", "bench"])
@pytest.mark.parametrize("name", PAGES)
def test_the_pages_of_a_last_are_fit_for_assistive_technology(
    sit_down: Sit, maker: Person, last: Last, name: str, size: ViewportSize
) -> None:
    page = sit_down(maker, at=size, path=reverse(name, args=[last.uuid]))
    violations = Axe().run(page).response["violations"]
    wider = page.evaluate("document.documentElement.scrollWidth > window.innerWidth")
    assert ([(each["id"], each["nodes"][0]["html"][:120]) for each in violations], wider) == ([], False)


def test_a_last_is_built_up_measured_and_agreed_without_javascript(sit_down: Sit, maker: Person, last: Last) -> None:
    page = sit_down(maker, at=TABLET, javascript=False, path=reverse("last-alter", args=[last.uuid]))
    page.get_by_label("build up 4.5 mm, over the joint").check()
    page.get_by_role("button", name="Save the last as altered").click()
    page.get_by_role("link", name="Measure last 7 LEFT").click()
    page.get_by_label("Joint girth, mm").fill("257")
    page.get_by_role("button", name="Save what was measured").click()
    page.get_by_role("button", name="Agree last 7 LEFT as it is").click()
    last.refresh_from_db()
    shown = page.locator(".page-head .tag").inner_text()
    assert (shown, last.joint_girth_mm, last.version, last.agreements.get().by) == (
        "agreed as it is",
        Decimal(257),
        2,
        maker,
    )
