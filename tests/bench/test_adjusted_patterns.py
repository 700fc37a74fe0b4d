"""A pattern that is cut otherwise than prescribed: told before anything is made, settled before it is closed in."""

from datetime import datetime

import pytest

from cases.bench import actions
from cases.bench.models import Difference, DifferenceSource, DifferenceState, Pair, Stage
from shared.refusals import NotAllowed, Refused
from tests.bench.guarded import made_check, refused_by, tick
from tests.factories import bench as factory
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

FOUND = "medial reach 140 mm; 130 mm is prescribed."


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return factory.make_pair(by=maker, at=now)


def adjusted(pair: Pair, by: Person, at: datetime, *, part: str = "stiffener", side: str = "left") -> Difference:
    return actions.raise_pattern_difference(pair, side=side, part=part, found=FOUND, by=by, at=at)


def test_it_belongs_to_the_stage_that_makes_the_part(pair: Pair, maker: Person, now: datetime) -> None:
    difference = adjusted(pair, maker, now)
    assert (difference.stage.kind.key, difference.side, difference.state) == ("cut-stiffeners", "left", "open")


def test_the_part_is_cut_and_offered_while_it_waits(pair: Pair, maker: Person, now: datetime) -> None:
    adjusted(pair, maker, now)
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    assert factory.stage(pair, "cut-stiffeners").ticked_at == now


def test_the_part_is_not_closed_in_while_it_waits(pair: Pair, maker: Person, now: datetime) -> None:
    adjusted(pair, maker, now)
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    made_check(pair, maker, now, part="stiffener")
    stage = factory.stage(pair, "last-backs")
    assert refused_by(lambda: tick(stage, maker, now)) == "a_difference_is_settled_before_it_is_covered"


def test_the_other_foot_is_not_held(pair: Pair, maker: Person, now: datetime) -> None:
    adjusted(pair, maker, now)
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    factory.check_everything(pair, "last-backs", by=maker, at=now)
    actions.tick_stages(pair, stages=factory.stages(pair, "last-backs", "right"), by=maker, at=now)
    assert factory.stage(pair, "last-backs", "right").ticked_at == now


def test_accepted_it_holds_nothing(pair: Pair, maker: Person, clinician: Person, now: datetime) -> None:
    difference = adjusted(pair, maker, now)
    actions.settle_difference(difference, state="accepted", because="he needs the length", by=clinician, at=now)
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    factory.check_everything(pair, "last-backs", by=maker, at=now)
    actions.tick_stages(pair, stages=factory.stages(pair, "last-backs"), by=maker, at=now)
    assert factory.stage(pair, "last-backs").ticked_at == now


def test_a_maker_does_not_accept_it(pair: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(NotAllowed, match="may prescribe"):
        actions.settle_difference(adjusted(pair, maker, now), state="accepted", because="fits", by=maker, at=now)


def test_undone_before_anything_is_cut_no_stage_comes_again(pair: Pair, maker: Person, now: datetime) -> None:
    difference = adjusted(pair, maker, now)
    actions.settle_difference(difference, state="undone", by=maker, at=now)
    assert not Stage.objects.filter(pair=pair, round=2).exists()


def test_undone_after_the_part_is_cut_its_stage_comes_again(pair: Pair, maker: Person, now: datetime) -> None:
    difference = adjusted(pair, maker, now)
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    actions.settle_difference(difference, state="undone", by=maker, at=now)
    assert list(Stage.objects.filter(pair=pair, round=2).values_list("kind__key", "side")) == [
        ("cut-stiffeners", "left")
    ]


def test_undone_it_holds_nothing(pair: Pair, maker: Person, now: datetime) -> None:
    actions.settle_difference(adjusted(pair, maker, now), state="undone", by=maker, at=now)
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    factory.check_everything(pair, "last-backs", by=maker, at=now)
    actions.tick_stages(pair, stages=factory.stages(pair, "last-backs"), by=maker, at=now)
    assert factory.stage(pair, "last-backs").ticked_at == now


def test_dropped_it_is_undone_by_who_drops_it(pair: Pair, maker: Person, now: datetime) -> None:
    difference = adjusted(pair, maker, now)
    actions.drop_pattern_difference(difference, because="taken back", by=maker, at=now)
    difference.refresh_from_db()
    assert (difference.state, difference.settled_by, difference.settled_because) == ("undone", maker, "taken back")


def test_dropped_after_it_was_accepted_it_stays_accepted(
    pair: Pair, maker: Person, clinician: Person, now: datetime
) -> None:
    difference = adjusted(pair, maker, now)
    actions.settle_difference(difference, state="accepted", because="he needs the length", by=clinician, at=now)
    actions.drop_pattern_difference(difference, because="taken back", by=maker, at=now)
    difference.refresh_from_db()
    assert difference.state == DifferenceState.ACCEPTED


def test_a_part_that_is_closed_in_has_no_pattern_to_adjust(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-linings", by=maker, at=now)
    with pytest.raises(Refused, match="The LEFT stiffener is closed in already"):
        adjusted(pair, maker, now)


def test_a_part_that_nobody_makes_has_no_pattern_to_adjust(pair: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match=r"No stage of pair \d+ makes the LEFT anklet"):
        adjusted(pair, maker, now, part="anklet")


def test_the_database_refuses_one_that_names_a_check(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "cut-stiffeners", by=maker, at=now)
    check = made_check(pair, maker, now, part="stiffener", moment="part")
    wrong = Difference(
        pair=pair,
        side="left",
        part="stiffener",
        source=DifferenceSource.PATTERN,
        stage=check.requirement.stage,
        check_found=check,
        found=FOUND,
        raised_at=now,
        raised_by=maker,
    )
    assert refused_by(wrong.save) == "a_difference_says_where_it_comes_from"
