"""A fitting at the level of the action and, going round it, of the database."""

from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from cases.bench.models import Pair, PairState, PairVisit
from cases.bench.queries import FITTING, last_fitting
from cases.diary.models import Call, CallState, Visit, VisitStatus
from cases.fittings import actions
from cases.fittings.entries import FittingNote
from cases.fittings.models import Fitting, FittingFinding
from shared.history import acting
from shared.models import Deed
from shared.refusals import NotAllowed, Refused
from tests.factories.base import constraint_broken_by, setting_up
from tests.factories.bench import make_pair, stages
from tests.factories.diary import make_call, make_visit
from tests.factories.fittings import finished_pair, lasted_pair, visit_about
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

Record = Callable[..., Fitting]

PRESSES = FittingNote("left", "joint, medial", "presses", "ease 3 mm")
SITS = FittingNote("right", "heel", "sits well")


@pytest.fixture
def pair(clinician: Person, now: datetime) -> Pair:
    return lasted_pair(by=clinician, at=now - timedelta(hours=1))


@pytest.fixture
def visit(pair: Pair, clinician: Person, now: datetime) -> Visit:
    return visit_about(pair, kind="rough-fitting", by=clinician, at=now)


@pytest.fixture
def record(visit: Visit, pair: Pair, clinician: Person, now: datetime) -> Record:
    """Accept a rough fitting, or whatever is said otherwise."""

    def _record(**said: Any) -> Fitting:
        usual = {"pair": pair, "kind": "rough", "outcome": "accept", "findings": [PRESSES, SITS], "by": clinician}
        return actions.record_fitting(said.pop("visit", visit), **{**usual, "at": now, **said})

    return _record


def ticked(pair: Pair, key: str) -> list[bool]:
    """LEFT and RIGHT: whether this stage is ticked."""
    return [stage.ticked_at is not None for stage in stages(pair, key)]


def test_a_fitting_keeps_what_was_found_on_each_foot(record: Record) -> None:
    found = [(each.side, each.place, each.found, each.to_do) for each in record().findings.all()]
    assert found == [("left", "joint, medial", "presses", "ease 3 mm"), ("right", "heel", "sits well", "")]


def test_a_fitting_completes_its_visit(record: Record, visit: Visit) -> None:
    record()
    visit.refresh_from_db()
    assert visit.status == VisitStatus.DONE


def test_an_accepted_rough_fitting_ticks_its_stage_on_both_feet(record: Record, pair: Pair) -> None:
    record()
    assert ticked(pair, "rough-fitting") == [True, True]


def test_a_fitting_says_in_the_pairs_story_what_was_found_and_is_to_be_done(record: Record, pair: Pair) -> None:
    record()
    deed = Deed.objects.get(action="record_fitting")
    assert (deed.pair_uuid, deed.says) == (
        pair.uuid,
        "Rough fitting: accepted, go on. LEFT joint, medial: presses; to do: ease 3 mm. RIGHT heel: sits well.",
    )


def test_the_page_of_a_fitting_is_headed_by_its_name_and_its_pair(
    record: Record, pair: Pair, maker: Person, signed_in: Callable[[Person], Client]
) -> None:
    page = signed_in(maker).get(reverse("fitting", args=[record().uuid])).content.decode()
    assert f"<h1>Rough fitting of pair {pair.number}, " in page


def test_the_bench_page_tells_a_maker_what_is_to_be_done(
    record: Record, pair: Pair, maker: Person, signed_in: Callable[[Person], Client]
) -> None:
    record(outcome="alter")
    page = signed_in(maker).get(reverse("pair-bench", args=[pair.uuid])).content.decode()
    assert page.count("LEFT joint, medial: presses; to do: ease 3 mm.") == 1


def test_the_bench_page_tells_a_maker_what_else_was_said_and_leads_to_the_fitting(
    record: Record, pair: Pair, maker: Person, signed_in: Callable[[Person], Client]
) -> None:
    fitting = record(outcome="alter", note="Keep the tongue long.")
    page = signed_in(maker).get(reverse("pair-bench", args=[pair.uuid])).content.decode()
    told = ("Besides: Keep the tongue long.", f'href="{reverse("fitting", args=[fitting.uuid])}"')
    assert [page.count(words) for words in told] == [1, 1]


def test_the_latest_fitting_is_the_one_that_the_bench_is_told_of(
    record: Record, pair: Pair, clinician: Person, now: datetime
) -> None:
    record(outcome="alter")
    with acting(by=clinician, action=FITTING, says="Rough fitting: of another pair.", at=now, pair=uuid4()):
        pass
    with acting(by=clinician, action=FITTING, says="Rough fitting: accept.", at=now, pair=pair.uuid):
        pass
    found = last_fitting(pair)
    assert (found and found.says) == "Rough fitting: accept."


