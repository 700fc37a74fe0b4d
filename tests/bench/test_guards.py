"""What the database refuses, whoever asks: every rule is tried by going round the actions."""

import re
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import datetime, timedelta
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.db import IntegrityError, connection, transaction

from cases.bench import actions
from cases.bench.models import (
    CoverCheck,
    CoverRequirement,
    Difference,
    DifferenceState,
    Outcome,
    Pair,
    PairState,
    PairVisit,
    Promise,
    Stage,
    StageAfter,
)
from cases.bench.sentences import SENTENCES
from cases.prescriptions.models import Prescription
from shared.history import acting
from shared.models import Deed
from shared.privileges import APPLICATION_ROLE, grant_to_application_role
from shared.sides import Side
from tests.concurrency.racing import constraint_of
from tests.factories import bench as factory
from tests.factories.base import setting_up
from tests.factories.diary import make_visit
from tests.factories.patients import make_patient
from tests.factories.prescriptions import make_prescription, make_signed_prescription, signed
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

GUARDS = Path(__file__).parents[2] / "cases/bench/models/guards"


def refused_by(change: Callable[[], object], *, deed: AbstractContextManager[Deed] | None = None) -> str:
    """The name of the constraint by which the database refuses a change."""
    with pytest.raises(IntegrityError) as error, transaction.atomic(), deed or setting_up():
        change()
    return constraint_of(error.value)


def with_typed_reason(by: Person, now: datetime) -> AbstractContextManager[Deed]:
    return acting(by=by, action="try", says="Tried.", at=now, reason="typed by a person")


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return factory.make_pair(by=maker, at=now)


def tick(stage: Stage, by: Person, now: datetime) -> int:
    return Stage.objects.filter(pk=stage.pk).update(ticked_at=now, ticked_by=by)


def made_check(
    pair: Pair, by: Person, now: datetime, *, outcome: str = Outcome.AS_PRESCRIBED, **asked: str
) -> CoverCheck:
    with setting_up():
        return CoverCheck.objects.create(
            requirement=factory.requirement(pair, **asked),
            outcome=outcome,
            found="10 mm short" if outcome == Outcome.DIFFERS else "",
            by=by,
            at=now,
        )


def make_difference(check: CoverCheck, **fields: object) -> Difference:
    asked = check.requirement
    return Difference(
        **{
            "pair": asked.stage.pair,
            "side": asked.side,
            "part": asked.part,
            "stage": asked.stage,
            "check_found": check,
            "found": check.found,
            "raised_at": check.at,
            "raised_by": check.by,
            **fields,
        }
    )


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


# Versions


def a_newer_version(pair: Pair, **changes: Any) -> Prescription:
    old = pair.working_to
    assert old is not None
    draft = make_prescription(
        patient=old.patient,
        written_by=old.written_by,
        number=old.number,
        version_no=old.version_no + 1,
        supersedes=old,
        reason="another reach",
        **changes,
    )
    with setting_up():
        Prescription.objects.filter(pk=old.pk).update(status="superseded")
    return signed(draft)


def test_nothing_is_ticked_while_a_newer_version_is_signed(pair: Pair, maker: Person, now: datetime) -> None:
    a_newer_version(pair)
    assert refused_by(lambda: tick(factory.stage(pair, "gather"), maker, now)) == "bench_works_to_the_signed_version"


def test_nothing_is_ticked_to_a_withdrawn_version(pair: Pair, maker: Person, now: datetime) -> None:
    assert pair.working_to is not None
    with setting_up():
        Prescription.objects.filter(pk=pair.working_to.pk).update(status="withdrawn")
    assert refused_by(lambda: tick(factory.stage(pair, "gather"), maker, now)) == "bench_works_to_the_signed_version"


def test_a_stage_planned_from_an_older_version_is_not_ticked(pair: Pair, maker: Person, now: datetime) -> None:
    newer = a_newer_version(pair)
    with setting_up():
        Pair.objects.filter(pk=pair.pk).update(working_to=newer)
    assert (
        refused_by(lambda: tick(factory.stage(pair, "gather"), maker, now))
        == "a_stage_is_planned_from_the_pairs_version"
    )


def test_a_stage_does_not_follow_another_version_than_its_pair(pair: Pair) -> None:
    newer = a_newer_version(pair)
    rows = Stage.objects.filter(pair=pair)
    assert refused_by(lambda: rows.update(asked_by=newer)) == "a_stage_is_planned_from_the_pairs_version"


