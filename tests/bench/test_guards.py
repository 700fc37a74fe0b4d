"""What the database refuses, whoever asks: every rule is tried by going round the actions."""

import re
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.db import connection

from cases.bench import actions
from cases.bench.models import (
    CoverCheck,
    CoverRequirement,
    Outcome,
    Pair,
    Stage,
    StageAfter,
)
from cases.bench.sentences import SENTENCES
from shared.privileges import APPLICATION_ROLE, grant_to_application_role
from tests.bench.guarded import made_check, make_difference, refused_by, tick, with_typed_reason
from tests.factories import bench as factory
from tests.factories.base import setting_up
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

GUARDS = Path(__file__).parents[2] / "cases/bench/models/guards"


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return factory.make_pair(by=maker, at=now)


# Covered without its check


def test_a_covering_stage_is_not_ticked_without_its_placed_check(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    stage = factory.stage(pair, "last-backs")
    assert refused_by(lambda: tick(stage, maker, now)) == "a_part_is_checked_before_it_is_covered"


def test_the_check_of_the_other_foot_does_not_count(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    made_check(pair, maker, now, part="stiffener", side="right")
    stage = factory.stage(pair, "last-backs", "left")
    assert refused_by(lambda: tick(stage, maker, now)) == "a_part_is_checked_before_it_is_covered"


def test_a_withdrawn_check_does_not_count(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    check = made_check(pair, maker, now, part="stiffener")
    with setting_up():
        CoverCheck.objects.filter(pk=check.pk).update(withdrawn_at=now)
    stage = factory.stage(pair, "last-backs")
    assert refused_by(lambda: tick(stage, maker, now)) == "a_part_is_checked_before_it_is_covered"


def test_a_covering_stage_does_not_even_begin_without_its_check(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    stage = factory.stage(pair, "last-backs")
    assert (
        refused_by(lambda: Stage.objects.filter(pk=stage.pk).update(begun_at=now))
        == "a_part_is_checked_before_it_is_covered"
    )


def test_a_check_that_differs_without_a_difference_raised_does_not_count(
    pair: Pair, maker: Person, now: datetime
) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    made_check(pair, maker, now, part="stiffener", outcome=Outcome.DIFFERS)
    stage = factory.stage(pair, "last-backs")
    assert refused_by(lambda: tick(stage, maker, now)) == "a_part_is_checked_before_it_is_covered"


def test_an_open_difference_of_a_part_check_holds_its_stage(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "cut-stiffeners", by=maker, at=now)
    check = made_check(pair, maker, now, part="stiffener", moment="part", outcome=Outcome.DIFFERS)
    made_check(pair, maker, now, part="toe_puff", moment="part")
    with setting_up():
        make_difference(check).save()
    stage = factory.stage(pair, "cut-stiffeners")
    assert refused_by(lambda: tick(stage, maker, now)) == "a_part_is_checked_before_it_is_covered"


def test_a_stage_that_covers_without_any_required_check_is_not_ticked(pair: Pair, maker: Person, now: datetime) -> None:
    kind = factory.stage(pair, "last-backs").kind
    with setting_up():
        bare = Stage.objects.create(
            pair=pair, kind=kind, side="left", round=2, order=1, covers=["stiffener"], asked_by=pair.working_to
        )
    assert refused_by(lambda: tick(bare, maker, now)) == "a_covering_stage_asks_for_its_checks"


@pytest.mark.parametrize("change", [{"stage": "other"}, {"part": "carbon"}, {"prescribed": []}])
def test_a_required_check_is_not_changed_nor_moved_to_another_stage(pair: Pair, change: dict[str, object]) -> None:
    asked = factory.requirement(pair, "stiffener")
    if "stage" in change:
        change = {"stage": factory.stage(pair, "sock")}
    assert refused_by(lambda: CoverRequirement.objects.filter(pk=asked.pk).update(**change)) == "a_required_check_stays"


def test_a_required_check_is_not_deleted(pair: Pair) -> None:
    asked = factory.requirement(pair, "stiffener")
    assert refused_by(lambda: CoverRequirement.objects.filter(pk=asked.pk).delete()) == "a_required_check_stays"


def test_a_ticked_stage_asks_for_nothing_new(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "alter-last", by=maker, at=now)
    stage = factory.stage(pair, "gather")
    asked = CoverRequirement(stage=stage, side="left", part="insole", moment="part")
    assert refused_by(asked.save) == "a_ticked_stage_asks_for_nothing_new"


def test_a_check_is_asked_for_on_the_foot_of_its_stage(pair: Pair) -> None:
    asked = CoverRequirement(stage=factory.stage(pair, "sock", "left"), side="right", part="insole", moment="part")
    assert refused_by(asked.save) == "a_check_is_of_its_own_foot"


def test_a_check_is_not_withdrawn_once_the_part_is_covered(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-linings", by=maker, at=now)
    check = CoverCheck.objects.get(requirement=factory.requirement(pair, "stiffener"))
    assert (
        refused_by(lambda: CoverCheck.objects.filter(pk=check.pk).update(withdrawn_at=now))
        == "a_check_comes_before_the_cover"
    )


def test_a_check_is_not_withdrawn_once_the_covering_has_begun(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    check = made_check(pair, maker, now, part="stiffener")
    with setting_up():
        Stage.objects.filter(pk=check.requirement.stage_id).update(begun_at=now)
    assert (
        refused_by(lambda: CoverCheck.objects.filter(pk=check.pk).update(withdrawn_at=now))
        == "a_check_comes_before_the_cover"
    )


@pytest.mark.parametrize("change", [{"outcome": "differs", "found": "short"}, {"withdrawn_at": None, "found": "x"}])
def test_a_check_is_not_rewritten(pair: Pair, maker: Person, now: datetime, change: dict[str, object]) -> None:
    check = made_check(pair, maker, now, part="stiffener")
    assert (
        refused_by(lambda: CoverCheck.objects.filter(pk=check.pk).update(**change))
        == "a_check_is_withdrawn_not_changed"
    )


def test_a_withdrawn_check_does_not_come_back(pair: Pair, maker: Person, now: datetime) -> None:
    check = made_check(pair, maker, now, part="stiffener")
    with setting_up():
        CoverCheck.objects.filter(pk=check.pk).update(withdrawn_at=now)
    assert (
        refused_by(lambda: CoverCheck.objects.filter(pk=check.pk).update(withdrawn_at=None))
        == "a_check_is_withdrawn_not_changed"
    )


def test_a_check_is_not_deleted(pair: Pair, maker: Person, now: datetime) -> None:
    check = made_check(pair, maker, now, part="stiffener")
    assert refused_by(lambda: CoverCheck.objects.filter(pk=check.pk).delete()) == "a_check_is_withdrawn_not_deleted"


def test_a_check_of_a_retired_stage_is_not_made(pair: Pair, maker: Person, now: datetime) -> None:
    asked = factory.requirement(pair, "stiffener")
    actions.come_again(pair, stage_kinds=["last-backs"], sides=["left"], by=maker, at=now)
    check = CoverCheck(requirement=asked, outcome=Outcome.AS_PRESCRIBED, by=maker, at=now)
    assert refused_by(check.save) == "a_retired_check_is_not_made"


# Stages and their order


def test_a_stage_is_not_put_in_ticked(pair: Pair, maker: Person, now: datetime) -> None:
    kind = factory.stage(pair, "sole").kind
    stage = Stage(
        pair=pair, kind=kind, side="left", round=2, order=1, ticked_at=now, ticked_by=maker, asked_by=pair.working_to
    )
    assert refused_by(stage.save) == "a_stage_begins_unticked"


def test_a_stage_is_not_ticked_before_what_comes_first(pair: Pair, maker: Person, now: datetime) -> None:
    assert refused_by(lambda: tick(factory.stage(pair, "alter-last"), maker, now)) == "stages_are_ticked_in_order"


def test_an_edge_is_not_deleted_to_get_past_it(pair: Pair) -> None:
    edges = StageAfter.objects.filter(stage=factory.stage(pair, "alter-last"))
    assert refused_by(edges.delete) == "an_edge_stays_drawn"


@pytest.mark.parametrize("other", ["foot", "pair"])
def test_an_edge_does_not_lead_to_another_foot_or_pair(pair: Pair, maker: Person, now: datetime, other: str) -> None:
    needs = (
        factory.stage(pair, "gather", "right")
        if other == "foot"
        else factory.stage(factory.make_pair(by=maker, at=now), "gather", "left")
    )
    edge = StageAfter(stage=factory.stage(pair, "sole", "left"), needs=needs)
    assert refused_by(edge.save) == "an_edge_stays_on_one_foot"


def test_a_stage_is_not_deleted(pair: Pair) -> None:
    stage = factory.stage(pair, "gather")
    with connection.cursor() as cursor:
        delete = lambda: cursor.execute("DELETE FROM bench_stage WHERE id = %s", [stage.pk])
        assert refused_by(delete) == "a_stage_is_retired_not_deleted"


@pytest.mark.parametrize("change", [{"covers": []}, {"held_by_differences": False}, {"side": "right"}, {"round": 7}])
def test_a_stage_stays_as_it_was_planned(pair: Pair, change: dict[str, object]) -> None:
    stage = factory.stage(pair, "filler")
    assert refused_by(lambda: Stage.objects.filter(pk=stage.pk).update(**change)) == "a_stage_stays_as_planned"


def test_a_stage_that_the_version_asks_for_is_not_dropped(pair: Pair, now: datetime) -> None:
    stage = factory.stage(pair, "last-backs")
    assert (
        refused_by(lambda: Stage.objects.filter(pk=stage.pk).update(retired_at=now))
        == "a_stage_asked_for_is_not_dropped"
    )


def test_a_stage_is_not_dropped_for_a_new_round_that_asks_for_less(pair: Pair, now: datetime) -> None:
    stage = factory.stage(pair, "last-backs")
    with setting_up():
        Stage.objects.create(
            pair=pair, kind=stage.kind, side="left", round=2, order=stage.order, asked_by=pair.working_to
        )
    assert (
        refused_by(lambda: Stage.objects.filter(pk=stage.pk).update(retired_at=now))
        == "a_stage_asked_for_is_not_dropped"
    )


@pytest.mark.parametrize("change", ["ticked", "live again"])
def test_a_retired_stage_rests(pair: Pair, maker: Person, now: datetime, change: str) -> None:
    stage = factory.stage(pair, "gather")
    actions.come_again(pair, stage_kinds=["gather"], sides=["left"], by=maker, at=now)
    rows = Stage.objects.filter(pk=stage.pk)
    changes: dict[str, dict[str, Any]] = {
        "ticked": {"ticked_at": now, "ticked_by": maker},
        "live again": {"retired_at": None},
    }
    update = changes[change]
    assert refused_by(lambda: rows.update(**update)) == "a_retired_stage_rests"


def test_a_single_shoe_gets_no_stage_of_the_other_foot(maker: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now, feet="left")
    kind = factory.stage(pair, "gather").kind
    stage = Stage(pair=pair, kind=kind, side="right", order=1, asked_by=pair.working_to)
    assert refused_by(stage.save) == "a_stage_is_of_a_foot_of_its_pair"


def test_a_tick_is_not_moved_to_another_time_or_person(pair: Pair, maker: Person, now: datetime) -> None:
    actions.tick_stages(pair, stages=factory.stages(pair, "gather"), by=maker, at=now)
    rows = Stage.objects.filter(pk=factory.stage(pair, "gather").pk)
    assert refused_by(lambda: rows.update(ticked_at=now - timedelta(hours=1))) == "a_tick_is_taken_back_not_changed"


def test_a_tick_is_not_taken_back_without_a_typed_reason(pair: Pair, maker: Person, now: datetime) -> None:
    actions.tick_stages(pair, stages=factory.stages(pair, "gather"), by=maker, at=now)
    rows = Stage.objects.filter(pk=factory.stage(pair, "gather").pk)
    assert refused_by(lambda: rows.update(ticked_at=None, ticked_by=None)) == "a_tick_is_taken_back_with_a_reason"


def test_a_tick_is_not_taken_back_under_a_later_one(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "patterns", by=maker, at=now)
    rows = Stage.objects.filter(pk=factory.stage(pair, "gather").pk)
    back = lambda: rows.update(ticked_at=None, ticked_by=None)
    assert refused_by(back, deed=with_typed_reason(maker, now)) == "later_ticks_are_taken_back_first"


def test_a_beginning_is_not_unsaid_under_a_later_tick(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    factory.check_everything(pair, "last-backs", by=maker, at=now)
    actions.begin_stages(pair, stages=factory.stages(pair, "last-backs"), by=maker, at=now)
    actions.tick_stages(pair, stages=factory.stages(pair, "last-linings"), by=maker, at=now)
    rows = Stage.objects.filter(pk=factory.stage(pair, "last-backs").pk)
    assert refused_by(lambda: rows.update(begun_at=None)) == "later_ticks_are_taken_back_first"


# All of them


def test_every_constraint_of_the_guards_is_tried_here_and_has_its_sentence() -> None:
    names = {name for file in GUARDS.glob("*.py") for name in re.findall(r'refuse\("(\w+)"', file.read_text("utf-8"))}
    tried = {
        name
        for file in Path(__file__).parent.glob("test_guards*.py")
        for name in re.findall(r'"(\w+)"', file.read_text("utf-8"))
    }
    assert (names - tried, names - set(SENTENCES)) == (set(), set())


def test_a_role_of_the_application_cannot_switch_the_cover_gate_off(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    stage = factory.stage(pair, "last-backs")

    with connection.cursor() as cursor:
        cursor.execute("SELECT 1 FROM pg_roles WHERE rolname = %s", [APPLICATION_ROLE])
        if cursor.fetchone() is None:
            cursor.execute(f"CREATE ROLE {APPLICATION_ROLE}")
    grant_to_application_role(apps.get_app_config("shared"))

    def tick_as_the_application() -> None:
        with connection.cursor() as cursor:
            cursor.execute(f"SET LOCAL ROLE {APPLICATION_ROLE}")
            cursor.execute("SET LOCAL pgtrigger.ignore = '{bench_stage:stage_moves_by_its_rules}'")
            cursor.execute(
                "UPDATE bench_stage SET ticked_at = now(), ticked_by_id = %s WHERE id = %s", [maker.pk, stage.pk]
            )

    assert refused_by(tick_as_the_application) == "a_part_is_checked_before_it_is_covered"
