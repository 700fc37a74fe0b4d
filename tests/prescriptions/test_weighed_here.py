"""What the workshop's own scale teaches an estimate: nothing before ten pairs, then their median, within its own range."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.prescriptions.weighed_here import LAST_PAIRS, WeighedHere, Weighing, weighed_here
from cases.prescriptions.weight import ShoeWeight
from cases.prescriptions.weight_of_shoe import weight_of_shoe
from shared.workings import Status
from tests.prescriptions.shoes import ORDINARY
from tests.prescriptions.stock import WORKSHOP

PLAIN = weight_of_shoe(ORDINARY, densities=WORKSHOP.stock.densities, figures=WORKSHOP.weight)


def estimate(weighed: WeighedHere) -> ShoeWeight:
    return weight_of_shoe(ORDINARY, densities=WORKSHOP.stock.densities, figures=WORKSHOP.weight, weighed=weighed)


def a_pair(number: int, left_g: float, right_g: float, *, estimated_g: float = 500) -> list[Weighing]:
    return [
        Weighing(f"pair {number}", "left", estimated_g, left_g),
        Weighing(f"pair {number}", "right", estimated_g, right_g),
    ]


def test_a_pair_counts_by_both_its_shoes() -> None:
    """(540 + 560) / (500 + 500) = 1.1."""
    assert weighed_here(a_pair(1, 540, 560)) == WeighedHere(1, 1.1, 1.1, 1.1)


def test_the_ratio_is_the_median_of_the_pairs() -> None:
    """0.9, 1.1 and 2.0: one odd pair does not move it."""
    found = weighed_here([*a_pair(1, 450, 450), *a_pair(2, 550, 550), *a_pair(3, 1000, 1000)])
    assert (found.pairs, found.ratio, found.lowest, found.highest) == (3, 1.1, 0.9, 2.0)


def test_of_a_shoe_that_was_weighed_again_the_latest_counts() -> None:
    again = Weighing("pair 1", "left", 500, 600)
    assert weighed_here([again, *a_pair(1, 500, 500)]).ratio == pytest.approx(1.1)


def test_only_the_last_pairs_count() -> None:
    latest = [shoe for number in range(LAST_PAIRS) for shoe in a_pair(number, 600, 600)]
    assert weighed_here([*latest, *a_pair(LAST_PAIRS, 5000, 5000)]) == WeighedHere(LAST_PAIRS, 1.2, 1.2, 1.2)


def test_nine_pairs_correct_nothing_and_are_told() -> None:
    found = estimate(WeighedHere(9, 1.2, 1.1, 1.3))
    assert (found.middle_g, found.low_g, found.high_g, dict(found.workings.inputs)["Weighed here"]) == (
        PLAIN.middle_g,
        PLAIN.low_g,
        PLAIN.high_g,
        "9 pairs; from 10 on they correct it",
    )


def test_ten_pairs_correct_the_estimate_and_narrow_its_range() -> None:
    """463.1 g by its parts × 1.2 = 555.7 g, ± 8 %: 511 to 600."""
    found = estimate(WeighedHere(10, 1.2, 1.1, 1.3))
    assert (found.middle_g, found.low_g, found.high_g) == pytest.approx((555.7, 511.3, 600.2), abs=0.5)


def test_a_corrected_estimate_says_what_it_was_corrected_by() -> None:
    sheet = estimate(WeighedHere(12, 1.2, 1.1, 1.3)).workings
    said = dict(sheet.inputs)
    assert (sheet.result, sheet.status, said["Weighed here"], said["By its parts alone"]) == (
        "about 560 g, 510-600",
        Status.WEIGHED_HERE,
        "12 pairs, × 1.20 (1.10-1.30)",
        "463 g",
    )


def test_without_a_pair_on_the_scale_nothing_is_said_of_it() -> None:
    assert "Weighed here" not in dict(PLAIN.workings.inputs)


def test_what_the_parts_add_up_to_stays_what_the_scale_is_held_against() -> None:
    assert estimate(WeighedHere(10, 1.2, 1.1, 1.3)).by_parts_g == pytest.approx(PLAIN.middle_g)


@given(st.lists(st.tuples(st.integers(200, 1200), st.integers(100, 2400)), min_size=1, max_size=12))
def test_pairs_weighed_as_the_corrected_estimate_says_teach_nothing_more(pairs: list[tuple[int, int]]) -> None:
    """Held against estimates that were corrected already, the median is one."""
    weighings = [
        shoe
        for number, (estimated, weighed) in enumerate(pairs)
        for shoe in a_pair(number, weighed, weighed, estimated_g=estimated)
    ]
    found = weighed_here(weighings)
    corrected = [Weighing(each.pair, each.side, each.estimated_g * found.ratio, each.weighed_g) for each in weighings]
    assert weighed_here(corrected).ratio == pytest.approx(1)
