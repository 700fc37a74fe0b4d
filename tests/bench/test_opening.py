from dataclasses import replace
from datetime import date, datetime, timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from cases.bench import actions, queries, starting_values
from cases.bench.actions import planning
from cases.bench.actions.planning import words_of_parts
from cases.bench.models import CoverRequirement, Pair, PairState, Promise, Stage, StageKind, StageKindAfter
from cases.bench.route import UnknownPart
from cases.bench.stage_table import TABLE
from cases.diary.models import VisitStatus
from cases.prescriptions.described import FootInWords, PartInWords
from shared.history import acting
from shared.models import Deed
from shared.refusals import NotAllowed, Refused
from shared.sides import Side
from tests.factories import bench as factory
from tests.factories.diary import make_visit
from tests.factories.lasts import make_last
from tests.factories.patients import make_finding, make_patient
from tests.factories.prescriptions import make_prescription, make_signed_prescription
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


def kinds(pair: Pair, side: str = "left") -> list[str]:
    stages = Stage.objects.filter(pair=pair, side=side, retired_at__isnull=True).select_related("kind")
    return [stage.kind.key for stage in stages.order_by("order")]


def test_a_pair_has_a_stage_of_its_own_for_each_foot(maker: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now)
    assert kinds(pair, "left") == kinds(pair, "right")


def test_a_part_on_one_foot_alone_gives_that_foot_alone_its_stage(maker: Person, now: datetime) -> None:
    carbon = {"carbon_zone": {"plies": 5, "ends_before_toe_mm": 12, "overlap_on_shank_mm": 30}}
    pair = factory.make_pair(by=maker, at=now, right=carbon)
    assert set(kinds(pair, "right")) - set(kinds(pair, "left")) == {"carbon"}


def test_a_single_shoe_has_no_stage_of_the_other_foot(maker: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now, feet="right")
    assert (kinds(pair, "left"), len(kinds(pair, "right")) > 0) == ([], True)


def test_the_promised_day_is_put_on_record_as_the_first_promise(maker: Person, now: datetime) -> None:
    day = timezone.localdate(now) + timedelta(days=40)
    pair = factory.make_pair(by=maker, at=now, promised_day=day)
    assert list(Promise.objects.filter(pair=pair).values_list("day", "reason")) == [(day, "first promise")]


def test_a_pair_is_not_opened_from_a_draft(maker: Person, now: datetime) -> None:
    factory.load_starting_values()
    with pytest.raises(Refused, match="signed prescription"):
        actions.open_pair(make_prescription(), promised_day=now.date(), by=maker, at=now)


def test_a_pair_is_not_promised_for_a_day_that_is_past(maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="already past"):
        factory.make_pair(by=maker, at=now, promised_day=now.date() - timedelta(days=1))


def test_a_prescription_has_one_pair_on_the_bench_at_a_time(maker: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now)
    with pytest.raises(Refused, match=f"Pair {pair.number} is already on the bench"):
        factory.make_pair(by=maker, at=now, prescription=pair.working_to)


def test_pairs_are_numbered_one_after_the_other(maker: Person, now: datetime) -> None:
    first, second = factory.make_pair(by=maker, at=now), factory.make_pair(by=maker, at=now)
    assert second.number == first.number + 1


def test_the_workshops_own_minutes_and_hours_are_planned(maker: Person, now: datetime) -> None:
    factory.load_starting_values()
    with acting(by=maker, action="change_stage_kind", says="Changed.", at=now):
        StageKind.objects.filter(key="close").update(minutes=240, hours_after=Decimal(3))
    stage = factory.stage(factory.make_pair(by=maker, at=now), "close")
    assert (stage.minutes, stage.hours_after) == (120, Decimal(3))


def test_starting_values_are_loaded_once_and_leave_alone_what_the_workshop_changed(
    maker: Person, now: datetime
) -> None:
    starting_values.load(at=now)
    with acting(by=maker, action="change_stage_kind", says="Changed.", at=now):
        StageKind.objects.filter(key="close").update(minutes=240)
    starting_values.load(at=now)
    assert StageKind.objects.count() == len(TABLE)
    assert StageKindAfter.objects.count() == sum(len(row.needs) for row in TABLE)
    assert StageKind.objects.get(key="close").minutes == 240


