"""One pair, from the referral to the review letter, across the roles, in a real browser, with JavaScript and without.

The measures are those of the first man of an open survey (ANSUR II, US Army 2010 to 2012, NATICK/TR-15/007; right
foot, taken for both). What the survey did not measure is left out.
"""

import re
from dataclasses import replace
from datetime import timedelta

import pytest
from django.core.management import call_command
from django.utils import timezone
from playwright.sync_api import Page, expect

from cases.bench.models import Pair
from cases.patients.models import Paper
from cases.prescriptions import queries
from cases.prescriptions.described import FootInWords, describe
from tests.browser import BENCH, DESK, TABLET, TABLET_UPRIGHT, Sit
from tests.factories.staff import make_person
from tests.journeys.measuring import key_what_is_measured, look_finally
from tests.papers.reading import ReadPaper, missing
from workshop.staff.models import Person

pytestmark = [pytest.mark.browser, pytest.mark.django_db(transaction=True)]

SURVEY_MAN_MM = {
    "foot_length": "273",
    "heel_to_joint": "202",
    "joint_width": "101",
    "heel_width": "70",
    "joint_girth": "253",
    "short_heel_girth": "326",
    "ankle_girth": "222",
    "lateral_malleolus_height": "77",
    "calf_girth": "373",
}

PRESCRIBED = {
    "left-upper-style": "Derby",
    "right-upper-style": "Derby",
    "left-stiffener-medial_reach_mm": "182",
    "left-stiffener-lateral_reach_mm": "81",
    "left-stiffener-back_height_mm": "51",
    "right-stiffener-medial_reach_mm": "131",
    "right-stiffener-lateral_reach_mm": "117",
    "right-stiffener-back_height_mm": "52",
    "left-sole-material": "microcellular rubber",
    "left-sole-thickness_mm": "8",
    "right-sole-material": "microcellular rubber",
    "right-sole-thickness_mm": "9",
    "left-heel-height_mm": "20",
    "right-heel-height_mm": "21",
    "left-carbon-plies": "5",
    "left-carbon-cloth_g_m2": "200",
    "left-carbon-starts": "seat front",
    "left-carbon-ends_before_toe_mm": "12",
    "left-carbon-overlap_on_shank_mm": "30",
    "left-rocker-apex_percent": "55",
    "left-rocker-angle_deg": "15",
    "right-cushion-forepart-material": "open-cell polyurethane",
    "right-cushion-forepart-thickness_mm": "4",
    "right-scoured-scoured_to_mm": "0.5",
}
BLOCKS = ("upper", "stiffener", "scoured", "cushion-forepart", "carbon", "sole", "heel", "rocker")
"""The blocks of the page that hold them: each is opened by touch."""


@pytest.fixture
def people(transactional_db: None) -> dict[str, Person]:
    """One person for each role, in a workshop made ready for work."""
    call_command("prepare_workshop")
    return {
        "reception": make_person(name="Rita Reception", roles=["reception"]),
        "clinician": make_person(name="Clara Clinician", roles=["clinician"], may_prescribe=True),
        "maker": make_person(name="Max Maker", roles=["maker"]),
        "manager": make_person(name="Mona Manager", roles=["manager"]),
    }


def press(page: Page, name: str) -> None:
    """Press a button that sends a whole page, and wait for the answer."""
    with page.expect_navigation():
        page.get_by_role("button", name=re.compile(name)).first.click()


def open_client(page: Page) -> None:
    page.goto("/clients/?text=surveyman")
    page.get_by_role("link", name=re.compile("Surveyman")).first.click()


def register(page: Page) -> None:
    """Reception enters the referral."""
    page.goto("/clients/new/")
    page.get_by_label("Given names").fill("Hugo")
    page.get_by_label("Family name").fill("Surveyman")
    page.get_by_label("Date of birth").fill("1969-05-04")
    page.get_by_label("Telephone").fill("01632 960 700")
    page.get_by_label("Reason for the referral").fill("Painful stiff big toe on the left.")
    page.get_by_label("Or a new referrer: name").fill("Foot Clinic")
    page.get_by_label("Their address").fill("2 Clinic Road\nOtherton")
    page.get_by_label("A treatment record is kept").check()
    page.get_by_label("Letters go to the referrer").check()
    press(page, "^Register")
    expect(page.get_by_role("heading", name=re.compile("Hugo Surveyman"))).to_be_visible()


def record_finding(page: Page) -> None:
    open_client(page)
    page.get_by_role("link", name="Record a finding").first.click()
    page.locator("#id_condition").select_option("hallux_rigidus")
    page.get_by_label("severe").first.check()
    press(page, "^Add to LEFT")
    expect(page.locator(".foot.left")).to_contain_text("Hallux rigidus")


def measure(page: Page) -> None:
    open_client(page)
    page.get_by_role("link", name="Measure both feet").first.click()
    page.get_by_label("Load", exact=True).select_option("standing")
    page.get_by_label("Heel height it is taken at, mm").fill("0")
    for side in ("left", "right"):
        for name, value in SURVEY_MAN_MM.items():
            page.locator(f"[name={side}-{name}-1]").fill(value)
        for name in ("joint_girth", "short_heel_girth"):
            page.locator(f"[name={side}-{name}-2]").fill(SURVEY_MAN_MM[name])
    press(page, "^Save the measures of both feet")
    expect(page.get_by_role("heading", name=re.compile("^Measures of Hugo Surveyman"))).to_be_visible()


