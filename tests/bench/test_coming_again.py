from datetime import datetime

import pytest

from cases.bench import actions
from cases.bench.models import CoverRequirement, Pair, PairState, Stage, StageAfter
from shared.refusals import Refused
from tests.factories import bench as factory
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

RELASTED = ["alter-last", "last-backs", "last-linings", "puff-on", "shape-puff", "last-foreparts", "shell-check"]


@pytest.fixture
def fitted(maker: Person, now: datetime) -> Pair:
    """A pair before its rough fitting."""
    pair = factory.make_pair(by=maker, at=now)
    factory.bring_to(pair, "rough-fitting", by=maker, at=now)
    return pair


def second_round(pair: Pair, side: str) -> list[str]:
    rows = Stage.objects.filter(pair=pair, side=side, round=2).select_related("kind").order_by("order")
    return [row.kind.key for row in rows]


def test_lasting_again_brings_the_lasting_stages_again_and_leaves_uppers_and_insole(
    fitted: Pair, clinician: Person, now: datetime
) -> None:
    actions.come_again(fitted, stage_kinds=actions.LAST_AGAIN, sides=["left", "right"], by=clinician, at=now)
    assert (second_round(fitted, "left"), second_round(fitted, "right")) == (RELASTED, RELASTED)


def test_one_shoe_alone_is_lasted_again(fitted: Pair, clinician: Person, now: datetime) -> None:
    actions.come_again(fitted, stage_kinds=actions.LAST_AGAIN, sides=["right"], by=clinician, at=now)
    assert (second_round(fitted, "left"), second_round(fitted, "right")) == ([], RELASTED)


def test_the_checks_of_what_comes_again_come_again(fitted: Pair, clinician: Person, now: datetime) -> None:
    actions.come_again(fitted, stage_kinds=actions.LAST_AGAIN, sides=["left"], by=clinician, at=now)
    asked = CoverRequirement.objects.filter(stage__pair=fitted, stage__round=2)
    assert sorted(asked.values_list("part", "moment")) == [
        ("stiffener", "placed"),
        ("stiffener", "shell"),
        ("toe_puff", "placed"),
        ("toe_puff", "shell"),
    ]
    assert asked.filter(checks__isnull=False).count() == 0


def test_the_backs_wait_for_the_altered_last_past_the_insole_that_stays(
    fitted: Pair, clinician: Person, now: datetime
) -> None:
    actions.come_again(fitted, stage_kinds=actions.LAST_AGAIN, sides=["left"], by=clinician, at=now)
    backs = factory.stage(fitted, "last-backs", "left")
    needs = StageAfter.objects.filter(stage=backs, needs__ticked_at__isnull=True).values_list("needs__kind__key")
    assert list(needs) == [("alter-last",)]


def test_the_rough_fitting_waits_again(fitted: Pair, clinician: Person, now: datetime) -> None:
    actions.come_again(fitted, stage_kinds=actions.LAST_AGAIN, sides=["left"], by=clinician, at=now)
    with pytest.raises(Refused, match="First comes"):
        actions.tick_by_visit(fitted, stage_kind="rough-fitting", by=clinician, at=now)


def test_made_again_on_a_new_last_brings_all_but_the_gathering(fitted: Pair, clinician: Person, now: datetime) -> None:
    actions.come_again(fitted, stage_kinds=actions.MAKE_AGAIN, sides=["left"], by=clinician, at=now)
    live = Stage.objects.filter(pair=fitted, side="left", retired_at__isnull=True, ticked_at__isnull=False)
    assert [row.kind.key for row in live.select_related("kind")] == ["gather"]


def test_a_finished_pair_comes_back_to_the_bench(maker: Person, clinician: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now)
    factory.bring_to_the_end(pair, by=maker, at=now)
    actions.come_again(pair, stage_kinds=["trim-edges"], sides=["left"], by=clinician, at=now)
    pair.refresh_from_db()
    assert (pair.state, pair.finished_at) == (PairState.OPEN, None)


def test_what_stands_on_a_stage_comes_again_with_it(maker: Person, clinician: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now)
    factory.bring_to_the_end(pair, by=maker, at=now)
    actions.come_again(pair, stage_kinds=["trim-edges"], sides=["left"], by=clinician, at=now)
    assert second_round(pair, "left") == ["trim-edges", "finish", "slip-last", "sock", "final-check"]


def test_a_stage_that_the_route_does_not_have_cannot_come_again(fitted: Pair, clinician: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="part of this pair's route"):
        actions.come_again(fitted, stage_kinds=["carbon"], sides=["left"], by=clinician, at=now)


def test_a_repair_comes_again_with_its_jobs_and_heights(maker: Person, now: datetime) -> None:
    from shared.sides import Side
    from tests.factories.patients import make_patient

    factory.load_starting_values()
    pair = actions.open_repair(
        make_patient(),
        description="resole",
        feet="both",
        promised_day=now.date(),
        jobs=["heel job"],
        heights_to_restore={Side.LEFT: "20 / 16 / 8 mm"},
        by=maker,
        at=now,
    )
    factory.bring_to_the_end(pair, by=maker, at=now)
    actions.come_again(pair, stage_kinds=["repair-lift"], sides=["left"], by=maker, at=now)
    assert second_round(pair, "left") == ["repair-lift", "repair-heel", "repair-finish", "repair-final-check"]
    assert CoverRequirement.objects.filter(stage__pair=pair, stage__round=2, part="heights").count() == 2


def test_nothing_comes_again_on_a_pair_that_went_home(maker: Person, clinician: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now)
    factory.bring_to_the_end(pair, by=maker, at=now)
    actions.hand_over_pair(pair, by=maker, at=now)
    with pytest.raises(Refused, match="with the client"):
        actions.come_again(pair, stage_kinds=["sole"], sides=["left"], by=clinician, at=now)