def test_another_promised_day_keeps_the_first_on_record(manager: Person, maker: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now)
    later = pair.promised_day + timedelta(days=7)
    actions.promise_again(pair, day=later, reason="leather came late", by=manager, at=now)
    pair.refresh_from_db()
    assert pair.promised_day == later
    assert list(Promise.objects.filter(pair=pair).order_by("pk").values_list("reason", flat=True)) == [
        "first promise",
        "leather came late",
    ]


def test_another_promised_day_says_why(manager: Person, maker: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now)
    with pytest.raises(Refused, match="why"):
        actions.promise_again(pair, day=pair.promised_day + timedelta(days=7), reason=" ", by=manager, at=now)


# Repeats


@pytest.fixture
def worn(maker: Person, now: datetime) -> Pair:
    """A pair, built on the client's own lasts, that went home."""
    patient = make_patient()
    pair = factory.make_pair(
        by=maker,
        at=now,
        patient=patient,
        left_last=make_last(owner=patient, side="left"),
        right_last=make_last(owner=patient, side="right"),
    )
    factory.bring_to_the_end(pair, by=maker, at=now)
    actions.hand_over_pair(pair, by=maker, at=now)
    return pair


def day_from(now: datetime, days: int = 35) -> date:
    return timezone.localdate(now) + timedelta(days=days)


def test_a_repeat_is_copied_signed_and_opened_in_one_action(worn: Pair, clinician: Person, now: datetime) -> None:
    again = actions.repeat_pair(worn, promised_day=day_from(now), by=clinician, at=now)
    assert again.working_to is not None
    assert worn.working_to is not None
    assert (again.kind, again.repeat_of, again.working_to.work, again.working_to.status) == (
        "repeat",
        worn,
        "repeat",
        "signed",
    )
    assert again.working_to.number != worn.working_to.number


def test_a_repeat_measures_the_last_and_does_not_alter_it(worn: Pair, clinician: Person, now: datetime) -> None:
    again = actions.repeat_pair(worn, promised_day=day_from(now), by=clinician, at=now)
    assert kinds(again)[:2] == ["gather", "measure-last"]


def test_a_repeat_is_signed_only_by_who_may_prescribe(worn: Pair, maker: Person, now: datetime) -> None:
    with pytest.raises(NotAllowed):
        actions.repeat_pair(worn, promised_day=day_from(now), by=maker, at=now)


@pytest.mark.parametrize(
    ("days_since_the_visit", "fittings"), [(30, 0), (364, 0), (366, 1)], ids=["seen", "just", "long ago"]
)
def test_a_repeat_is_fitted_where_the_client_was_not_seen_for_a_year(
    worn: Pair, clinician: Person, now: datetime, days_since_the_visit: int, fittings: int
) -> None:
    make_visit(starts_at=now - timedelta(days=days_since_the_visit), patient=worn.patient, status=VisitStatus.DONE)
    again = actions.repeat_pair(worn, promised_day=day_from(now), by=clinician, at=now)
    assert kinds(again).count("rough-fitting") == fittings


def test_a_repeat_is_fitted_where_swelling_was_found_since(worn: Pair, clinician: Person, now: datetime) -> None:
    make_visit(starts_at=now - timedelta(days=1), patient=worn.patient, status=VisitStatus.DONE)
    make_finding(patient=worn.patient, condition="oedema", side=Side.LEFT, found_on=now.date() + timedelta(days=1))
    again = actions.repeat_pair(worn, promised_day=day_from(now), by=clinician, at=now)
    assert "rough-fitting" in kinds(again)


def test_an_adaptation_is_not_made_again_as_a_repeat(maker: Person, clinician: Person, now: datetime) -> None:
    bare = {"sole": None, "heel": None, "insole": None, "toe_puff": None, "upper": None}
    pair = factory.make_pair(by=maker, at=now, work="adaptation", both=bare)
    with pytest.raises(Refused, match="built on a last"):
        actions.repeat_pair(pair, promised_day=day_from(now), by=clinician, at=now)


# Adaptations and repairs


def test_an_adaptation_opens_the_quarter_alone_where_only_the_stiffener_is_altered(
    maker: Person, now: datetime
) -> None:
    bare = {"sole": None, "heel": None, "insole": None, "toe_puff": None, "upper": None}
    pair = factory.make_pair(by=maker, at=now, work="adaptation", feet="right", right=bare)
    assert kinds(pair, "right") == [
        "adapt-take-in",
        "adapt-open-quarter",
        "adapt-record-found",
        "adapt-stiffener",
        "adapt-restitch",
        "adapt-finish",
        "adapt-final-check",
    ]


