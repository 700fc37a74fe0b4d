"""The nearest lasts: against a slow reference in exact arithmetic, and what must hold of any ranking.

What work counts is from memory; that too short is out of the question, and that the other side is, is common practice
without a source.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from cases.lasts.nearest import Costs, RackArrays, Wanted, Work, nearest_lasts, rank
from cases.lasts.stations import STATIONS
from shared.calculations import BadInput

KEYS = [station.key for station in STATIONS]
COSTS = Costs(
    build_up_per_mm=1,
    take_down_per_mm=4,
    depth_per_mm=3,
    long_per_mm=2,
    short_per_mm=8,
    heel_per_mm=3,
    short_at_most_mm=1,
    leave_within_mm=2,
    leave_depth_within_mm=1,
)
TARGET = {"joint": 250.0, "waist": 240.0, "instep": 255.0, "short_heel": 330.0, "toe_depth": 26.0}
WANTED = Wanted(is_left=True, length_mm=285.0, heel_height_mm=20.0, target_mm=TARGET)


@dataclass(frozen=True)
class OneLast:
    """A last of the test's rack; all in mm."""

    is_left: bool = True
    length_mm: float = 285.0
    heel_height_mm: float = 20.0
    stations: Mapping[str, float] | None = None

    def at(self, key: str) -> float | None:
        return (TARGET if self.stations is None else self.stations).get(key)


def arrays(lasts: Sequence[OneLast]) -> RackArrays:
    at_stations = [[np.nan if last.at(key) is None else last.at(key) for key in KEYS] for last in lasts]
    return RackArrays(
        is_left=np.array([last.is_left for last in lasts], dtype=bool),
        length_mm=np.array([last.length_mm for last in lasts], dtype=float),
        heel_height_mm=np.array([last.heel_height_mm for last in lasts], dtype=float),
        stations_mm=np.array(at_stations, dtype=float).reshape(len(lasts), len(KEYS)),
    )


def order(lasts: Sequence[OneLast], wanted: Wanted = WANTED, costs: Costs = COSTS) -> list[int]:
    return [int(row) for row in rank(wanted, rack=arrays(lasts), costs=costs).order]


def girths(**changes: float | None) -> dict[str, float]:
    return {key: value for key, value in {**TARGET, **changes}.items() if value is not None}


# The slow reference ----------------------------------------------------------------------------------------------


def exact(value: float) -> Fraction:
    return Fraction(str(value))


def slow_order(lasts: Sequence[OneLast], wanted: Wanted, costs: Costs) -> list[int]:
    """The same ranking, last by last and station by station, in exact fractions."""
    found = []
    for row, last in enumerate(lasts):
        longer = exact(last.length_mm) - exact(wanted.length_mm)
        if last.is_left is not wanted.is_left or -longer > exact(costs.short_at_most_mm):
            continue
        work = abs(longer) * exact(costs.long_per_mm if longer > 0 else costs.short_per_mm)
        work += abs(exact(last.heel_height_mm) - exact(wanted.heel_height_mm)) * exact(costs.heel_per_mm)
        unknown = 0
        for key, target in wanted.target_mm.items():
            measured = last.at(key)
            if measured is None:
                unknown += 1
                continue
            up = exact(target) - exact(measured)
            each = exact(costs.build_up_per_mm if up > 0 else costs.take_down_per_mm)
            work += abs(up) * each * (exact(costs.depth_per_mm) if key == "toe_depth" else 1)
        found.append((unknown, work, row))
    return [row for _, _, row in sorted(found)]


def tenths(least: int, most: int) -> st.SearchStrategy[float]:
    return st.integers(least * 10, most * 10).map(lambda tenth: tenth / 10)


def some_stations() -> st.SearchStrategy[dict[str, float]]:
    """Few values, so that lasts with equal work are common."""
    at_each: dict[str, Any] = {key: tenths(20, 24) if key == "toe_depth" else tenths(240, 250) for key in KEYS}
    return st.fixed_dictionaries({}, optional=at_each)


