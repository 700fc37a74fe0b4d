from datetime import datetime

import pytest

from cases.bench import actions
from cases.bench.models import CheckMoment, CoverCheck, CoverRequirement, Difference, DifferenceState, Outcome, Pair
from shared.models import Deed
from shared.refusals import NotAllowed, Refused
from tests.factories import bench as factory
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return factory.make_pair(by=maker, at=now, left={"stiffener": {"medial_reach": "long", "medial_reach_mm": 180}})


def both(pair: Pair, part: str, moment: str = CheckMoment.PLACED) -> list[CoverRequirement]:
    return [factory.requirement(pair, part, moment, side) for side in ("left", "right")]


def differ(pair: Pair, part: str, moment: str, *, by: Person, at: datetime) -> Difference:
    """LEFT: this check found a difference."""
    asked = factory.requirement(pair, part, moment, "left")
    return factory.differ(asked, "10 mm short", by=by, at=at).difference


def test_a_check_asks_for_the_values_prescribed_for_its_own_foot(pair: Pair) -> None:
    reach = {asked.side: dict(asked.prescribed)["medial reach"] for asked in both(pair, "stiffener", CheckMoment.PART)}
    assert reach == {"left": "long, 180 mm", "right": "medium, 130 mm"}


def test_a_stiffener_is_checked_when_cut_when_placed_and_when_dry(pair: Pair) -> None:
    asked = CoverRequirement.objects.filter(stage__pair=pair, part="stiffener", side="left").select_related(
        "stage__kind"
    )
    assert [(row.moment, row.stage.kind.key) for row in asked.order_by("stage__order")] == [
        ("part", "cut-stiffeners"),
        ("placed", "last-backs"),
        ("shell", "shell-check"),
    ]


def test_a_part_prescribed_as_none_is_not_asked_for(maker: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now, both={"toe_puff": {"kind": "none", "length_mm": None}})
    assert CoverRequirement.objects.filter(stage__pair=pair, part="toe_puff").count() == 0


def test_both_feet_are_as_prescribed_in_one_touch(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "cut-stiffeners", by=maker, at=now)
    asked = both(pair, "toe_puff", CheckMoment.PART)
    actions.record_checks(asked, outcome=Outcome.AS_PRESCRIBED, by=maker, at=now)
    says = Deed.objects.get(pair_uuid=pair.uuid, action="record_checks").says
    assert says == "Part check of toe puff, LEFT and RIGHT: as prescribed."


def test_what_differs_must_be_said(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "cut-stiffeners", by=maker, at=now)
    with pytest.raises(Refused, match="what differs"):
        actions.record_checks(
            both(pair, "stiffener", CheckMoment.PART), outcome=Outcome.DIFFERS, found=" ", by=maker, at=now
        )


def test_a_part_is_not_checked_before_it_can_be_in_place(pair: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="Too early"):
        actions.record_checks(both(pair, "stiffener"), outcome=Outcome.AS_PRESCRIBED, by=maker, at=now)


def test_a_check_is_recorded_once_and_the_second_is_told_by_whom(
    pair: Pair, maker: Person, manager: Person, now: datetime
) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    asked = factory.requirement(pair, "stiffener")
    actions.record_check(asked, outcome=Outcome.AS_PRESCRIBED, by=maker, at=now)
    with pytest.raises(Refused, match=r"placed check of stiffener, LEFT: already recorded by Max Maker at 10:00\."):
        actions.record_check(asked, outcome=Outcome.AS_PRESCRIBED, by=manager, at=now)


def test_a_difference_at_a_part_check_holds_the_tick_of_that_foot_until_it_is_settled(
    pair: Pair, maker: Person, now: datetime
) -> None:
    factory.bring_to(pair, "cut-stiffeners", by=maker, at=now)
    differ(pair, "stiffener", CheckMoment.PART, by=maker, at=now)
    factory.check_everything(pair, "cut-stiffeners", by=maker, at=now)
    with pytest.raises(Refused, match="A difference waits"):
        actions.tick_stages(pair, stages=factory.stages(pair, "cut-stiffeners", "left"), by=maker, at=now)
    actions.tick_stages(pair, stages=factory.stages(pair, "cut-stiffeners", "right"), by=maker, at=now, felt_dry=True)
    assert factory.stage(pair, "cut-stiffeners", "right").ticked_at == now


