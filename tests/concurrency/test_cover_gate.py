"""The cover gate, the version gate and the hold before the sole, raced at two isolation levels.

Each race is first shown to exist: the same transactions, with the lock taken out of one guard.
"""

from contextlib import AbstractContextManager
from datetime import datetime
from functools import partial

import pytest

from cases.bench.models import CoverCheck, CoverRequirement, Difference, Outcome, Pair, Stage
from cases.prescriptions.models import Prescription
from shared.history import acting
from tests.concurrency.racing import (
    READ_COMMITTED,
    REPEATABLE_READ,
    SERIALIZATION_FAILURE,
    Run,
    at_once,
    without_locks,
)
from tests.factories import bench as factory
from tests.factories.base import setting_up
from tests.factories.prescriptions import make_prescription
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db(transaction=True)

RACES = 6
LEVELS = pytest.mark.parametrize("isolation", [READ_COMMITTED, REPEATABLE_READ])


def no_lock_on_the_stage() -> AbstractContextManager[None]:
    """A check that looks whether its stage is ticked, without taking the stage's row."""
    return without_locks(
        "check_locks_its_stage",
        "bench_covercheck",
        lock=r"UPDATE bench_stage SET checks_version = checks_version \+ 1 WHERE id = (\(SELECT[^)]*\))\s+RETURNING"
        r" (side, retired_at IS NOT NULL,\s+[^;]*?)\s+INTO ([^;]*);",
        instead=r"SELECT \2 INTO \3 FROM bench_stage WHERE id = \1;",
    )


def no_lock_on_the_pair() -> AbstractContextManager[None]:
    """A difference that is raised without taking the pair's row."""
    return without_locks(
        "difference_is_settled_once", "bench_difference", lock=r"UPDATE bench_pair SET[^;]*;", instead=""
    )


def no_lock_on_the_version() -> AbstractContextManager[None]:
    """A tick that looks whether its version is signed, without holding the version."""
    return without_locks(
        "stage_moves_by_its_rules", "bench_stage", lock=r"id = version_id FOR SHARE;", instead="id = version_id;"
    )


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return factory.make_pair(by=maker, at=now)


@pytest.fixture
def covering(pair: Pair, maker: Person, now: datetime) -> list[CoverCheck]:
    """Stages that cover a stiffener and wait for nothing but its check, which is made."""
    planned = factory.stage(pair, "last-backs")
    checks = []
    with setting_up():
        for race in range(RACES):
            stage = Stage.objects.create(
                pair=pair,
                kind=planned.kind,
                side="left",
                round=2 + race,
                order=planned.order,
                covers=["stiffener"],
                held_by_differences=True,
                asked_by=pair.working_to,
            )
            asked = CoverRequirement.objects.create(stage=stage, side="left", part="stiffener", moment="placed")
            checks.append(CoverCheck.objects.create(requirement=asked, outcome=Outcome.AS_PRESCRIBED, by=maker, at=now))
    return checks


def tick(stage: Stage, by: Person, at: datetime) -> None:
    with acting(by=by, action="tick", says="Ticked.", at=at):
        Stage.objects.filter(pk=stage.pk).update(ticked_at=at, ticked_by=by)


def withdraw(check: CoverCheck, by: Person, at: datetime) -> None:
    with acting(by=by, action="withdraw", says="Withdrew.", at=at):
        CoverCheck.objects.filter(pk=check.pk).update(withdrawn_at=at)


def raise_difference(stage: Stage, by: Person, at: datetime) -> None:
    with acting(by=by, action="differ", says="Differs.", at=at):
        Difference.objects.create(
            pair_id=stage.pair_id,
            side="left",
            part="stiffener",
            source="new version",
            stage=stage,
            found="longer",
            raised_at=at,
            raised_by=by,
        )


def covered_unchecked() -> int:
    """Stages that are ticked while no check of what they cover stands."""
    return (
        Stage.objects.filter(ticked_at__isnull=False, requirements__isnull=False)
        .exclude(requirements__checks__withdrawn_at__isnull=True)
        .count()
    )


def passed_each_other(runs: list[Run]) -> bool:
    """True where both are through, and the second was written while the first was not yet committed."""
    ticking, other = runs
    return ticking.is_through and other.is_through and other.changed_at < ticking.committing_at


def race_ticks_with_withdrawals(checks: list[CoverCheck], by: Person, at: datetime, isolation: str) -> list[list[Run]]:
    return [
        at_once(
            partial(tick, check.requirement.stage, by, at),
            partial(withdraw, check, by, at),
            isolation=isolation,
        )
        for check in checks
    ]


@LEVELS
def test_without_its_lock_a_check_is_withdrawn_while_its_part_is_covered(
    covering: list[CoverCheck], maker: Person, now: datetime, isolation: str
) -> None:
    with no_lock_on_the_stage():
        race_ticks_with_withdrawals(covering, maker, now, isolation)
    assert covered_unchecked() > 0