LASTS = st.builds(
    OneLast,
    is_left=st.booleans(),
    length_mm=tenths(280, 290),
    heel_height_mm=st.sampled_from([10.0, 20.0, 25.5]),
    stations=some_stations(),
)
WANTEDS = st.builds(
    Wanted,
    is_left=st.booleans(),
    length_mm=tenths(280, 290),
    heel_height_mm=st.sampled_from([10.0, 20.0, 25.5]),
    target_mm=some_stations(),
)
SOME_COSTS = st.builds(
    Costs, **{name: st.integers(0, 40).map(lambda tenth: tenth / 10) for name in Costs.__dataclass_fields__}
)


@settings(max_examples=300, deadline=None)
@given(st.lists(LASTS, max_size=30), WANTEDS, SOME_COSTS)
def test_the_whole_rack_is_ranked_as_a_slow_loop_in_exact_arithmetic_ranks_it(
    lasts: list[OneLast], wanted: Wanted, costs: Costs
) -> None:
    assert order(lasts, wanted, costs) == slow_order(lasts, wanted, costs)


@settings(max_examples=100, deadline=None)
@given(st.lists(LASTS, max_size=20), LASTS, WANTEDS)
def test_another_last_on_the_rack_leaves_the_order_of_the_others(
    lasts: list[OneLast], another: OneLast, wanted: Wanted
) -> None:
    among_more = [row for row in order([*lasts, another], wanted) if row < len(lasts)]
    assert among_more == order(lasts, wanted)


@settings(max_examples=100, deadline=None)
@given(st.lists(LASTS, min_size=1, max_size=20), WANTEDS)
def test_a_last_that_is_the_target_comes_before_all_that_are_not(lasts: list[OneLast], wanted: Wanted) -> None:
    same = OneLast(wanted.is_left, wanted.length_mm, wanted.heel_height_mm, wanted.target_mm)
    others = [last for last in lasts if rank(wanted, rack=arrays([last]), costs=COSTS).work[0] > 0]
    assert order([*others, same], wanted)[0] == len(others)


@settings(max_examples=100, deadline=None)
@given(st.lists(LASTS, max_size=20), WANTEDS)
def test_the_work_shown_is_the_sum_of_what_each_thing_counts(lasts: list[OneLast], wanted: Wanted) -> None:
    for ranked in nearest_lasts(wanted, rack=arrays(lasts), costs=COSTS, most=20):
        longer, heel = ranked.length_difference_mm, ranked.heel_difference_mm
        length = abs(longer) * (COSTS.long_per_mm if longer > 0 else COSTS.short_per_mm)
        whole = sum(station.counts for station in ranked.stations) + length + abs(heel) * COSTS.heel_per_mm
        assert ranked.work == pytest.approx(whole, abs=1e-6)


# What a last maker expects -----------------------------------------------------------------------------------------


def test_building_up_five_mm_comes_before_taking_down_five() -> None:
    taken_down, built_up = OneLast(stations=girths(joint=255.0)), OneLast(stations=girths(joint=245.0))
    assert order([taken_down, built_up]) == [1, 0]


def test_a_last_that_is_too_short_is_no_last_for_this_foot() -> None:
    assert order([OneLast(length_mm=283.9), OneLast(length_mm=284.0), OneLast(length_mm=300.0)]) == [1, 2]


def test_a_left_foot_gets_left_lasts_only() -> None:
    assert order([OneLast(is_left=False), OneLast()]) == [1]


def test_a_right_foot_gets_right_lasts_only() -> None:
    assert order([OneLast(is_left=False), OneLast()], replace(WANTED, is_left=False)) == [0]


def test_a_last_with_a_girth_nobody_took_comes_after_one_that_asks_for_much_work() -> None:
    unknown, far_off = OneLast(stations=girths(instep=None)), OneLast(stations=girths(instep=200.0))
    assert order([unknown, far_off]) == [1, 0]


def test_a_last_with_one_unknown_comes_before_one_with_two() -> None:
    two, one = OneLast(stations=girths(instep=None, joint=None)), OneLast(stations=girths(joint=None))
    assert order([two, one]) == [1, 0]


def test_a_station_without_a_target_is_never_asked_of_a_last() -> None:
    found = nearest_lasts(WANTED, rack=arrays([OneLast()]), costs=COSTS, most=1)
    assert [station.key for station in found[0].stations] == list(TARGET)


