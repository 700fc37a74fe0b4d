"""The pages of patterns: what they show and what they give out."""

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from cases.bench.models import Difference, Pair
from cases.patients.models import Paper
from cases.patterns import actions
from cases.patterns.actions import Adjusted
from cases.patterns.models import OwnTemplate, PatternAdjustment
from shared.sides import Side
from tests.conftest import Browserless
from tests.factories.bench import bring_to, make_pair
from tests.factories.patients import make_patient
from tests.factories.patterns import make_adjustment, make_own_template, make_pair_on_lasts, reach
from tests.papers.reading import ReadPaper
from tests.patterns.asking import adjust, page_of, printed
from tests.patterns.test_guards import made, point
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

SignedIn = Callable[[Person], Browserless]
SHORT = {
    "stiffener": {"medial_reach": "short", "medial_reach_mm": 78, "lateral_reach": "short", "lateral_reach_mm": 78}
}

PUFF_LONGER = Adjusted(side=Side.RIGHT, piece="toe_puff", what="puff-length", to_mm=Decimal(64))


def test_each_foot_has_its_pieces_side_by_side(bench: Browserless, pair: Pair) -> None:
    parts = {part.key: part for part in bench.get(page_of(pair)).context["parts"]}
    stiffener = parts["stiffener"]
    assert [(side, len(pieces)) for side, pieces, _ in stiffener.feet] == [(Side.LEFT, 1), (Side.RIGHT, 1)]


def test_what_serves_either_foot_is_drawn_once(bench: Browserless, clinician: Person, now: datetime) -> None:
    pair = make_pair_on_lasts(by=clinician, at=now, both=SHORT)
    stiffener = next(part for part in bench.get(page_of(pair)).context["parts"] if part.key == "stiffener")
    assert (len(stiffener.either), stiffener.left, stiffener.right) == (1, (), ())


def test_adjusted_on_one_foot_it_serves_either_no_more(
    bench: Browserless, clinician: Person, maker: Person, now: datetime
) -> None:
    pair = make_pair_on_lasts(by=clinician, at=now, both=SHORT)
    make_adjustment(pair, reach(80), by=maker, at=now)
    stiffener = next(part for part in bench.get(page_of(pair)).context["parts"] if part.key == "stiffener")
    assert (stiffener.either, len(stiffener.left), len(stiffener.right)) == ((), 1, 1)


def test_the_page_names_no_client(signed_in: SignedIn, maker: Person, clinician: Person, now: datetime) -> None:
    patient = make_patient(family_name="Invented")
    pair = make_pair_on_lasts(by=clinician, at=now, patient=patient)
    text = signed_in(maker).get(page_of(pair)).content.decode()
    assert (patient.record_number in text, "Invented" in text) == (True, False)


# Adjusting


def test_a_maker_adjusts_a_reach_and_comes_back_to_the_piece(bench: Browserless, pair: Pair) -> None:
    answer = adjust(bench, pair)
    assert (answer.status_code, answer.headers["Location"]) == (
        303,
        reverse("pattern-piece", args=[pair.uuid, "left", "stiffener"]),
    )


def test_what_a_maker_types_becomes_the_adjustment(bench: Browserless, pair: Pair) -> None:
    adjust(bench, pair)
    assert str(PatternAdjustment.objects.get()) == "LEFT medial reach: 130 → 140 mm"


@pytest.mark.parametrize(
    ("across_to", "along_to", "words"),
    [
        ("medial", "towards", "2 mm medial, 3 mm towards the toe"),
        ("lateral", "away", "2 mm lateral, 3 mm towards the heel"),
    ],
)
def test_a_point_is_shifted_the_way_that_is_said(
    bench: Browserless, pair: Pair, across_to: str, along_to: str, words: str
) -> None:
    entered = {"across_mm": "2", "across_to": across_to, "along_mm": "3", "along_to": along_to}
    bench.post(
        reverse("pattern-adjust", args=[pair.uuid, "right", "insole"]),
        {"what": "toe_tip", "reason": "long first toe", "follows": "", **entered},
    )
    assert PatternAdjustment.objects.get().change_words == words


def test_without_a_reason_the_form_comes_back_with_what_was_typed(bench: Browserless, pair: Pair) -> None:
    answer = adjust(bench, pair, reason="")
    assert (answer.status_code, 'value="140"' in answer.content.decode()) == (422, True)


def test_what_a_rule_refuses_is_said_beside_what_was_typed(bench: Browserless, pair: Pair) -> None:
    answer = adjust(bench, pair, to_mm="390")
    assert (answer.status_code, "With this figure the piece cannot be cut" in answer.content.decode()) == (422, True)


