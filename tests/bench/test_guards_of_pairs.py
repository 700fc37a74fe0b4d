"""What the database refuses of versions, differences and pairs, whoever asks."""

from datetime import datetime, timedelta
from functools import partial
from typing import Any

import pytest
from django.db import connection

from cases.bench import actions
from cases.bench.models import (
    Difference,
    DifferenceState,
    Outcome,
    Pair,
    PairState,
    PairVisit,
    Promise,
    Stage,
)
from cases.prescriptions.models import Prescription
from shared.sides import Side
from tests.bench.guarded import made_check, make_difference, refused_by, tick, with_typed_reason
from tests.factories import bench as factory
from tests.factories.base import setting_up
from tests.factories.diary import make_visit
from tests.factories.patients import make_patient
from tests.factories.prescriptions import make_prescription, make_signed_prescription, signed
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return factory.make_pair(by=maker, at=now)


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