def test_equal_work_stays_in_the_order_of_the_rack() -> None:
    assert order([OneLast(), OneLast(length_mm=286.0), OneLast()]) == [0, 2, 1]


def test_equal_work_is_equal_whatever_the_machine_makes_of_tenths() -> None:
    in_one, in_two = girths(joint=249.7), girths(joint=249.8, waist=239.9)
    assert order([OneLast(stations=in_one), OneLast(stations=in_two)]) == [0, 1]


@pytest.mark.parametrize(("joint_mm", "to_do"), [(248.0, "joint: leave"), (247.9, "joint: build up 2 mm")])
def test_a_difference_up_to_the_bound_is_left_alone(joint_mm: float, to_do: str) -> None:
    (found,) = nearest_lasts(WANTED, rack=arrays([OneLast(stations=girths(joint=joint_mm))]), costs=COSTS, most=1)
    assert found.stations[0].to_do == to_do


def test_each_last_says_what_would_have_to_be_done() -> None:
    last = OneLast(
        length_mm=288.0,
        heel_height_mm=17.0,
        stations=girths(joint=246.0, waist=245.0, instep=254.0, short_heel=None, toe_depth=24.0),
    )
    (found,) = nearest_lasts(WANTED, rack=arrays([last]), costs=COSTS, most=5)
    assert [station.to_do for station in found.stations] == [
        "joint: build up 4 mm",
        "waist: take down 5 mm",
        "instep: leave",
        "short heel: not measured on the last",
        "toe depth: build up 2 mm",
    ]
    assert (found.length_words, found.heel_words) == (
        "length: 3 mm longer than wanted",
        "heel: 3 mm lower than wanted",
    )


def test_the_work_is_counted_in_mm_of_girth_built_up() -> None:
    last = OneLast(
        length_mm=288.0, heel_height_mm=17.0, stations=girths(joint=246.0, waist=245.0, instep=254.0, toe_depth=24.0)
    )
    (found,) = nearest_lasts(WANTED, rack=arrays([last]), costs=COSTS, most=1)
    # Joint 4 × 1, waist 5 × 4, instep 1 × 1, toe depth 2 × 3, length 3 × 2, heel 3 × 3.
    assert found.work == 4 + 20 + 1 + 6 + 6 + 9


def test_the_station_that_was_not_measured_is_named() -> None:
    (found,) = nearest_lasts(WANTED, rack=arrays([OneLast(stations=girths(instep=None))]), costs=COSTS, most=1)
    assert [(station.label, station.work) for station in found.unknown] == [("instep", Work.UNKNOWN)]


def test_no_more_are_explained_than_were_asked_for() -> None:
    rack = arrays([OneLast() for _ in range(5)])
    assert [found.place for found in nearest_lasts(WANTED, rack=rack, costs=COSTS, most=3)] == [1, 2, 3]


def test_an_empty_rack_has_no_nearest_last() -> None:
    assert nearest_lasts(WANTED, rack=arrays([]), costs=COSTS, most=3) == ()


def test_a_last_that_cannot_serve_has_no_place() -> None:
    ranking = rank(WANTED, rack=arrays([OneLast(length_mm=200.0), OneLast()]), costs=COSTS)
    assert [ranking.place_of(0), ranking.place_of(1)] == [None, 1]


@pytest.mark.parametrize(
    "change",
    [
        {"length_mm": float("nan")},
        {"length_mm": 28.5},
        {"heel_height_mm": -1.0},
        {"target_mm": {"joint": float("inf")}},
        {"target_mm": {"ball": 250.0}},
        {"target_mm": {"joint": 2500.0}},
    ],
    ids=str,
)
def test_what_no_foot_can_ask_for_is_refused(change: dict[str, Any]) -> None:
    with pytest.raises(BadInput):
        replace(WANTED, **change)


@pytest.mark.parametrize("cost", [-1.0, float("nan"), float("inf")])
def test_work_never_counts_less_than_nothing(cost: float) -> None:
    with pytest.raises(BadInput, match="take_down_per_mm"):
        replace(COSTS, take_down_per_mm=cost)