def test_a_pair_is_not_opened_from_a_draft(pair: Pair, maker: Person, now: datetime) -> None:
    draft = make_prescription()
    opened = Pair(
        number=9999,
        patient=draft.patient,
        kind="new",
        working_to=draft,
        promised_day=now,
        opened_at=now,
        opened_by=maker,
    )
    assert refused_by(opened.save) == "a_pair_works_to_a_signed_version"


def test_a_pair_does_not_move_on_to_another_prescription(pair: Pair) -> None:
    other = make_signed_prescription(patient=pair.patient)
    rows = Pair.objects.filter(pk=pair.pk)
    assert refused_by(lambda: rows.update(working_to=other)) == "a_pair_follows_its_own_prescription"


# Differences


@pytest.fixture
def open_difference(pair: Pair, maker: Person, now: datetime) -> Difference:
    """LEFT: the stiffener was found to differ when it was placed, and the maker went on."""
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    asked = factory.requirement(pair, "stiffener", side="left")
    check = actions.record_check(asked, outcome=Outcome.DIFFERS, found="10 mm short", by=maker, at=now)
    return Difference.objects.get(check_found=check)


def test_a_difference_found_when_placed_lets_the_backs_be_lasted_and_holds_the_filler(
    pair: Pair, open_difference: Difference, maker: Person, now: datetime
) -> None:
    factory.bring_to(pair, "filler", by=maker, at=now)
    factory.check_everything(pair, "filler", by=maker, at=now)
    held = {
        side: refused_by(partial(tick, factory.stage(pair, "filler", side), maker, now)) for side in ("left", "right")
    }
    assert held == dict.fromkeys(("left", "right"), "differences_are_settled_before_the_sole")


def test_a_difference_to_be_undone_holds_the_pair_until_the_check_is_withdrawn(
    pair: Pair, open_difference: Difference, maker: Person, now: datetime
) -> None:
    factory.bring_to(pair, "filler", by=maker, at=now)
    factory.check_everything(pair, "filler", by=maker, at=now)
    with setting_up():
        Difference.objects.filter(pk=open_difference.pk).update(
            state=DifferenceState.UNDONE, settled_by=maker, settled_at=now, settled_because="again"
        )
    assert (
        refused_by(lambda: tick(factory.stage(pair, "filler"), maker, now)) == "differences_are_settled_before_the_sole"
    )