def test_a_fitting_takes_the_pair_off_the_to_call_list(record: Record, pair: Pair) -> None:
    record()
    assert set(Call.objects.filter(about_uuid=pair.uuid).values_list("state", flat=True)) == {CallState.NOT_NEEDED}


def test_altering_lets_the_lasting_come_again_on_the_foot_for_which_something_is_to_be_done(
    record: Record, pair: Pair
) -> None:
    record(outcome="alter")
    assert (ticked(pair, "last-backs"), ticked(pair, "rough-fitting")) == ([False, True], [False, False])


def test_altering_asks_for_a_call_for_a_new_fitting(record: Record, pair: Pair, now: datetime) -> None:
    record(outcome="alter")
    call = Call.objects.get(about_uuid=pair.uuid, state=CallState.OPEN)
    assert (call.kind.key, call.why) == ("rough-fitting", f"Pair {pair.number}: rough fitting once more")


def test_making_again_lets_the_uppers_come_again(record: Record, pair: Pair) -> None:
    record(outcome="remake", findings=[PRESSES, FittingNote("right", "", "too short", "new last")])
    assert ticked(pair, "click") == [False, False]


def test_altering_a_finished_pair_puts_it_back_on_the_bench_for_its_final_check(
    clinician: Person, now: datetime
) -> None:
    pair = finished_pair(by=clinician, at=now)
    visit = visit_about(pair, kind="final-fitting", by=clinician, at=now)
    actions.record_fitting(visit, pair=pair, kind="final", outcome="alter", findings=[PRESSES], by=clinician, at=now)
    pair.refresh_from_db()
    assert (pair.state, ticked(pair, "repair-final-check")) == (PairState.OPEN, [False, True])


def test_an_accepted_final_fitting_leaves_the_pair_finished(clinician: Person, now: datetime) -> None:
    pair = finished_pair(by=clinician, at=now)
    visit = visit_about(pair, kind="final-fitting", by=clinician, at=now)
    actions.record_fitting(visit, pair=pair, kind="final", outcome="accept", by=clinician, at=now)
    pair.refresh_from_db()
    assert pair.state == PairState.FINISHED


# What is refused ----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("outcome", ["alter", "remake"])
@pytest.mark.parametrize("findings", [[], [SITS]], ids=["nothing found", "nothing to do"])
def test_altering_says_what_is_to_be_done(record: Record, outcome: str, findings: list[FittingNote]) -> None:
    with pytest.raises(Refused, match="for at least one foot"):
        record(outcome=outcome, findings=findings)


def test_a_finding_says_what_was_found(record: Record) -> None:
    with pytest.raises(Refused, match="Say what was found on the LEFT foot"):
        record(findings=[FittingNote("left", "heel", "  ", "stretch")])


def test_a_fitting_is_recorded_once_and_the_second_is_told_by_whom(record: Record, now: datetime) -> None:
    record()
    with pytest.raises(Refused) as refused:
        record()
    assert refused.value.message == (
        f"This fitting was already recorded by Clara Clinician, {now:%a} {now.day} {now:%b} at 10:00."
    )


def test_a_maker_records_no_fitting(record: Record, maker: Person) -> None:
    with pytest.raises(NotAllowed, match="Only a clinician"):
        record(by=maker)


def test_any_clinician_may_record_it(record: Record, now: datetime) -> None:
    from tests.factories.staff import make_person

    assert record(by=make_person(name="Carl Second", roles=["clinician"])).by.name == "Carl Second"


@pytest.mark.parametrize("status", ["cancelled", "missed"])
def test_nothing_is_recorded_of_a_visit_that_did_not_take_place(record: Record, visit: Visit, status: str) -> None:
    with setting_up():
        Visit.objects.filter(pk=visit.pk).update(status=status)
    with pytest.raises(Refused, match=f"This visit was {status}"):
        record()


def test_nothing_is_recorded_of_a_visit_still_to_come(record: Record, now: datetime) -> None:
    with pytest.raises(Refused, match="still to come"):
        record(at=now - timedelta(days=1))


def test_a_visit_of_another_client_is_refused(record: Record, pair: Pair, now: datetime) -> None:
    elsewhere = make_visit(starts_at=now, kind="rough-fitting")
    with pytest.raises(Refused, match=f"Pair {pair.number} belongs to another client"):
        record(visit=elsewhere)