def test_once_accepted_at_the_part_check_it_may_be_ticked(
    pair: Pair, maker: Person, clinician: Person, now: datetime
) -> None:
    factory.bring_to(pair, "cut-stiffeners", by=maker, at=now)
    difference = differ(pair, "stiffener", CheckMoment.PART, by=maker, at=now)
    factory.check_everything(pair, "cut-stiffeners", by=maker, at=now)
    actions.settle_difference(difference, state="accepted", because="ankle is firm enough", by=clinician, at=now)
    actions.tick_stages(pair, stages=factory.stages(pair, "cut-stiffeners"), by=maker, at=now, felt_dry=True)
    assert factory.stage(pair, "cut-stiffeners", "left").ticked_at == now


def test_a_difference_found_when_placed_lets_the_maker_go_on(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    differ(pair, "stiffener", CheckMoment.PLACED, by=maker, at=now)
    factory.check_everything(pair, "last-backs", by=maker, at=now)
    actions.tick_stages(pair, stages=factory.stages(pair, "last-backs"), by=maker, at=now)
    assert factory.stage(pair, "last-backs", "left").ticked_at == now


def test_a_maker_cannot_accept_a_difference(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    difference = differ(pair, "stiffener", CheckMoment.PLACED, by=maker, at=now)
    with pytest.raises(NotAllowed):
        actions.settle_difference(difference, state="accepted", because="looks fine", by=maker, at=now)


def test_a_clinician_does_not_accept_without_a_reason(
    pair: Pair, maker: Person, clinician: Person, now: datetime
) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    difference = differ(pair, "stiffener", CheckMoment.PLACED, by=maker, at=now)
    with pytest.raises(Refused, match="why"):
        actions.settle_difference(difference, state="accepted", because="", by=clinician, at=now)


def test_the_reason_of_an_accepted_difference_is_on_record_as_typed(
    pair: Pair, maker: Person, clinician: Person, now: datetime
) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    difference = differ(pair, "stiffener", CheckMoment.PLACED, by=maker, at=now)
    actions.settle_difference(difference, state="accepted", because="no harm", by=clinician, at=now)
    deed = Deed.objects.get(pair_uuid=pair.uuid, action="accept_difference")
    assert (deed.reason, deed.reason_typed) == ("no harm", True)


def test_made_again_withdraws_the_check_so_that_it_is_asked_again(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "cut-stiffeners", by=maker, at=now)
    difference = differ(pair, "stiffener", CheckMoment.PART, by=maker, at=now)
    actions.settle_difference(difference, state="undone", by=maker, at=now)
    asked = factory.requirement(pair, "stiffener", CheckMoment.PART)
    factory.hold(asked, by=maker, at=now)
    assert list(CoverCheck.objects.filter(requirement=asked).values_list("outcome", "withdrawn_at")) == [
        ("differs", now),
        ("as prescribed", None),
    ]


def test_made_again_after_it_was_closed_in_brings_its_stages_again_on_that_foot_alone(
    pair: Pair, maker: Person, now: datetime
) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    difference = differ(pair, "stiffener", CheckMoment.PLACED, by=maker, at=now)
    factory.bring_to(pair, "rough-fitting", by=maker, at=now)
    actions.settle_difference(difference, state="undone", by=maker, at=now)
    again = [
        (side, key)
        for side in ("left", "right")
        for key in ("cut-stiffeners", "last-backs", "last-linings", "puff-on", "last-foreparts", "shell-check")
        if factory.stage(pair, key, side).round == 2
    ]
    assert again == [
        ("left", "cut-stiffeners"),
        ("left", "last-backs"),
        ("left", "last-linings"),
        ("left", "puff-on"),
        ("left", "last-foreparts"),
        ("left", "shell-check"),
    ]


def test_a_pair_made_again_in_part_can_be_done_to_the_end(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    difference = differ(pair, "stiffener", CheckMoment.PLACED, by=maker, at=now)
    factory.bring_to(pair, "rough-fitting", by=maker, at=now)
    actions.settle_difference(difference, state="undone", by=maker, at=now)
    factory.bring_to_the_end(pair, by=maker, at=now)
    pair.refresh_from_db()
    assert pair.state == "finished"


def test_a_difference_is_answered_once(pair: Pair, maker: Person, clinician: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    difference = differ(pair, "stiffener", CheckMoment.PLACED, by=maker, at=now)
    actions.settle_difference(difference, state="accepted", because="no harm", by=clinician, at=now)
    with pytest.raises(Refused, match="already settled"):
        actions.settle_difference(difference, state="undone", by=maker, at=now)


def test_withdrawing_a_check_undoes_the_difference_it_found(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    difference = differ(pair, "stiffener", CheckMoment.PLACED, by=maker, at=now)
    assert difference.check_found is not None
    actions.withdraw_check(difference.check_found, by=maker, at=now)
    difference.refresh_from_db()
    assert difference.state == DifferenceState.UNDONE


def test_a_check_is_not_withdrawn_once_its_stage_is_ticked(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-linings", by=maker, at=now)
    check = CoverCheck.objects.get(requirement=factory.requirement(pair, "stiffener"))
    with pytest.raises(Refused, match="take back its tick first"):
        actions.withdraw_check(check, by=maker, at=now)


def test_no_check_at_all_is_no_check(maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="Nothing was chosen"):
        actions.record_checks([], outcome=Outcome.AS_PRESCRIBED, by=maker, at=now)


def test_checks_of_two_pairs_are_not_recorded_as_one(pair: Pair, maker: Person, now: datetime) -> None:
    other = factory.make_pair(by=maker, at=now)
    asked = [factory.requirement(pair, "stiffener"), factory.requirement(other, "stiffener")]
    with pytest.raises(Refused, match="different pairs"):
        actions.record_checks(asked, outcome=Outcome.AS_PRESCRIBED, by=maker, at=now)


def test_a_check_of_a_stage_that_comes_again_is_no_longer_asked_for(pair: Pair, maker: Person, now: datetime) -> None:
    asked = factory.requirement(pair, "stiffener")
    actions.come_again(pair, stage_kinds=["last-backs"], sides=["left"], by=maker, at=now)
    with pytest.raises(Refused, match="no longer asked for"):
        actions.record_check(asked, outcome=Outcome.AS_PRESCRIBED, by=maker, at=now)


def test_a_part_that_is_covered_is_not_checked_afterwards(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-linings", by=maker, at=now)
    with pytest.raises(Refused, match="already covered"):
        actions.record_check(factory.requirement(pair, "stiffener"), outcome=Outcome.AS_PRESCRIBED, by=maker, at=now)


def test_a_check_is_withdrawn_once(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    check = actions.record_check(
        factory.requirement(pair, "stiffener"), outcome=Outcome.AS_PRESCRIBED, by=maker, at=now
    )
    actions.withdraw_check(check, by=maker, at=now)
    with pytest.raises(Refused, match="already withdrawn"):
        actions.withdraw_check(check, by=maker, at=now)


def test_a_difference_of_a_pair_that_was_given_up_is_left_as_it_is(pair: Pair, maker: Person, now: datetime) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    difference = differ(pair, "stiffener", CheckMoment.PLACED, by=maker, at=now)
    actions.give_up_pair(pair, why="the client moved away", by=maker, at=now)
    with pytest.raises(Refused, match="not on the bench"):
        actions.settle_difference(difference, state="undone", by=maker, at=now)
