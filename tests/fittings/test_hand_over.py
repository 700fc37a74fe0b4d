"""A hand-over at the level of the action and, going round it, of the database."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest

from cases.bench.models import Pair, PairState
from cases.diary.models import Call, CallState, Visit, VisitStatus
from cases.fittings.actions.hand_over import review_window
from cases.fittings.models import HandOver
from cases.fittings.wear_in import steps_by_figures
from cases.patients.actions import answer_red_flag, end_finding
from shared.refusals import NotAllowed, Refused
from shared.sides import Side
from tests.factories.base import constraint_broken_by
from tests.factories.bench import make_pair
from tests.factories.figures import load_figures
from tests.factories.fittings import finished_pair, make_hand_over, visit_about
from tests.factories.patients import make_finding, make_red_flag
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

HandItOver = Callable[..., HandOver]


@pytest.fixture
def pair(clinician: Person, now: datetime) -> Pair:
    return finished_pair(by=clinician, at=now)


@pytest.fixture
def visit(pair: Pair, clinician: Person, now: datetime) -> Visit:
    return visit_about(pair, kind="hand-over", by=clinician, at=now)


@pytest.fixture
def hand_it_over(pair: Pair, visit: Visit, clinician: Person, now: datetime) -> HandItOver:
    def _hand_over(**said: Any) -> HandOver:
        return make_hand_over(pair, **{"visit": visit, "by": clinician, "at": now, **said})

    return _hand_over


def test_the_pair_is_with_the_client_and_the_visit_done(hand_it_over: HandItOver, pair: Pair, visit: Visit) -> None:
    hand_it_over()
    pair.refresh_from_db()
    visit.refresh_from_db()
    assert (pair.state, visit.status) == (PairState.HANDED_OVER, VisitStatus.DONE)


def test_the_wear_in_table_is_kept_as_it_was_given(hand_it_over: HandItOver) -> None:
    steps = hand_it_over(wear_in="loss-of-sensation").wear_in_steps
    assert steps[0] == {"when": "Day 1", "wear": "30 minutes, then look; stop if there is a mark"}


def test_a_persons_own_table_is_kept(hand_it_over: HandItOver) -> None:
    own = steps_by_figures(start_hours=0.5, growth_hours=0.5, days=7)
    record = hand_it_over(wear_in="by-figures", own_steps=own)
    assert (record.wear_in_steps[0], record.wear_in_steps[-1]) == (
        {"when": "Day 1", "wear": "30 minutes"},
        {"when": "After day 7", "wear": "as the review says"},
    )


def test_a_persons_own_table_has_steps(hand_it_over: HandItOver) -> None:
    with pytest.raises(Refused, match="Choose one of the wear-in tables"):
        hand_it_over(wear_in="by-figures")


def test_the_first_review_goes_on_the_to_call_list_a_week_ahead(
    hand_it_over: HandItOver, pair: Pair, now: datetime
) -> None:
    hand_it_over(review_due_on=now.date() + timedelta(days=20))
    call = Call.objects.get(about_uuid=pair.uuid, state=CallState.OPEN)
    assert (call.kind.key, call.due_on, call.not_before) == (
        "review",
        now.date() + timedelta(days=13),
        now.date() + timedelta(days=14),
    )


def test_the_window_of_the_first_review_is_the_workshops(db: None, now: datetime) -> None:
    load_figures()
    assert review_window(now.date()) == (now.date() + timedelta(days=14), now.date() + timedelta(days=21))


def test_an_open_red_flag_keeps_the_shoes_here_and_is_named(hand_it_over: HandItOver, pair: Pair) -> None:
    make_red_flag(pair.patient, sign="open_or_infected_wound")
    with pytest.raises(Refused) as refused:
        hand_it_over()
    assert refused.value.message == (
        "Not yet answered: Open or infected wound where a shoe touches, LEFT. Answer it first; the shoes stay here."
    )


def test_an_answered_red_flag_lets_the_shoes_go(
    hand_it_over: HandItOver, pair: Pair, clinician: Person, now: datetime
) -> None:
    flag = make_red_flag(pair.patient)
    answer_red_flag(flag, what_was_done="Sent on.", referred_to="foot clinic", by=clinician, at=now)
    assert hand_it_over().pair == pair


def test_a_wound_that_stands_is_asked_about_again_though_its_flag_was_answered(
    hand_it_over: HandItOver, pair: Pair, clinician: Person, now: datetime
) -> None:
    make_finding(pair.patient, condition="open_wound", place="under the 1st joint")
    flag, last_week = make_red_flag(pair.patient, sign="open_or_infected_wound"), now - timedelta(days=7)
    answer_red_flag(flag, what_was_done="Dressed.", referred_to="foot clinic", by=clinician, at=last_week)
    with pytest.raises(Refused) as refused:
        hand_it_over()
    assert refused.value.message == (
        "Still recorded: Open wound, under the 1st joint LEFT. Look again: raise it as a red flag and say what was "
        "done, or say that it no longer holds; the shoes stay here."
    )


def test_a_wound_answered_today_lets_the_shoes_go(
    hand_it_over: HandItOver, pair: Pair, clinician: Person, now: datetime
) -> None:
    make_finding(pair.patient, condition="open_wound")
    flag = make_red_flag(pair.patient, sign="open_or_infected_wound")
    answer_red_flag(flag, what_was_done="Dressed.", referred_to="foot clinic", by=clinician, at=now)
    assert hand_it_over().pair == pair


def test_an_answer_for_the_other_foot_says_nothing_of_this_one(
    hand_it_over: HandItOver, pair: Pair, clinician: Person, now: datetime
) -> None:
    make_finding(pair.patient, condition="open_wound", side=Side.RIGHT)
    flag = make_red_flag(pair.patient, sign="open_or_infected_wound", side=Side.LEFT)
    answer_red_flag(flag, what_was_done="Dressed.", referred_to="foot clinic", by=clinician, at=now)
    with pytest.raises(Refused, match="Still recorded: Open wound RIGHT"):
        hand_it_over()


def test_a_wound_that_no_longer_holds_lets_the_shoes_go(
    hand_it_over: HandItOver, pair: Pair, clinician: Person, now: datetime
) -> None:
    end_finding(make_finding(pair.patient, condition="open_wound"), by=clinician, at=now)
    assert hand_it_over().pair == pair


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"red_flags_asked": False}, "Ask for the red flags once more"),
        ({"cautions_explained": False}, "Explain the cautions"),
        ({"collected_by": " "}, "Say who took the shoes home"),
        ({"wear_in": "as one likes"}, "Choose one of the wear-in tables"),
    ],
)
def test_what_was_left_out_is_said(hand_it_over: HandItOver, said: dict[str, Any], sentence: str) -> None:
    with pytest.raises(Refused, match=sentence):
        hand_it_over(**said)


@pytest.mark.parametrize("days", [-1, 0, 367])
def test_a_review_comes_after_the_hand_over_and_within_a_year(
    hand_it_over: HandItOver, now: datetime, days: int
) -> None:
    with pytest.raises(Refused, match="comes after the hand-over"):
        hand_it_over(review_due_on=now.date() + timedelta(days=days))


@pytest.mark.parametrize("said", [{"hands_can_close_it": False}, {"both_shoes_lifted": False}])
def test_hands_that_cannot_close_it_and_shoes_not_lifted_are_kept_and_no_bar(
    hand_it_over: HandItOver, said: dict[str, bool]
) -> None:
    record = hand_it_over(**said)
    assert {name: getattr(record, name) for name in said} == said


def test_a_pair_that_is_not_finished_stays(clinician: Person, now: datetime) -> None:
    pair = make_pair(by=clinician, at=now)
    with pytest.raises(Refused, match="on the bench: only a finished pair is handed over"):
        make_hand_over(pair, by=clinician, at=now)


def test_a_pair_goes_home_once(hand_it_over: HandItOver, pair: Pair, clinician: Person, now: datetime) -> None:
    hand_it_over()
    with pytest.raises(Refused, match="The hand-over of this pair was already recorded by Clara Clinician"):
        make_hand_over(pair, by=clinician, at=now + timedelta(hours=1))


def test_reception_hands_nothing_over(hand_it_over: HandItOver, reception: Person) -> None:
    with pytest.raises(NotAllowed):
        hand_it_over(by=reception)


def test_the_database_keeps_a_hand_over_as_it_was(hand_it_over: HandItOver) -> None:
    record = hand_it_over()
    change = lambda: HandOver.objects.filter(pk=record.pk).update(collected_by="somebody else")
    assert constraint_broken_by(change) == "hand_over_is_final"


@pytest.mark.parametrize("left_out", ["cautions_explained", "red_flags_asked"])
def test_the_database_refuses_a_hand_over_without_its_cautions(
    pair: Pair, visit: Visit, clinician: Person, now: datetime, left_out: str
) -> None:
    said = {"cautions_explained": True, "red_flags_asked": True, left_out: False}
    write = lambda: HandOver.objects.create(
        visit=visit,
        pair=pair,
        wear_in="ordinary",
        wear_in_steps=[],
        collected_by="the client",
        review_due_on=now.date(),
        by=clinician,
        at=now,
        **said,
    )
    assert constraint_broken_by(write) == "a_hand_over_explains_the_cautions"
