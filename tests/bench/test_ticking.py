from datetime import datetime, timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from cases.bench import actions
from cases.bench.models import Pair, PairState, Stage
from cases.diary.models import Call
from shared.history import acting
from shared.models import Deed
from shared.refusals import Refused
from tests.factories import bench as factory
from workshop.figures.models import Figure
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return factory.make_pair(by=maker, at=now)


def ticked(pair: Pair, key: str) -> dict[str, bool]:
    return {stage.side: stage.ticked_at is not None for stage in factory.stages(pair, key)}


def last_deed(pair: Pair, action: str) -> Deed:
    return Deed.objects.filter(pair_uuid=pair.uuid, action=action).latest("pk")


def test_both_feet_are_ticked_in_one_touch_and_said_in_one_sentence(pair: Pair, maker: Person, now: datetime) -> None:
    actions.tick_stages(pair, stages=factory.stages(pair, "gather"), by=maker, at=now)
    assert ticked(pair, "gather") == {"left": True, "right": True}
    assert last_deed(pair, "tick_stages").says == "Ticked 'Gather last, cast, card and materials', LEFT and RIGHT."


def test_one_foot_alone_is_ticked_where_one_shoe_is_remade(pair: Pair, maker: Person, now: datetime) -> None:
    actions.tick_stages(pair, stages=factory.stages(pair, "gather", "right"), by=maker, at=now)
    assert ticked(pair, "gather") == {"left": False, "right": True}


def test_both_feet_or_none_where_one_was_ticked_before(pair: Pair, maker: Person, now: datetime) -> None:
    actions.tick_stages(pair, stages=factory.stages(pair, "gather", "left"), by=maker, at=now)
    with pytest.raises(actions.AlreadyTicked):
        actions.tick_stages(pair, stages=factory.stages(pair, "gather"), by=maker, at=now)
    assert ticked(pair, "gather") == {"left": True, "right": False}


def test_whoever_comes_second_is_told_who_and_when(pair: Pair, maker: Person, manager: Person, now: datetime) -> None:
    stages = factory.stages(pair, "gather")
    actions.tick_stages(pair, stages=stages, by=maker, at=now)
    with pytest.raises(actions.AlreadyTicked) as told:
        actions.tick_stages(pair, stages=stages, by=manager, at=now + timedelta(minutes=1))
    assert told.value.message == (
        "'Gather last, cast, card and materials', LEFT and RIGHT, was already ticked by Max Maker, "
        f"{now:%a} {now.day} {now:%b} at 10:00."
    )


def test_what_comes_first_is_named_in_the_refusal(pair: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused) as refused:
        actions.tick_stages(pair, stages=factory.stages(pair, "alter-last"), by=maker, at=now)
    assert refused.value.message == "First comes 'Gather last, cast, card and materials', LEFT and RIGHT."