def test_of_what_a_piece_does_not_have_nothing_is_adjusted(bench: Browserless, pair: Pair) -> None:
    assert adjust(bench, pair, what="no-such-figure").status_code == 409


def test_a_clinician_reads_the_difference_among_those_that_wait(
    bench: Browserless, signed_in: SignedIn, clinician: Person, pair: Pair
) -> None:
    adjust(bench, pair)
    assert (
        "medial reach 140 mm, 130 mm is prescribed" in signed_in(clinician).get(reverse("differences")).content.decode()
    )


def test_nothing_is_called_built_or_made_before_it_is_cut(
    bench: Browserless, signed_in: SignedIn, clinician: Person, pair: Pair
) -> None:
    adjust(bench, pair)
    page = signed_in(clinician).get(reverse("differences")).content.decode()
    words = ("Have it cut as prescribed", "Accept as adjusted", "Accept as built", "made again as prescribed")
    assert [each in page for each in words] == [True, True, False, False]


def test_a_clinician_looks_and_is_offered_no_form(signed_in: SignedIn, clinician: Person, pair: Pair) -> None:
    address = reverse("pattern-piece", args=[pair.uuid, "left", "stiffener"]) + "?what=medial-reach"
    assert signed_in(clinician).get(address).context["form"] is None


@pytest.mark.parametrize(("side", "key"), [("both", "stiffener"), ("left", "anklet")])
def test_a_foot_or_a_piece_that_is_not_there_is_not_found(bench: Browserless, pair: Pair, side: str, key: str) -> None:
    assert bench.get(reverse("pattern-piece", args=[pair.uuid, side, key])).status_code == 404


def test_an_adjustment_is_taken_back_with_one_touch(
    bench: Browserless, maker: Person, pair: Pair, now: datetime
) -> None:
    made = make_adjustment(pair, by=maker, at=now)
    bench.post(reverse("adjustment-take-back", args=[made.uuid]))
    made.refresh_from_db()
    assert made.taken_back_by == maker


def test_the_list_of_adjustments_says_how_each_stands(
    bench: Browserless, maker: Person, pair: Pair, now: datetime
) -> None:
    first = make_adjustment(pair, reach(132), by=maker, at=now)
    make_adjustment(pair, reach(140, after=first), by=maker, at=now)
    assert [each.state for each in bench.get(page_of(pair)).context["adjustments"]] == [
        "holds, a difference that waits for a clinician",
        "adjusted anew since",
    ]


def test_an_adjustment_that_was_taken_back_says_by_whom(
    bench: Browserless, maker: Person, pair: Pair, now: datetime
) -> None:
    actions.take_back_adjustment(make_adjustment(pair, by=maker, at=now), by=maker, at=now)
    assert [each.state for each in bench.get(page_of(pair)).context["adjustments"]] == ["taken back by Max Maker"]


@pytest.mark.parametrize(
    ("wrong", "state"),
    [
        ({"from_mm": Decimal(120), "to_mm": Decimal(125)}, "holds no more: prescribed otherwise since"),
        (point(what="no_such_point"), "holds no more: the piece has no such point now"),
    ],
)
def test_an_adjustment_that_the_drafting_cannot_take_says_why(
    *, bench: Browserless, maker: Person, pair: Pair, now: datetime, wrong: dict[str, Any], state: str
) -> None:
    made(pair, maker, now, **wrong)
    assert [each.state for each in bench.get(page_of(pair)).context["adjustments"]] == [state]


def test_an_own_template_without_a_foot_is_refused(bench: Browserless, pair: Pair) -> None:
    answer = bench.post(reverse("own-template-use", args=[pair.uuid]), {"piece": "toe_puff", "template": "no. 3"})
    assert (answer.status_code, OwnTemplate.objects.exists()) == (409, False)


@pytest.mark.parametrize("name", ["adjustment-take-back", "own-template-end"])
def test_what_was_never_made_is_not_found(bench: Browserless, name: str) -> None:
    assert bench.post(reverse(name, args=["00000000-0000-0000-0000-000000000000"])).status_code == 404


def test_an_own_template_is_used_and_ended_with_one_touch(bench: Browserless, pair: Pair) -> None:
    entered = {"piece": "toe_puff", "side": "right", "template": "my no. 3"}
    bench.post(reverse("own-template-use", args=[pair.uuid]), entered)
    used = OwnTemplate.objects.get()
    bench.post(reverse("own-template-end", args=[used.uuid]))
    used.refresh_from_db()
    assert (used.side, used.part, used.ended_at is not None) == ("right", "toe_puff", True)