def test_a_visit_about_another_pair_is_refused(record: Record, pair: Pair, clinician: Person, now: datetime) -> None:
    other = make_pair(by=clinician, at=now, patient=pair.patient)
    with pytest.raises(Refused) as refused:
        record(pair=other)
    assert refused.value.message == f"This visit is about pair {pair.number}, not pair {other.number}."


def test_a_pair_that_left_the_bench_has_no_rough_fitting(clinician: Person, now: datetime) -> None:
    pair = finished_pair(by=clinician, at=now)
    visit = visit_about(pair, kind="rough-fitting", by=clinician, at=now)
    with pytest.raises(Refused, match="finished, waiting for the client"):
        actions.record_fitting(visit, pair=pair, kind="rough", outcome="accept", by=clinician, at=now)


def test_a_rough_fitting_before_the_lasting_is_refused_and_leaves_nothing(clinician: Person, now: datetime) -> None:
    pair = make_pair(by=clinician, at=now)
    visit = visit_about(pair, kind="rough-fitting", by=clinician, at=now)
    with pytest.raises(Refused, match="First comes"):
        actions.record_fitting(visit, pair=pair, kind="rough", outcome="accept", by=clinician, at=now)
    visit.refresh_from_db()
    assert (visit.status, Fitting.objects.count()) == (VisitStatus.BOOKED, 0)


def test_a_single_shoe_has_no_findings_on_the_other_foot(clinician: Person, now: datetime) -> None:
    pair = make_pair(by=clinician, at=now, feet="left")
    visit = visit_about(pair, kind="trial-shoe", by=clinician, at=now)
    with pytest.raises(Refused, match="has no RIGHT shoe"):
        actions.record_fitting(
            visit, pair=pair, kind="trial shoe", outcome="accept", findings=[SITS], by=clinician, at=now
        )


@pytest.mark.parametrize(("kind", "outcome"), [("smooth", "accept"), ("rough", "perhaps"), ("", "")])
def test_what_the_workshop_does_not_know_is_refused(record: Record, kind: str, outcome: str) -> None:
    with pytest.raises(Refused, match="Say which fitting"):
        record(kind=kind, outcome=outcome)


def test_a_visit_booked_for_a_pair_is_tied_to_it(clinician: Person, now: datetime) -> None:
    pair = make_pair(by=clinician, at=now)
    visit = make_visit(
        starts_at=now, kind="trial-shoe", patient=pair.patient, clinician=clinician, about_uuid=pair.uuid
    )
    actions.record_fitting(visit, pair=pair, kind="trial shoe", outcome="accept", by=clinician, at=now)
    assert PairVisit.objects.get(visit=visit).pair == pair


def test_another_pairs_call_stays_on_the_list(record: Record, pair: Pair, now: datetime) -> None:
    other = make_call(due_on=now.date(), patient=pair.patient, kind="rough-fitting")
    record()
    other.refresh_from_db()
    assert other.state == CallState.OPEN


# The database itself ------------------------------------------------------------------------------------------


def test_the_database_keeps_a_fitting_as_it_was(record: Record) -> None:
    fitting = record()
    change = lambda: Fitting.objects.filter(pk=fitting.pk).update(outcome="remake")
    assert constraint_broken_by(change) == "fitting_is_final"


def test_the_database_keeps_a_finding_of_a_fitting(record: Record) -> None:
    fitting = record()
    assert constraint_broken_by(lambda: fitting.findings.all().delete()) == "fitting_finding_is_final"


def test_the_database_keeps_one_fitting_of_one_visit(record: Record, clinician: Person, now: datetime) -> None:
    first = record()
    again = lambda: Fitting.objects.create(
        visit=first.visit, pair=first.pair, kind="rough", outcome="alter", by=clinician, at=now
    )
    assert constraint_broken_by(again) == "fittings_fitting_visit_id_key"


def test_the_database_refuses_a_fitting_at_another_clients_visit(pair: Pair, clinician: Person, now: datetime) -> None:
    elsewhere = make_visit(starts_at=now)
    write = lambda: Fitting.objects.create(
        visit=elsewhere, pair=pair, kind="rough", outcome="accept", by=clinician, at=now
    )
    assert constraint_broken_by(write) == "a_visit_is_of_the_pairs_client"


def test_the_database_refuses_a_finding_on_no_foot(record: Record) -> None:
    fitting = record()
    write = lambda: FittingFinding.objects.create(fitting=fitting, side="both", place="heel", found="presses")
    assert constraint_broken_by(write) == "fitting_finding_side_is_known"