def test_every_kind_of_work_can_be_done_to_the_end(maker: Person, now: datetime) -> None:
    bare = {"sole": None, "heel": None, "insole": None, "toe_puff": None, "upper": None}
    pair = factory.make_pair(by=maker, at=now, work="adaptation", both=bare)
    factory.bring_to_the_end(pair, by=maker, at=now)
    pair.refresh_from_db()
    assert pair.state == PairState.FINISHED


def test_a_repair_has_no_prescription_and_checks_the_heights_it_must_restore(maker: Person, now: datetime) -> None:
    factory.load_starting_values()
    pair = actions.open_repair(
        make_patient(),
        description="resole, raise 20 mm kept",
        feet="both",
        promised_day=now.date(),
        heights_to_restore={Side.LEFT: "heel 20, ball 16, toe 8 mm"},
        by=maker,
        at=now,
    )
    asked = CoverRequirement.objects.filter(stage__pair=pair).order_by("stage__order")
    assert (pair.working_to, list(asked.values_list("side", "stage__kind__key"))) == (
        None,
        [("left", "repair-lift"), ("left", "repair-final-check")],
    )


@pytest.mark.parametrize("jobs", [[], ["paint it"]])
def test_a_repair_says_what_is_to_be_done(maker: Person, now: datetime, jobs: list[str]) -> None:
    factory.load_starting_values()
    with pytest.raises(Refused, match="what is to be repaired"):
        actions.open_repair(
            make_patient(), description="x", feet="both", promised_day=now.date(), jobs=jobs, by=maker, at=now
        )


def test_the_story_of_a_pair_begins_with_its_opening(maker: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now, promised_day=now.date())
    deed = Deed.objects.get(pair_uuid=pair.uuid)
    day = f"{now:%a} {now.day} {now:%b %Y}"
    assert (deed.says, deed.patient_uuid) == (
        f"Opened pair {pair.number}: new pair, promised {day}.",
        pair.patient.uuid,
    )


def test_a_visit_is_said_to_be_about_a_pair_once(maker: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now, prescription=make_signed_prescription())
    visit = make_visit(starts_at=now, patient=pair.patient, kind="rough-fitting")
    first = actions.link_visit(pair, visit, by=maker, at=now)
    assert actions.link_visit(pair, visit, by=maker, at=now) == first


def test_a_repair_is_described(maker: Person, now: datetime) -> None:
    factory.load_starting_values()
    with pytest.raises(Refused, match="in a few words"):
        actions.open_repair(make_patient(), description=" ", feet="both", promised_day=now.date(), by=maker, at=now)


def test_the_same_day_is_not_promised_again(manager: Person, maker: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now)
    with pytest.raises(Refused, match="already the promised day"):
        actions.promise_again(pair, day=pair.promised_day, reason="said so", by=manager, at=now)


def test_a_visit_about_one_pair_is_not_about_another(maker: Person, now: datetime) -> None:
    patient = make_patient()
    pair, other = (factory.make_pair(by=maker, at=now, patient=patient) for _ in range(2))
    visit = make_visit(starts_at=now, patient=patient, kind="rough-fitting")
    actions.link_visit(pair, visit, by=maker, at=now)
    with pytest.raises(Refused, match="another pair"):
        actions.link_visit(other, visit, by=maker, at=now)


def test_a_visit_of_another_client_is_not_about_this_pair(maker: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now)
    with pytest.raises(Refused, match="another client"):
        actions.link_visit(pair, make_visit(starts_at=now), by=maker, at=now)


def test_a_pair_whose_table_closes_in_no_such_part_is_refused_in_words(maker: Person, now: datetime) -> None:
    pair = factory.make_pair(by=maker, at=now)
    plans = [planning.FootPlan(side="left", words={"carbon": (("plies", "5"),)}, features=frozenset())]
    uncovered = tuple(replace(row, covers=()) for row in queries.workshop_table(on=now.date()))
    with pytest.raises(Refused, match="No stage of this new covers carbon"):
        planning.plan(pair, plans, construction="cemented", table=uncovered)


def test_words_of_a_part_that_the_table_does_not_know_are_a_defect() -> None:
    unknown = PartInWords("horn", "Horn", (("length", "3 mm"),))
    foot = FootInWords(side="left", visible=(), closed_in=(unknown,), underfoot=())
    with pytest.raises(UnknownPart, match="horn"):
        words_of_parts(foot)
