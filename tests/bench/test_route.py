"""The route is checked against the stage table's own sums (from memory, unchecked) and by its properties."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.bench.route import FootNeeds, PlannedStage, RouteNeeds, UnknownPart, plan_route
from cases.bench.stage_table import FEATURES, HIDDEN_PARTS, NEW_PAIR, PLACED, TABLE

SUM_OF_THE_TABLE_MINUTES = 1_665
"""Every row of the table for a new cemented pair, carbon and all: 27 h 45 min, said there as 'about 28 h'."""

CONSTRUCTIONS = ["cemented", "hand-welted", "machine-welted", "stitchdown", "moccasin", "sandal"]
ORDINARY = frozenset({"stiffener", "toe_puff", "insole", "sole", "heel"})
EVERY_ROW = ORDINARY | {"scoured_zone", "cushion_forepart", "shank", "carbon", "cushion_heel"}
NEW_FEATURES = frozenset({"blocked insole", "wet leather", "rough fitting"})


def needs(
    *,
    work: str = "new",
    construction: str = "cemented",
    parts: frozenset[str] = ORDINARY,
    features: frozenset[str] = NEW_FEATURES,
    sides: tuple[str, ...] = ("left", "right"),
) -> RouteNeeds:
    return RouteNeeds(work, construction, tuple(FootNeeds(side, parts, features) for side in sides))


def keys(stages: tuple[PlannedStage, ...], side: str = "left") -> list[str]:
    return [stage.key for stage in stages if stage.side == side]


def before(stages: tuple[PlannedStage, ...], key: str, side: str = "left") -> set[str]:
    """Everything that comes before a stage, near or far."""
    of_foot = {stage.key: stage for stage in stages if stage.side == side}
    found: set[str] = set()
    waiting = [key]
    while waiting:
        for edge in of_foot[waiting.pop()].edges:
            if edge.needs not in found:
                found.add(edge.needs)
                waiting.append(edge.needs)
    return found


parts_of_a_foot = st.frozensets(st.sampled_from(sorted(HIDDEN_PARTS | ORDINARY | {"rocker", "flare_medial"})))
any_needs = st.builds(
    lambda work, construction, left, right, features: RouteNeeds(
        work, construction, (FootNeeds("left", left, features), FootNeeds("right", right, features))
    ),
    st.sampled_from(["new", "repeat", "adaptation"]),
    st.sampled_from(CONSTRUCTIONS),
    parts_of_a_foot,
    parts_of_a_foot,
    st.frozensets(st.sampled_from(sorted(FEATURES))),
)


@given(any_needs)
def test_no_stage_waits_for_itself_by_any_way_round(asked: RouteNeeds) -> None:
    route = plan_route(asked)
    assert [(stage.side, stage.key) for stage in route if stage.key in before(route, stage.key, stage.side)] == []


@given(any_needs)
def test_every_stage_waits_only_for_stages_of_its_own_foot_that_are_in_the_route(asked: RouteNeeds) -> None:
    route = plan_route(asked)
    there = {(stage.side, stage.key) for stage in route}
    assert [edge for stage in route for edge in stage.edges if (stage.side, edge.needs) not in there] == []


@given(any_needs)
def test_every_hidden_part_is_covered_by_exactly_one_stage_that_asks_for_its_placed_check(asked: RouteNeeds) -> None:
    route = plan_route(asked)
    covering = {
        foot.side: sorted(
            part
            for stage in route
            if stage.side == foot.side
            for part in stage.covers
            if (part, PLACED) in stage.checks
        )
        for foot in asked.feet
    }
    assert covering == {foot.side: sorted(foot.parts & HIDDEN_PARTS) for foot in asked.feet}


@given(any_needs)
def test_every_other_check_of_a_part_comes_before_it_is_covered_or_is_its_shell_check(asked: RouteNeeds) -> None:
    route = plan_route(asked)
    late = [
        (stage.side, stage.key, part)
        for stage in route
        for part, moment in stage.checks
        if moment == "part"
        for cover in route
        if cover.side == stage.side and part in cover.covers
        if stage.key not in before(route, cover.key, cover.side)
    ]
    assert late == []


@given(any_needs)
def test_mirrored_prescriptions_give_mirrored_routes(asked: RouteNeeds) -> None:
    other = {"left": "right", "right": "left"}
    mirrored = RouteNeeds(
        asked.work,
        asked.construction,
        tuple(FootNeeds(other[foot.side], foot.parts, foot.features) for foot in asked.feet),
    )
    swapped = sorted(
        ((other[stage.side], stage.order, stage.key, stage.edges, stage.covers) for stage in plan_route(asked)),
    )
    assert swapped == sorted(
        (stage.side, stage.order, stage.key, stage.edges, stage.covers) for stage in plan_route(mirrored)
    )


@given(any_needs)
def test_a_single_shoe_has_the_stages_that_it_has_as_one_of_a_pair(asked: RouteNeeds) -> None:
    alone = RouteNeeds(asked.work, asked.construction, asked.feet[:1])
    assert plan_route(alone) == tuple(stage for stage in plan_route(asked) if stage.side == "left")


@given(any_needs)
def test_the_final_check_comes_after_every_other_stage(asked: RouteNeeds) -> None:
    route = plan_route(asked)
    for side in ("left", "right"):
        *others, last = keys(route, side)
        assert before(route, last, side) == set(others)


def test_the_rows_of_a_new_cemented_pair_sum_to_what_the_table_says() -> None:
    route = plan_route(needs(parts=EVERY_ROW))
    # Half minutes are rounded up on each shoe, at most one minute a row for the pair.
    assert sum(row.minutes for row in NEW_PAIR if row.key in set(keys(route))) == SUM_OF_THE_TABLE_MINUTES
    assert 0 <= sum(stage.minutes for stage in route) - SUM_OF_THE_TABLE_MINUTES <= len(keys(route))


def test_a_new_cemented_pair_is_fitted_after_the_shell_check_and_before_the_sole() -> None:
    route = keys(plan_route(needs()))
    assert route[route.index("shell-check") :][:3] == ["shell-check", "rough-fitting", "trim-margin"]


def test_a_repeat_leaves_out_the_alteration_of_the_last_and_the_rough_fitting() -> None:
    new, repeat = plan_route(needs()), plan_route(needs(work="repeat", features=NEW_FEATURES - {"rough fitting"}))
    assert set(keys(new)) - set(keys(repeat)) == {"alter-last", "rough-fitting"}
    assert set(keys(repeat)) - set(keys(new)) == {"measure-last"}


def test_patterns_that_were_kept_take_20_minutes_for_the_pair() -> None:
    route = plan_route(needs(work="repeat"))
    assert sum(stage.minutes for stage in route if stage.key == "patterns") == 20


def test_a_stage_that_is_left_out_hands_its_waiting_on_to_what_came_before() -> None:
    route = plan_route(needs(features=NEW_FEATURES - {"rough fitting"}))
    trim = next(stage for stage in route if stage.key == "trim-margin")
    assert {edge.needs for edge in trim.edges} == {"shell-check", "last-backs"}


def test_the_forepart_linings_may_be_lasted_once_the_backs_are_begun() -> None:
    route = plan_route(needs())
    linings = next(stage for stage in route if stage.key == "last-linings")
    assert [(edge.needs, edge.started_is_enough) for edge in linings.edges] == [("last-backs", True)]


def test_the_last_stays_in_for_seven_days_after_the_forepart_was_lasted() -> None:
    slip = next(stage for stage in plan_route(needs()) if stage.key == "slip-last")
    assert {edge.needs: edge.hours_between for edge in slip.edges} == {"finish": 0, "last-foreparts": 168}


@pytest.mark.parametrize(
    ("part", "stage"),
    [
        ("stiffener", "last-backs"),
        ("toe_puff", "last-foreparts"),
        ("carbon", "filler"),
        ("metatarsal_bar", "filler"),
        ("raise_on_sole", "sole"),
        ("metatarsal_dome", "sock"),
        ("toe_filler", "sock"),
    ],
)
def test_a_part_is_covered_by_the_stage_that_the_table_names(part: str, stage: str) -> None:
    route = plan_route(needs(parts=frozenset({part})))
    assert [planned.key for planned in route if part in planned.covers and planned.side == "left"] == [stage]


def test_a_moccasin_has_no_puff_stages_and_a_plug_sewn_by_hand() -> None:
    cemented = keys(plan_route(needs(parts=ORDINARY - {"toe_puff"})))
    moccasin = keys(plan_route(needs(construction="moccasin", parts=ORDINARY - {"toe_puff"})))
    assert (set(cemented) - set(moccasin), set(moccasin) - set(cemented)) == ({"last-linings"}, {"sew-plug"})


def test_a_welted_pair_takes_45_150_and_120_minutes_more() -> None:
    def minutes(construction: str) -> int:
        return sum(stage.minutes for stage in plan_route(needs(construction=construction)))

    # Two odd halves are rounded up in each.
    assert minutes("hand-welted") - minutes("cemented") == 45 + 150 + 120 + 1


def test_a_thermoplastic_stiffener_waits_an_hour_and_not_a_day_and_a_half() -> None:
    wet = next(stage for stage in plan_route(needs()) if stage.key == "last-backs")
    plastic = needs(features=NEW_FEATURES | {"thermoplastic stiffener"})
    warm = next(stage for stage in plan_route(plastic) if stage.key == "last-backs")
    assert (wet.hours_after, warm.hours_after) == (Decimal(36), Decimal(1))


def test_an_adaptation_opens_only_where_something_is_to_be_changed() -> None:
    route = plan_route(needs(work="adaptation", parts=frozenset({"stiffener"}), features=frozenset()))
    assert keys(route) == [
        "adapt-take-in",
        "adapt-open-quarter",
        "adapt-record-found",
        "adapt-stiffener",
        "adapt-restitch",
        "adapt-finish",
        "adapt-final-check",
    ]


def test_a_repair_does_only_the_jobs_that_are_asked() -> None:
    asked = needs(work="repair", construction="", parts=frozenset({"heights"}), features=frozenset({"heel job"}))
    assert keys(plan_route(asked)) == [
        "repair-take-in",
        "repair-inspect",
        "repair-price",
        "repair-lift",
        "repair-heel",
        "repair-finish",
        "repair-final-check",
    ]


def test_a_hidden_part_that_no_stage_would_cover_is_refused() -> None:
    with pytest.raises(UnknownPart, match="carbon"):
        plan_route(needs(work="repair", construction="", parts=frozenset({"carbon"})))


def test_the_table_names_each_stage_once_and_only_stages_that_come_earlier() -> None:
    seen: list[str] = []
    for row in TABLE:
        assert [need.key for need in row.needs if need.key not in seen] == []
        seen.append(row.key)
    assert len(seen) == len(set(seen))