def cast_and_last(page: Page) -> None:
    open_client(page)
    page.get_by_role("link", name="Register casts").first.click()
    page.get_by_role("checkbox", name="LEFT").check()
    page.get_by_role("checkbox", name="RIGHT").check()
    page.get_by_label("Where it is kept").fill("cast shelf 7")
    press(page, "^Register")
    open_client(page)
    page.get_by_role("link", name="Register lasts").first.click()
    for side in ("left", "right"):
        page.locator(f"[name={side}_length_mm]").fill("285")
    page.get_by_label("Where it stands").fill("rack C, hook 3")
    page.get_by_label("Heel height, mm").fill("20")
    page.get_by_text("How it was made, alignment, condition").click()
    page.get_by_label("Toe shape").fill("round")
    press(page, "^Register")
    for side in ("LEFT", "RIGHT"):
        open_client(page)
        page.get_by_role("link", name=re.compile(f"^Last .*{side}")).first.click()
        press(page, "^Agree")


def prescribe(page: Page) -> None:
    open_client(page)
    page.get_by_role("link", name="New prescription").first.click()
    page.get_by_label("What the pair is for").fill("everyday walking")
    press(page, "^Begin the draft")
    for block in BLOCKS:
        page.locator(f"#block-{block} > summary").click()
    page.locator("[name=left-stiffener-medial_reach]").select_option("long")
    page.locator("[name=left-stiffener-lateral_reach]").select_option("short")
    page.locator("[name=left-rocker-curved]").select_option("True")
    for name, value in PRESCRIBED.items():
        page.locator(f"[name={name}]").fill(value)
    press(page, "^Save")
    press(page, "read it once more and sign")
    # What is asked about it is listed; read, it is signed as it is.
    press(page, "^Sign version .* unanswered$")
    expect(page.get_by_text("signed").first).to_be_visible()


def open_on_the_bench(page: Page) -> None:
    open_client(page)
    page.get_by_role("link", name=re.compile("^Prescription 1")).first.click()
    page.get_by_role("link", name=re.compile("Open a pair")).first.click()
    page.get_by_label("Promised day").fill((timezone.localdate() + timedelta(days=5)).isoformat())
    press(page, "^Open the pair")


def work_until_nothing_is_to_be_ticked(page: Page, pair: Pair) -> None:
    """Checks as prescribed and ticks, each with one touch, until only a visit, or nothing, is left."""
    page.goto(f"/bench/pairs/{pair.uuid}/")
    for _ in range(200):
        look_finally(page, pair)
        checks = page.locator("button[name=outcome]:visible", has_text="as prescribed")
        ticks = page.locator(".tick button.big")
        together = checks.filter(has_text="LEFT and RIGHT")
        button = together.first if together.count() else (checks.first if checks.count() else ticks.first)
        before = page.locator("#bench").inner_text()
        button = key_what_is_measured(page) or button
        if not button.count():
            return
        button.click()
        expect(page.locator("#bench")).not_to_have_text(before, use_inner_text=True)
    raise AssertionError("the route has no end")


def book(page: Page, kind: str, *, at: str) -> None:
    """Reception books a time of today, so that the visit can be held at once."""
    open_client(page)
    page.get_by_role("link", name="Book a visit").first.click()
    page.get_by_label("What for").select_option(kind)
    page.get_by_label("With").select_option(label="Clara Clinician")
    page.locator("#id_day").fill(timezone.localdate().isoformat())
    page.locator("#id_time").fill(at)
    press(page, "^Book$")
    if page.get_by_role("button", name="Book all the same").count():
        # The hour is past, or the workshop is closed today: said, and booked by one more touch.
        press(page, "^Book all the same")


def go_to_visit(page: Page, kind: str) -> None:
    open_client(page)
    page.get_by_role("link", name=re.compile(f"^{kind}")).first.click()


def fit(page: Page) -> None:
    go_to_visit(page, "Rough fitting")
    page.get_by_role("link", name="Record the fitting").first.click()
    page.locator("[name=left_0_place]").fill("heel")
    page.locator("[name=left_0_found]").fill("grips well")
    page.get_by_label("accept: go on").check()
    press(page, "^Record the fitting")
    expect(page.get_by_role("heading", name=re.compile("ough fitting"))).to_be_visible()


def hand_over(page: Page) -> None:
    go_to_visit(page, "Hand-over")
    page.get_by_role("link", name=re.compile("^Hand over")).first.click()
    page.get_by_label("Asked today for every sign above").check()
    page.get_by_label("The cautions above were explained").check()
    page.get_by_label("closes the shoes alone").check()
    page.get_by_label("The client lifted both shoes").check()
    page.get_by_label("Ordinary").check()
    press(page, "^Hand over")
    expect(page.get_by_role("heading", name=re.compile("^Hand-over"))).to_be_visible()