def test_a_part_with_an_open_difference_from_earlier_is_not_covered(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    factory.check_everything(pair, "last-backs", by=maker, at=now)
    with setting_up():
        Difference.objects.create(
            pair=pair,
            side="left",
            part="stiffener",
            source="new version",
            stage=factory.stage(pair, "cut-stiffeners"),
            found="longer",
            raised_at=now,
            raised_by=maker,
        )
    assert (
        refused_by(lambda: tick(factory.stage(pair, "last-backs"), maker, now))
        == "a_difference_is_settled_before_it_is_covered"
    )


def settle(difference: Difference, by: Person, now: datetime, state: str = DifferenceState.ACCEPTED) -> int:
    return Difference.objects.filter(pk=difference.pk).update(
        state=state, settled_by=by, settled_at=now, settled_because="does no harm"
    )


def test_a_maker_does_not_accept_a_difference(open_difference: Difference, maker: Person, now: datetime) -> None:
    deed = with_typed_reason(maker, now)
    assert (
        refused_by(lambda: settle(open_difference, maker, now), deed=deed) == "only_a_prescriber_accepts_a_difference"
    )


def test_a_difference_is_not_accepted_without_a_typed_reason(
    open_difference: Difference, clinician: Person, now: datetime
) -> None:
    assert refused_by(lambda: settle(open_difference, clinician, now)) == "a_difference_is_accepted_with_a_reason"


def test_a_difference_is_settled_once(
    open_difference: Difference, clinician: Person, maker: Person, now: datetime
) -> None:
    with with_typed_reason(clinician, now):
        settle(open_difference, clinician, now)
    again = lambda: settle(open_difference, maker, now, DifferenceState.UNDONE)
    assert refused_by(again) == "a_difference_is_settled_once"


def test_what_was_found_is_not_rewritten_when_it_is_settled(
    open_difference: Difference, clinician: Person, now: datetime
) -> None:
    rows = Difference.objects.filter(pk=open_difference.pk)
    rewrite = lambda: rows.update(found="nothing much")
    assert refused_by(rewrite, deed=with_typed_reason(clinician, now)) == "a_difference_is_settled_once"


def test_a_difference_is_not_deleted(open_difference: Difference) -> None:
    rows = Difference.objects.filter(pk=open_difference.pk)
    assert refused_by(rows.delete) == "a_difference_is_settled_not_deleted"


def test_a_difference_is_not_raised_settled(pair: Pair, maker: Person, clinician: Person, now: datetime) -> None:
    check = made_check(pair, maker, now, part="stiffener", outcome=Outcome.DIFFERS)
    born_settled = make_difference(
        check, state=DifferenceState.ACCEPTED, settled_by=clinician, settled_at=now, settled_because="fine"
    )
    assert refused_by(born_settled.save) == "a_difference_begins_open"


@pytest.mark.parametrize("wrong", [{"side": "right"}, {"part": "toe_puff"}])
def test_a_difference_is_of_the_foot_and_part_of_its_check(
    pair: Pair, maker: Person, now: datetime, wrong: dict[str, str]
) -> None:
    check = made_check(pair, maker, now, part="stiffener", outcome=Outcome.DIFFERS)
    assert refused_by(make_difference(check, **wrong).save) == "a_difference_is_of_its_own_foot"


# The pair


def test_a_pair_is_not_deleted(pair: Pair) -> None:
    with connection.cursor() as cursor:
        delete = lambda: cursor.execute("DELETE FROM bench_pair WHERE id = %s", [pair.pk])
        assert refused_by(delete) == "a_pair_is_closed_not_deleted"


def test_a_pair_does_not_begin_finished(pair: Pair, maker: Person, now: datetime) -> None:
    opened = Pair(
        number=9999,
        patient=pair.patient,
        kind="repair",
        promised_day=now,
        opened_at=now,
        opened_by=maker,
        state=PairState.FINISHED,
    )
    assert refused_by(opened.save) == "a_pair_begins_open"


@pytest.mark.parametrize("change", ["patient", "feet", "kind", "number"])
def test_a_pair_stays_what_it_is(pair: Pair, change: str) -> None:
    to = {"patient": make_patient(), "feet": Side.LEFT, "kind": "adaptation", "number": 9999}[change]
    rows = Pair.objects.filter(pk=pair.pk)
    assert refused_by(lambda: rows.update(**{change: to})) == "a_pair_stays_what_it_is"


def test_a_pair_with_open_stages_is_not_finished(pair: Pair) -> None:
    rows = Pair.objects.filter(pk=pair.pk)
    assert refused_by(lambda: rows.update(state=PairState.FINISHED)) == "a_finished_pair_has_nothing_open"


def test_a_pair_is_not_handed_over_from_the_bench(pair: Pair) -> None:
    rows = Pair.objects.filter(pk=pair.pk)
    assert refused_by(lambda: rows.update(state=PairState.HANDED_OVER)) == "a_pair_moves_step_by_step"


def test_nothing_is_ticked_on_a_pair_that_was_given_up(pair: Pair, maker: Person, now: datetime) -> None:
    actions.give_up_pair(pair, why="the client died", by=maker, at=now)
    assert refused_by(lambda: tick(factory.stage(pair, "gather"), maker, now)) == "only_an_open_pair_is_worked_on"


def test_the_promised_day_does_not_move_without_a_promise(pair: Pair) -> None:
    rows = Pair.objects.filter(pk=pair.pk)
    later = pair.promised_day + timedelta(days=7)
    assert refused_by(lambda: rows.update(promised_day=later)) == "a_promised_day_is_on_record"


def test_a_promise_is_not_rewritten(pair: Pair) -> None:
    assert refused_by(lambda: Promise.objects.filter(pair=pair).update(reason="never")) == "promise_is_final"


def test_a_visit_of_another_client_is_not_about_this_pair(pair: Pair, now: datetime) -> None:
    visit = make_visit(starts_at=now)
    assert refused_by(PairVisit(pair=pair, visit=visit).save) == "a_visit_is_of_the_pairs_client"


# All of them


def test_every_constraint_of_the_guards_is_tried_here_and_has_its_sentence() -> None:
    names = {name for file in GUARDS.glob("*.py") for name in re.findall(r'refuse\("(\w+)"', file.read_text("utf-8"))}
    tried = set(re.findall(r'"(\w+)"', Path(__file__).read_text("utf-8")))
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