def test_where_an_own_template_is_used_the_page_says_which(
    bench: Browserless, maker: Person, pair: Pair, now: datetime
) -> None:
    make_own_template(pair, template="my no. 3", by=maker, at=now)
    puff = next(part for part in bench.get(page_of(pair)).context["parts"] if part.key == "toe_puff")
    assert [(len(pieces), template.template) for _, pieces, template in puff.feet] == [(0, "my no. 3")] * 2


# Printing


def test_what_did_not_change_is_printed_again_as_the_same_paper(bench: Browserless, puff: Pair) -> None:
    assert printed(bench, puff).headers["Location"] == printed(bench, puff).headers["Location"]


def test_after_an_adjustment_another_paper_takes_its_place(
    bench: Browserless, maker: Person, puff: Pair, now: datetime
) -> None:
    printed(bench, puff)
    make_adjustment(puff, PUFF_LONGER, by=maker, at=now)
    printed(bench, puff)
    first, second = Paper.objects.order_by("pk")
    assert second.replaces == first


def test_a4_and_a3_are_papers_of_their_own(bench: Browserless, puff: Pair) -> None:
    printed(bench, puff, "a4")
    printed(bench, puff, "a3")
    assert list(Paper.objects.order_by("pk").values_list("kind", "replaces")) == [
        ("patterns A4", None),
        ("patterns A3", None),
    ]


def test_the_sheets_bear_pair_record_and_version_and_no_name(bench: Browserless, puff: Pair) -> None:
    printed(bench, puff)
    text = ReadPaper(Paper.objects.get().pdf).text
    bears = [f"pair {puff.number}", puff.patient.record_number, "version 1", "Invented"]
    assert [words in text for words in bears] == [True, True, True, False]


def test_a_maker_opens_what_he_printed(bench: Browserless, puff: Pair) -> None:
    assert bench.get(printed(bench, puff).headers["Location"]).headers["Content-Type"] == "application/pdf"


@pytest.mark.parametrize("kind", ["svg", "dxf"])
def test_a_file_is_saved_and_never_opened_as_a_page(bench: Browserless, pair: Pair, kind: str) -> None:
    answer = bench.get(reverse(f"patterns-{kind}", args=[pair.uuid, "left"]))
    assert answer.headers["Content-Disposition"] == f'attachment; filename="pair-{pair.number}-left.{kind}"'


def test_a_file_of_a_group_without_pieces_is_refused(bench: Browserless, pair: Pair) -> None:
    assert bench.get(reverse("patterns-svg", args=[pair.uuid, "either"])).status_code == 409


def test_a_file_of_no_group_is_not_found(bench: Browserless, pair: Pair) -> None:
    assert bench.get(reverse("patterns-svg", args=[pair.uuid, "both"])).status_code == 404


def test_without_a_paper_size_nothing_is_printed(bench: Browserless, pair: Pair) -> None:
    assert printed(bench, pair, "a5").status_code == 409


# Cutting list


def test_the_list_of_a_bench_holds_the_pairs_whose_next_stages_lie_there(
    bench: Browserless, maker: Person, clinician: Person, now: datetime
) -> None:
    at_the_bottom, elsewhere = (make_pair_on_lasts(by=clinician, at=now) for _ in range(2))
    bring_to(at_the_bottom, "cut-stiffeners", by=maker, at=now)
    bring_to(elsewhere, "alter-last", by=maker, at=now)
    listed = bench.get(reverse("cutting-of-bench"), {"bench": "bottom"}).context["to_cut"]
    assert listed.pairs == (at_the_bottom,)


def test_a_pair_that_may_not_be_cut_is_named_with_the_reason(bench: Browserless, maker: Person, now: datetime) -> None:
    pair = make_pair(by=maker, at=now, feet="left")
    listed = bench.get(reverse("cutting-of-bench")).context["to_cut"]
    assert [(each.pair, each.reasons) for each in listed.not_cut] == [
        (pair, ("LEFT: the prescription names no last: ask the clinician for a version that names one.",))
    ]


@pytest.mark.parametrize("name", ["cutting-of-pair-pdf", "cutting-of-bench-pdf"])
def test_a_printed_list_names_the_pair_and_no_client(bench: Browserless, puff: Pair, name: str) -> None:
    answer = bench.get(reverse(name, args=[puff.uuid] if "pair" in name else []))
    text = ReadPaper(answer.content).text
    assert [words in text for words in (f"pair {puff.number}", "toe puff", "Invented")] == [True, True, False]


def test_a_difference_that_waits_holds_no_print(bench: Browserless, maker: Person, puff: Pair, now: datetime) -> None:
    make_adjustment(puff, PUFF_LONGER, by=maker, at=now)
    assert (Difference.objects.count(), printed(bench, puff).status_code) == (1, 303)