def review(page: Page) -> None:
    go_to_visit(page, "Review")
    page.get_by_role("link", name="Record the review").first.click()
    page.get_by_label("all day").check()
    page.get_by_label("How far they could walk before").fill("to the gate")
    page.get_by_label("How far they can walk now").fill("twenty minutes")
    page.get_by_label("Pain before, 0 to 10").fill("7")
    page.get_by_label("Pain now, 0 to 10").fill("2")
    page.locator("[name=left_skin]").fill("clear on the big toe")
    page.locator("[name=right_skin]").fill("slight mark at the heel, gone in ten minutes")
    page.get_by_label("What happens next").fill("Wear them all day.")
    press(page, "^Record the review")
    expect(page.get_by_role("heading", name=re.compile("^Review"))).to_be_visible()


def print_paper(page: Page, pair: Pair, button: str) -> None:
    page.goto(f"/pairs/{pair.uuid}/")
    press(page, button)


def walk_the_whole_thread(sit_down: Sit, people: dict[str, Person], *, javascript: bool) -> Pair:
    """Each role at its own screen does its part; gives the pair at the end."""
    desk = sit_down(people["reception"], at=DESK, javascript=javascript)
    tablet = sit_down(people["clinician"], at=TABLET, javascript=javascript)
    upright = sit_down(people["clinician"], at=TABLET_UPRIGHT, javascript=javascript)
    bench = sit_down(people["maker"], at=BENCH, javascript=javascript)
    register(desk)
    record_finding(tablet)
    measure(upright)
    cast_and_last(tablet)
    prescribe(tablet)
    open_on_the_bench(tablet)
    pair = Pair.objects.get()
    print_paper(bench, pair, "Print the job card")
    work_until_nothing_is_to_be_ticked(bench, pair)
    book(desk, "rough-fitting", at="08:00")
    fit(tablet)
    work_until_nothing_is_to_be_ticked(bench, pair)
    book(desk, "hand-over", at="09:00")
    hand_over(tablet)
    book(desk, "review", at="10:00")
    review(tablet)
    print_paper(tablet, pair, "letter")
    pair.refresh_from_db()
    return pair


def the_manager_sees_it_is_not_late(sit_down: Sit, people: dict[str, Person], pair: Pair) -> None:
    late = sit_down(people["manager"], at=DESK)
    late.goto("/late/")
    expect(late.locator("main")).not_to_contain_text("Surveyman")
    late.goto(f"/pairs/{pair.uuid}/")
    expect(late.get_by_role("heading", name="Its story")).to_be_visible()


def as_a_referrer_reads(foot: FootInWords) -> FootInWords:
    """Without the number of the last, which says nothing outside the workshop."""
    return replace(foot, visible=tuple(part for part in foot.visible if part.part != "last"))


@pytest.mark.parametrize("javascript", [True, False], ids=["with JavaScript", "without JavaScript"])
def test_one_pair_from_the_referral_to_the_review_letter(
    sit_down: Sit, people: dict[str, Person], *, javascript: bool
) -> None:
    pair = walk_the_whole_thread(sit_down, people, javascript=javascript)
    the_manager_sees_it_is_not_late(sit_down, people, pair)
    assert pair.state == "handed over"
    assert pair.working_to is not None
    left, right = describe(queries.whole(pair.working_to.uuid))
    card = ReadPaper(Paper.objects.get(kind="job card").pdf)
    assert (missing(card, left), missing(card, right)) == ([], [])
    letter = ReadPaper(Paper.objects.get(kind="review letter").pdf)
    assert (missing(letter, as_a_referrer_reads(left)), missing(letter, as_a_referrer_reads(right))) == ([], [])
    assert (
        "clear on the big toe" in letter.half("left"),
        "slight mark at the heel" in letter.half("right"),
    ) == (True, True)


def test_goldings_lady_needs_a_last_of_size_four(sit_down: Sit, people: dict[str, Person]) -> None:
    """Golding, The Manufacture of Boots and Shoes, London 1902: foot of 1½ sizes, 2½ sizes allowed, size 4.

    In mm: foot 224.4, allowance 21.17 (a barleycorn is a third of an inch).
    """
    office = sit_down(people["manager"], at=DESK)
    office.goto("/figures/toe_allowance_mm/")
    office.locator("[name=value]").fill("21.17")
    office.locator("[name=source]").fill("Golding 1902, worked example")
    press(office, "^Change from that day on")
    register(sit_down(people["reception"], at=DESK))
    tablet = sit_down(people["clinician"], at=TABLET_UPRIGHT)
    open_client(tablet)
    tablet.get_by_role("link", name="Measure both feet").first.click()
    tablet.get_by_label("Load", exact=True).select_option("sitting")
    tablet.get_by_label("Heel height it is taken at, mm").fill("0")
    tablet.locator("[name=left-foot_length-1]").fill("224,4")
    press(tablet, "^Save the measures of both feet")
    size = tablet.locator(".foot.left .workings summary").filter(has_text=re.compile("^UK adult"))
    expect(size).to_have_text("UK adult 4 (read on the last, allowance 21.2 mm)")