@LEVELS
def test_a_tick_and_the_withdrawal_of_its_check_never_both_come_through(
    covering: list[CoverCheck], maker: Person, now: datetime, isolation: str
) -> None:
    runs = race_ticks_with_withdrawals(covering, maker, now, isolation)
    assert covered_unchecked() == 0
    assert [sum(run.is_through for run in race) for race in runs] == [1] * RACES
    assert {run.refused for race in runs for run in race} <= {
        "",
        "a_part_is_checked_before_it_is_covered",
        "a_check_comes_before_the_cover",
        SERIALIZATION_FAILURE,
    }


def race_ticks_with_differences(checks: list[CoverCheck], by: Person, at: datetime, isolation: str) -> list[list[Run]]:
    found = []
    for check in checks:
        found.append(
            at_once(
                partial(tick, check.requirement.stage, by, at),
                partial(raise_difference, check.requirement.stage, by, at),
                isolation=isolation,
            )
        )
        _settle_all(by, at)
    return found


def _settle_all(by: Person, at: datetime) -> None:
    with setting_up():
        Difference.objects.filter(state="open").update(
            state="undone", settled_by=by, settled_at=at, settled_because="again"
        )
        # Undone and its stage put in anew: nothing of this race holds the next one.
        for difference in Difference.objects.filter(stage__retired_at__isnull=True).select_related("stage"):
            _put_in_anew(difference.stage, at)


def _put_in_anew(stage: Stage, at: datetime) -> None:
    again = Stage.objects.create(
        pair_id=stage.pair_id,
        kind_id=stage.kind_id,
        side=stage.side,
        round=stage.round + 100,
        order=stage.order,
        covers=stage.covers,
        asked_by_id=stage.asked_by_id,
    )
    for asked in stage.requirements.all():
        CoverRequirement.objects.create(stage=again, side=asked.side, part=asked.part, moment=asked.moment)
    Stage.objects.filter(pk=stage.pk).update(retired_at=at)


@LEVELS
def test_without_its_lock_a_difference_passes_the_tick_that_it_should_hold(
    covering: list[CoverCheck], maker: Person, now: datetime, isolation: str
) -> None:
    with no_lock_on_the_pair():
        runs = race_ticks_with_differences(covering, maker, now, isolation)
    assert sum(passed_each_other(race) for race in runs) > 0


@LEVELS
def test_a_difference_and_the_tick_that_it_holds_never_pass_each_other(
    covering: list[CoverCheck], maker: Person, now: datetime, isolation: str
) -> None:
    runs = race_ticks_with_differences(covering, maker, now, isolation)
    assert sum(passed_each_other(race) for race in runs) == 0
    assert {run.refused for race in runs for run in race} <= {
        "",
        "differences_are_settled_before_the_sole",
        SERIALIZATION_FAILURE,
    }


@pytest.fixture
def drafts(maker: Person, now: datetime) -> list[tuple[Pair, Prescription]]:
    """Pairs on the bench, and for each a next version that is about to be signed."""
    found = []
    for _ in range(RACES):
        pair = factory.make_pair(by=maker, at=now)
        old = pair.working_to
        assert old is not None
        draft = make_prescription(
            patient=old.patient,
            written_by=old.written_by,
            number=old.number,
            version_no=2,
            supersedes=old,
            reason="another reach",
        )
        found.append((pair, draft))
    return found


def sign(draft: Prescription, at: datetime) -> None:
    old = draft.supersedes
    assert old is not None
    with acting(by=draft.written_by, action="sign", says="Signed.", at=at):
        Prescription.objects.filter(pk=old.pk).update(status="superseded")
        Prescription.objects.filter(pk=draft.pk).update(status="signed", signed_by=draft.written_by, signed_at=at)


def race_ticks_with_signings(
    drafts: list[tuple[Pair, Prescription]], by: Person, at: datetime, isolation: str
) -> list[list[Run]]:
    return [
        at_once(
            partial(tick, factory.stage(pair, "gather"), by, at),
            partial(sign, draft, at),
            isolation=isolation,
        )
        for pair, draft in drafts
    ]


@LEVELS
def test_without_its_lock_a_tick_passes_the_signing_of_the_next_version(
    drafts: list[tuple[Pair, Prescription]], maker: Person, now: datetime, isolation: str
) -> None:
    with no_lock_on_the_version():
        runs = race_ticks_with_signings(drafts, maker, now, isolation)
    assert sum(passed_each_other(race) for race in runs) > 0


@LEVELS
def test_a_tick_and_the_signing_of_the_next_version_never_pass_each_other(
    drafts: list[tuple[Pair, Prescription]], maker: Person, now: datetime, isolation: str
) -> None:
    runs = race_ticks_with_signings(drafts, maker, now, isolation)
    assert sum(passed_each_other(race) for race in runs) == 0
    assert {run.refused for race in runs for run in race} <= {
        "",
        "bench_works_to_the_signed_version",
        SERIALIZATION_FAILURE,
    }
