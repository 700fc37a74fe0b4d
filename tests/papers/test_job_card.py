"""The job card, read back: every prescribed value, LEFT under left and RIGHT under right, kept as it was printed."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import pytest
from django.conf import settings
from django.db import transaction
from django.urls import reverse
from django.utils import timezone

from cases.bench.actions import open_repair, settle_difference, tick_stages
from cases.bench.models import Difference, Pair
from cases.bench.queries import FITTING
from cases.overview.job_card import print_job_card
from cases.patients.models import Paper
from cases.prescriptions.described import FootInWords, describe
from cases.prescriptions.queries import whole
from shared.history import acting
from shared.sides import Side
from tests.factories.bench import bring_to, differ, load_starting_values, requirement, stages
from tests.factories.patients import make_allergy, make_patient
from tests.factories.staff import make_person
from tests.papers.pairs import LEFT_FULL, full_pair, open_for
from tests.papers.reading import ReadPaper, missing, modules_printed, sizes_of

pytestmark = pytest.mark.django_db


@dataclass(frozen=True)
class Printed:
    """A card that was printed once for many tests, and what it was printed from."""

    card: ReadPaper
    feet: Sequence[FootInWords]
    number: int
    record_number: str
    promised_day: date
    address: str
    stage_names: frozenset[str]


@pytest.fixture(scope="module")
def printed(django_db_setup, django_db_blocker) -> Printed:
    """Every part on the LEFT, an ordinary boot on the RIGHT. Nothing of it stays in the database."""
    with django_db_blocker.unblock(), transaction.atomic():
        at = timezone.localtime().replace(hour=10, minute=0)
        prescriber = make_person(name="Clara Clinician", roles=["clinician"], may_prescribe=True)
        pair = full_pair(
            by=prescriber,
            at=at,
            given_names="Wilhelmina Alexandrina",
            family_name="Featherstone Cholmondeley",
            hand_function="strap",
            hand_note="left hand only; the neighbour closes the right shoe",
        )
        made = Printed(
            card=ReadPaper(print_job_card(pair.uuid, by=prescriber, at=at).pdf),
            feet=feet_of(pair),
            number=pair.number,
            record_number=pair.patient.record_number,
            promised_day=pair.promised_day,
            address=settings.PUBLIC_ADDRESS + reverse("pair", args=[pair.uuid]),
            stage_names=frozenset(stage.kind.name for stage in pair.stages.select_related("kind")),
        )
        transaction.set_rollback(True)
    return made


@pytest.fixture
def card(printed: Printed) -> ReadPaper:
    return printed.card


@pytest.fixture
def pair(clinician, now) -> Pair:
    """An ordinary pair."""
    return open_for(make_patient(), by=clinician, at=now)


def feet_of(pair: Pair) -> Sequence[FootInWords]:
    assert pair.working_to
    return describe(whole(pair.working_to.uuid))


@pytest.mark.parametrize("place", [0, 1], ids=["LEFT", "RIGHT"])
def test_every_prescribed_value_stands_in_its_own_half(printed, place) -> None:
    assert missing(printed.card, printed.feet[place]) == []


def test_what_is_prescribed_for_the_left_alone_does_not_stand_at_the_right(card) -> None:
    of_the_left = ("long, 183 mm", "centre 61 + 8 mm above the insole", "under the cuboid", "4.4 mm", "5.5 mm", "0/90")
    assert [value for value in of_the_left if value in card.right] == []


def test_what_is_prescribed_for_the_right_alone_does_not_stand_at_the_left(card) -> None:
    assert [value for value in ("medium, 132 mm", "medium, 114 mm", "6.5 mm above") if value in card.left] == []


def test_the_fullest_prescription_takes_two_pages_and_one_of_its_drawing(card) -> None:
    assert len(card.reader.pages) == 3


def test_closed_in_values_are_set_in_14_points_even_where_the_card_is_set_closest(printed) -> None:
    card = printed.card
    values = [value for foot in printed.feet for part in foot.closed_in for _, value in part.lines]
    smallest = {value: max(sizes_of(card, value)) for value in values}
    assert {value: size for value, size in smallest.items() if size < 14} == {}


def test_the_card_says_whose_it_is_and_what_was_promised(printed) -> None:
    said = [
        f"Pair {printed.number}",
        f"record {printed.record_number}",
        f"{printed.promised_day:%a} {printed.promised_day.day} {printed.promised_day:%b}",
        "version 1",
        "Clara Clinician",
        "Featherstone Cholmondeley",
    ]
    assert [words for words in said if words not in printed.card.text] == []


def test_the_card_says_what_must_not_touch_the_skin_and_how_the_hands_work(card) -> None:
    said = ["ALLERGY: chrome-tanned leather", "left hand only; the neighbour closes the right shoe"]
    assert [words for words in said if words not in card.text] == []


def test_without_an_allergy_the_card_says_so(pair, maker, now) -> None:
    assert "No allergy recorded" in ReadPaper(print_job_card(pair.uuid, by=maker, at=now).pdf).text


def test_each_last_is_named_with_its_place_in_its_own_half(card) -> None:
    assert ("rack B, shelf 3" in card.left, "rack B, shelf 4" in card.right) == (True, True)


@pytest.mark.parametrize(("side", "girth"), [("left", "joint girth 238 mm"), ("right", "joint girth 229 mm")])
def test_the_measures_stand_in_their_own_half(card, side, girth) -> None:
    assert girth in card.half(side)


def test_every_stage_of_the_route_stands_there_with_its_hours(printed) -> None:
    assert {name for name in printed.stage_names if name not in printed.card.text} == set()
    assert "Paste the stiffeners in, last the backs · Lasting drying 36 h" in printed.card.text


def test_a_part_that_is_covered_names_its_check(card) -> None:
    assert "placed check: stiffener" in card.text


def test_the_code_leads_to_the_pair(printed) -> None:
    expected, on_paper = modules_printed(printed.card.pdf, address=printed.address)
    assert on_paper == expected


def test_the_card_names_the_cautions(card) -> None:
    assert "extraction on, gloves, mask, and the local rules" in card.text


def test_a_steel_cap_is_not_called_protection(clinician, maker, now) -> None:
    pair = open_for(make_patient(), by=clinician, at=now, both={"toe_puff": {"kind": "steel"}})
    card = ReadPaper(print_job_card(pair.uuid, by=maker, at=now).pdf)
    assert "does not make a certified safety shoe" in card.text


@pytest.mark.parametrize(("is_demonstration", "says"), [(True, 1), (False, 0)])
def test_only_an_invented_workshop_says_that_it_is(clinician, now, settings, is_demonstration, says) -> None:
    settings.IS_DEMONSTRATION = is_demonstration
    pair = open_for(make_patient(), by=clinician, at=now)
    assert ReadPaper(print_job_card(pair.uuid, by=clinician, at=now).pdf).text.count("Invented workshop") == says


# Other kinds of work ------------------------------------------------------------------------------------------------


def test_a_single_shoe_has_nothing_prescribed_in_the_other_half(clinician, maker, now) -> None:
    pair = open_for(make_patient(), by=clinician, at=now, feet="right", right={"heel": {"height_mm": 37}})
    card = ReadPaper(print_job_card(pair.uuid, by=maker, at=now).pdf)
    assert (missing(card, feet_of(pair)[0]), "37 mm" in card.left, "LEFT shoe: no work" in card.left) == (
        [],
        False,
        True,
    )


def test_a_small_adaptation_takes_one_page(clinician, maker, now) -> None:
    nothing = {"toe_puff": None, "sole": None, "heel": None, "insole": None}
    left = {"height_raise": {"in_shoe_heel_mm": 6}, "stiffener": None, "upper": None}
    right = {"reliefs": LEFT_FULL["reliefs"][1:], "stiffener": None, "upper": None}
    pair = open_for(
        make_patient(),
        by=clinician,
        at=now,
        work="adaptation",
        both=nothing,
        left=left,
        right=right,
        own_shoe="brown walking shoe, EU 42",
    )
    card = ReadPaper(print_job_card(pair.uuid, by=maker, at=now).pdf)
    assert (len(card.reader.pages), "brown walking shoe, EU 42" in card.text) == (1, True)
    assert [missing(card, foot) for foot in feet_of(pair)] == [[], []]


def test_a_repair_says_what_is_to_be_done(clinician, maker, now) -> None:
    load_starting_values()
    repair = open_repair(
        make_patient(),
        description="New heels, 20 mm raise restored",
        feet="both",
        promised_day=now.date(),
        by=clinician,
        at=now,
    )
    card = ReadPaper(print_job_card(repair.uuid, by=maker, at=now).pdf)
    assert ("New heels, 20 mm raise restored" in card.text, len(card.reader.pages)) == (True, 1)


def test_the_heights_that_a_repair_gives_back_stand_under_their_shoe(clinician, maker, now) -> None:
    load_starting_values()
    repair = open_repair(
        make_patient(),
        description="resole",
        feet="right",
        promised_day=now.date(),
        jobs=["full sole job"],
        heights_to_restore={Side.RIGHT: "raise: heel 20 mm, joint 12 mm, toe 6 mm"},
        by=clinician,
        at=now,
    )
    card = ReadPaper(print_job_card(repair.uuid, by=maker, at=now).pdf)
    heights = "heel 20 mm, joint 12 mm, toe 6 mm"
    assert (heights in card.right, heights in card.left, "no last named" in card.text) == (True, False, False)


def test_the_card_says_what_the_last_fitting_asked_for(pair, clinician, maker, now) -> None:
    asked = "Rough fitting: alter. LEFT heel: slips; to do: take in 3 mm."
    with acting(by=clinician, action=FITTING, says=asked, at=now, pair=pair.uuid):
        pass
    assert asked in ReadPaper(print_job_card(pair.uuid, by=maker, at=now).pdf).text


def test_an_accepted_difference_is_on_the_card_with_its_reason(pair, clinician, maker, now) -> None:
    bring_to(pair, "cut-stiffeners", by=maker, at=now)
    asked = requirement(pair, "stiffener", "part")
    differ(asked, "medial reach 121 mm", by=maker, at=now)
    settle_difference(Difference.objects.get(), state="accepted", because="the ankle is lax", by=clinician, at=now)
    text = ReadPaper(print_job_card(pair.uuid, by=maker, at=now).pdf).text
    assert ("Difference LEFT, stiffener: medial reach 121 mm" in text, "the ankle is lax" in text) == (True, True)


# As a reader's program sees it ---------------------------------------------------------------------------------------


def test_the_card_is_tagged_for_readers_of_all_kinds(printed) -> None:
    card = printed.card
    root = card.reader.trailer["/Root"]
    assert (root["/Lang"], root["/MarkInfo"]["/Marked"].value, card.reader.metadata.title) == (
        "en",
        True,
        f"Job card, pair {printed.number}",
    )


def figures_in(node) -> list:
    """The alternative texts of all figures below a node of the structure tree."""
    node = node.get_object() if hasattr(node, "get_object") else node
    if isinstance(node, list):
        return [text for child in node for text in figures_in(child)]
    if not isinstance(node, dict):
        return []
    own = [node.get("/Alt")] if node.get("/S") == "/Figure" else []
    return own + (figures_in(node["/K"]) if "/K" in node else [])


def test_every_figure_has_words(printed) -> None:
    found = figures_in(printed.card.reader.trailer["/Root"]["/StructTreeRoot"])
    code = f"QR code that opens pair {printed.number} on a terminal"
    assert set(found) == {"LEFT foot", "RIGHT foot", "LEFT shoe cut open", "RIGHT shoe cut open", code}


# Kept as it was given ------------------------------------------------------------------------------------------------


def test_a_card_is_kept_with_its_hash(pair, maker, now) -> None:
    paper = print_job_card(pair.uuid, by=maker, at=now)
    assert paper.sha256 == hashlib.sha256(paper.pdf).hexdigest()


def test_an_unchanged_pair_gives_the_card_that_was_kept(pair, maker, clinician, now, tomorrow) -> None:
    first = print_job_card(pair.uuid, by=maker, at=now)
    assert (print_job_card(pair.uuid, by=clinician, at=tomorrow), Paper.objects.count()) == (first, 1)


def test_a_new_allergy_makes_a_new_card_that_replaces_the_old(pair, maker, now, tomorrow) -> None:
    first = print_job_card(pair.uuid, by=maker, at=now)
    make_allergy(pair.patient, substance="rubber")
    second = print_job_card(pair.uuid, by=maker, at=tomorrow)
    assert (second.replaces, "rubber" in ReadPaper(second.pdf).text) == (first, True)


def test_a_tick_makes_a_new_card_on_which_it_stands(pair, maker, now) -> None:
    first = print_job_card(pair.uuid, by=maker, at=now)
    tick_stages(pair, stages=stages(pair, "gather"), by=maker, at=now)
    second = print_job_card(pair.uuid, by=maker, at=now)
    assert (second.replaces, ReadPaper(second.pdf).text.count("✓")) == (first, 2)
