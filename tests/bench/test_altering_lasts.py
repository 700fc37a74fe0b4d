"""Where a last was asked to be altered again, its stage is not ticked before that was done and agreed."""

from collections.abc import Callable, Mapping
from datetime import datetime, timedelta
from decimal import Decimal

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cases.bench import actions
from cases.bench.models import Pair
from cases.lasts import actions as lasts
from cases.lasts.models import Last
from shared.refusals import Refused
from tests.factories import bench as factory
from tests.factories.figures import load_figures
from tests.factories.lasts import agreed, make_last
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

Lasts = Mapping[str, Last]


@pytest.fixture
def its_lasts() -> Lasts:
    load_figures()
    return {side: agreed(make_last(side=side, number="412")) for side in ("left", "right")}


@pytest.fixture
def fitted(its_lasts: Lasts, maker: Person, now: datetime) -> Pair:
    """A pair on lasts of the rack, before its rough fitting."""
    pair = factory.make_pair(by=maker, at=now, left_last=its_lasts["left"], right_last=its_lasts["right"])
    factory.bring_to(pair, "rough-fitting", by=maker, at=now)
    return pair


@pytest.fixture
def asked_left(fitted: Pair, clinician: Person, now: datetime) -> Pair:
    """The same pair: the fitting asked for an alteration of the LEFT last."""
    actions.come_again(fitted, stage_kinds=actions.LAST_AGAIN, sides=["left"], by=clinician, at=now)
    return fitted


def tick(pair: Pair, *sides: str, by: Person, at: datetime) -> list[bool]:
    actions.tick_stages(pair, stages=factory.stages(pair, "alter-last", *sides), by=by, at=at)
    return [stage.ticked_at is not None for stage in factory.stages(pair, "alter-last", *sides)]


def alter(last: Last, *, by: Person, at: datetime) -> Last:
    """Built up at the joint, with the tape laid on it again."""
    return lasts.alter_last(
        last,
        seen_version=last.version,
        alteration_note="built up 3 mm at the joint",
        length_mm=last.length_mm,
        heel_height_mm=last.heel_height_mm,
        toe_spring_mm=last.toe_spring_mm,
        toe_shape=last.toe_shape,
        measured={"joint_girth_mm": Decimal(262)},
        by=by,
        at=at,
    )


AS_IT_WAS = (
    "Last 412 LEFT is as it was when it was asked to be altered: alter it on its page, measure it and have it agreed, "
    "then tick this."
)


def test_the_first_time_round_an_agreed_last_is_enough(its_lasts: Lasts, maker: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now, left_last=its_lasts["left"], right_last=its_lasts["right"])
    factory.bring_to(pair, "alter-last", by=maker, at=now)
    assert tick(pair, by=maker, at=now) == [True, True]


def test_a_last_that_is_as_it_was_is_not_ticked_as_altered(asked_left: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused) as refused:
        tick(asked_left, "left", by=maker, at=now)
    assert refused.value.message == AS_IT_WAS


def test_a_last_that_was_altered_and_not_agreed_is_not_ticked(
    asked_left: Pair, its_lasts: Lasts, maker: Person, now: datetime
) -> None:
    alter(its_lasts["left"], by=maker, at=now)
    with pytest.raises(Refused) as refused:
        tick(asked_left, "left", by=maker, at=now)
    assert refused.value.message == (
        "Last 412 LEFT is not agreed as it is now: measure it and have it agreed on its page."
    )


def test_a_last_that_was_altered_and_agreed_is_ticked(
    asked_left: Pair, its_lasts: Lasts, maker: Person, now: datetime
) -> None:
    agreed(alter(its_lasts["left"], by=maker, at=now))
    assert tick(asked_left, "left", by=maker, at=now) == [True]


def test_an_alteration_before_the_fitting_is_not_the_one_it_asked_for(
    fitted: Pair, its_lasts: Lasts, maker: Person, clinician: Person, now: datetime
) -> None:
    agreed(alter(its_lasts["left"], by=maker, at=now))
    actions.come_again(fitted, stage_kinds=actions.LAST_AGAIN, sides=["left"], by=clinician, at=now)
    with pytest.raises(Refused, match="as it was when it was asked to be altered"):
        tick(fitted, "left", by=maker, at=now)


def test_both_feet_are_ticked_only_when_both_lasts_were_altered(
    fitted: Pair, its_lasts: Lasts, maker: Person, clinician: Person, now: datetime
) -> None:
    actions.come_again(fitted, stage_kinds=actions.LAST_AGAIN, sides=["left", "right"], by=clinician, at=now)
    agreed(alter(its_lasts["right"], by=maker, at=now))
    with pytest.raises(Refused) as refused:
        tick(fitted, by=maker, at=now)
    assert refused.value.message == AS_IT_WAS


def test_asked_a_second_time_it_is_altered_a_second_time(
    asked_left: Pair, its_lasts: Lasts, maker: Person, clinician: Person, now: datetime
) -> None:
    agreed(alter(its_lasts["left"], by=maker, at=now))
    tick(asked_left, "left", by=maker, at=now)
    actions.come_again(asked_left, stage_kinds=actions.LAST_AGAIN, sides=["left"], by=clinician, at=now)
    with pytest.raises(Refused, match="as it was when it was asked to be altered"):
        tick(asked_left, "left", by=maker, at=now)


def test_what_was_done_on_paper_is_not_keyed_in_either(
    asked_left: Pair, maker: Person, signed_in: Callable[[Person], Client]
) -> None:
    stage = factory.stage(asked_left, "alter-last")
    done_at = timezone.localtime() - timedelta(minutes=2)
    sent = {"stage": [str(stage.uuid)], "done_at": f"{done_at:%Y-%m-%dT%H:%M}"}
    answer = signed_in(maker).post(reverse("catch-up"), sent)
    said = f"Pair {asked_left.number}: {AS_IT_WAS} Nothing was ticked, on this pair or another."
    assert (answer.status_code, answer.content.decode().count(said)) == (409, 1)