def test_missing_checks_are_named_by_part_and_foot(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    with pytest.raises(Refused) as refused:
        actions.tick_stages(pair, stages=factory.stages(pair, "last-backs"), by=maker, at=now)
    assert refused.value.message == (
        "Not yet checked: placed check of stiffener, LEFT; placed check of stiffener, RIGHT."
    )


def test_a_tick_starts_the_drying_by_the_hours_of_its_stage(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-linings", by=maker, at=now)
    assert factory.stage(pair, "last-backs").dry_at == now + timedelta(hours=36)


def test_damp_weather_makes_drying_half_as_long_again(pair: Pair, maker: Person, now: datetime) -> None:
    with acting(by=maker, action="set_figure", says="Damp weather.", at=now):
        Figure.objects.create(
            name="drying_season_factor",
            value=Decimal("1.5"),
            unit="factor",
            valid_from=timezone.localdate(now),
            standing="set here",
        )
    factory.bring_to(pair, "last-linings", by=maker, at=now)
    assert factory.stage(pair, "last-backs").dry_at == now + timedelta(hours=54)


def test_what_follows_a_drying_stage_is_refused_with_the_time_it_is_dry(maker: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now)
    factory.bring_to(pair, "last-foreparts", by=maker, at=now)
    factory.check_everything(pair, "last-foreparts", by=maker, at=now)
    actions.tick_stages(pair, stages=factory.stages(pair, "last-foreparts"), by=maker, at=now, felt_dry=True)
    factory.check_everything(pair, "shell-check", by=maker, at=now)
    with pytest.raises(actions.StillDrying) as refused:
        actions.tick_stages(pair, stages=factory.stages(pair, "shell-check"), by=maker, at=now)
    dry = now + timedelta(hours=36)
    assert refused.value.message == (
        f"'Paste the stiffeners in, last the backs', LEFT and RIGHT, drying until {dry:%a} {dry:%H:%M}."
    )


def test_felt_dry_goes_on_and_is_put_on_record(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "shell-check", by=maker, at=now)
    factory.check_everything(pair, "shell-check", by=maker, at=now)
    actions.tick_stages(pair, stages=factory.stages(pair, "shell-check"), by=maker, at=now, felt_dry=True)
    assert factory.stage(pair, "last-foreparts").felt_dry_at == now
    assert "Not waited for" in last_deed(pair, "tick_stages").says


def test_once_the_hours_have_passed_nothing_more_is_asked(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "shell-check", by=maker, at=now)
    factory.check_everything(pair, "shell-check", by=maker, at=now)
    later = now + timedelta(hours=36)
    actions.tick_stages(pair, stages=factory.stages(pair, "shell-check"), by=maker, at=later)
    assert ticked(pair, "shell-check") == {"left": True, "right": True}


def test_the_last_is_slipped_before_seven_days_only_by_saying_so(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "slip-last", by=maker, at=now)
    with pytest.raises(actions.StillDrying) as refused:
        actions.tick_stages(pair, stages=factory.stages(pair, "slip-last"), by=maker, at=now + timedelta(days=2))
    until = now + timedelta(days=7)
    assert refused.value.message == (
        f"'Last the uppers, forepart', LEFT and RIGHT, on the last until {until:%a %H:%M}."
    )


def test_a_stage_keyed_in_later_keeps_when_it_was_done_and_when_it_was_entered(
    pair: Pair, maker: Person, now: datetime
) -> None:
    before = timezone.now()
    done = now - timedelta(hours=2)
    actions.tick_stages(pair, stages=factory.stages(pair, "gather"), by=maker, at=now, done_at=done)
    deed = last_deed(pair, "tick_stages")
    assert (factory.stage(pair, "gather").ticked_at, deed.done_at) == (done, done)
    assert deed.entered_at is not None
    assert deed.entered_at >= before


def test_nothing_is_done_in_the_future(pair: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="later than now"):
        actions.tick_stages(
            pair, stages=factory.stages(pair, "gather"), by=maker, at=now, done_at=now + timedelta(hours=1)
        )


def test_several_stages_are_caught_up_at_once_in_the_order_of_the_route(
    pair: Pair, maker: Person, now: datetime
) -> None:
    stages = [*factory.stages(pair, "alter-last"), *factory.stages(pair, "gather")]
    actions.tick_stages(pair, stages=stages, by=maker, at=now)
    assert (ticked(pair, "gather"), ticked(pair, "alter-last")) == (
        {"left": True, "right": True},
        {"left": True, "right": True},
    )


def test_a_rough_fitting_is_not_ticked_at_the_bench(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "rough-fitting", by=maker, at=now)
    with pytest.raises(Refused, match="with the client"):
        actions.tick_stages(pair, stages=factory.stages(pair, "rough-fitting"), by=maker, at=now)


def test_a_rough_fitting_is_ticked_by_its_visit(pair: Pair, maker: Person, clinician: Person, now: datetime) -> None:
    factory.bring_to(pair, "rough-fitting", by=maker, at=now)
    actions.tick_by_visit(pair, stage_kind="rough-fitting", by=clinician, at=now)
    assert ticked(pair, "rough-fitting") == {"left": True, "right": True}


def test_a_visit_ticks_nothing_where_the_route_has_no_such_stage(maker: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now, rough_fitting=False)
    actions.tick_by_visit(pair, stage_kind="rough-fitting", by=maker, at=now)
    assert Stage.objects.filter(pair=pair, ticked_at__isnull=False).count() == 0


def test_a_lasted_pair_puts_the_client_on_the_to_call_list(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "rough-fitting", by=maker, at=now)
    assert [(call.kind.key, call.about_uuid) for call in Call.objects.all()] == [("rough-fitting", pair.uuid)]


def test_a_trial_shoe_waits_for_the_client_before_the_uppers(maker: Person, clinician: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now, trial_shoe=True)
    factory.bring_to(pair, "trial-shoe", by=maker, at=now)
    assert [call.kind.key for call in Call.objects.all()] == ["trial-shoe"]
    with pytest.raises(Refused, match="with the client"):
        actions.tick_stages(pair, stages=factory.stages(pair, "trial-shoe"), by=maker, at=now)
    actions.tick_by_visit(pair, stage_kind="trial-shoe", by=clinician, at=now)
    assert ticked(pair, "trial-shoe") == {"left": True, "right": True}


def test_the_last_tick_finishes_the_pair_and_asks_for_the_final_fitting(
    pair: Pair, maker: Person, now: datetime
) -> None:
    factory.bring_to_the_end(pair, by=maker, at=now)
    pair.refresh_from_db()
    assert (pair.state, pair.finished_at) == (PairState.FINISHED, now)
    assert set(Call.objects.values_list("kind__key", flat=True)) == {"rough-fitting", "final-fitting"}


def test_a_tick_is_taken_back_with_its_reason_on_record(pair: Pair, maker: Person, now: datetime) -> None:
    stages = factory.stages(pair, "gather")
    actions.tick_stages(pair, stages=stages, by=maker, at=now)
    actions.take_back_ticks(pair, stages=stages, reason="wrong pair", by=maker, at=now)
    deed = last_deed(pair, "take_back_ticks")
    assert ticked(pair, "gather") == {"left": False, "right": False}
    assert (deed.reason, deed.reason_typed) == ("wrong pair", True)


def test_a_tick_is_not_taken_back_without_a_word(pair: Pair, maker: Person, now: datetime) -> None:
    stages = factory.stages(pair, "gather")
    actions.tick_stages(pair, stages=stages, by=maker, at=now)
    with pytest.raises(Refused, match="why"):
        actions.take_back_ticks(pair, stages=stages, reason=" ", by=maker, at=now)


def test_the_later_tick_that_stands_in_the_way_is_named(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "patterns", by=maker, at=now)
    with pytest.raises(Refused) as refused:
        actions.take_back_ticks(pair, stages=factory.stages(pair, "gather"), reason="wrong", by=maker, at=now)
    assert refused.value.message == (
        "Take back first what comes after it: 'Alter the last and agree it', LEFT and RIGHT."
    )


def test_taking_back_the_last_tick_brings_a_finished_pair_back_to_the_bench(
    pair: Pair, maker: Person, now: datetime
) -> None:
    factory.bring_to_the_end(pair, by=maker, at=now)
    actions.take_back_ticks(pair, stages=factory.stages(pair, "final-check"), reason="a tack", by=maker, at=now)
    pair.refresh_from_db()
    assert (pair.state, pair.finished_at) == (PairState.OPEN, None)


def test_the_forepart_linings_are_lasted_while_the_backs_are_only_begun(
    pair: Pair, maker: Person, now: datetime
) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    factory.check_everything(pair, "last-backs", by=maker, at=now)
    actions.begin_stages(pair, stages=factory.stages(pair, "last-backs"), by=maker, at=now)
    actions.tick_stages(pair, stages=factory.stages(pair, "last-linings"), by=maker, at=now)
    assert (ticked(pair, "last-backs"), ticked(pair, "last-linings")) == (
        {"left": False, "right": False},
        {"left": True, "right": True},
    )


def test_a_pair_is_handed_over_only_when_it_is_finished(pair: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="not finished"):
        actions.hand_over_pair(pair, by=maker, at=now)


def test_stages_of_two_pairs_are_not_ticked_as_one(pair: Pair, maker: Person, now: datetime) -> None:
    other = factory.make_pair(by=maker, at=now)
    stages = [factory.stage(pair, "gather"), factory.stage(other, "gather")]
    with pytest.raises(Refused, match="different pairs"):
        actions.tick_stages(pair, stages=stages, by=maker, at=now)


def test_nothing_chosen_is_nothing_ticked(pair: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="Nothing was chosen"):
        actions.tick_stages(pair, stages=[], by=maker, at=now)


def test_a_stage_is_begun_once(pair: Pair, maker: Person, now: datetime) -> None:
    stages = factory.stages(pair, "gather")
    actions.begin_stages(pair, stages=stages, by=maker, at=now)
    with pytest.raises(Refused, match="already begun"):
        actions.begin_stages(pair, stages=stages, by=maker, at=now)


def test_a_beginning_is_taken_back_too(pair: Pair, maker: Person, now: datetime) -> None:
    stages = factory.stages(pair, "gather")
    actions.begin_stages(pair, stages=stages, by=maker, at=now)
    actions.take_back_ticks(pair, stages=stages, reason="wrong pair", by=maker, at=now)
    assert factory.stage(pair, "gather").begun_at is None


def test_what_is_not_ticked_is_not_taken_back(pair: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="is not ticked"):
        actions.take_back_ticks(pair, stages=factory.stages(pair, "gather"), reason="wrong", by=maker, at=now)


def test_a_stage_of_an_earlier_round_is_not_ticked(pair: Pair, maker: Person, now: datetime) -> None:
    stages = factory.stages(pair, "gather")
    actions.come_again(pair, stage_kinds=["gather"], sides=["left"], by=maker, at=now)
    with pytest.raises(Refused, match="planned again"):
        actions.tick_stages(pair, stages=stages, by=maker, at=now)


def test_a_pair_that_was_given_up_is_no_longer_worked_on(pair: Pair, maker: Person, now: datetime) -> None:
    actions.give_up_pair(pair, why="the client moved away", by=maker, at=now)
    with pytest.raises(Refused, match="given up"):
        actions.tick_stages(pair, stages=factory.stages(pair, "gather"), by=maker, at=now)


def test_a_pair_is_not_given_up_without_a_word(pair: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="why"):
        actions.give_up_pair(pair, why=" ", by=maker, at=now)
