"""Two people tick the same stage: one tick, and the second is told who and when."""

import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime
from decimal import Decimal
from threading import Barrier

import pytest
from django.db import IntegrityError, connection, transaction

from cases.bench import actions
from cases.bench.models import CoverCheck, Pair, Stage
from shared.history import acting
from shared.models import Deed
from shared.refusals import Refused
from tests.concurrency.racing import constraint_of
from tests.factories import bench as factory
from tests.factories.staff import make_person
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db(transaction=True)

AT_ONCE = 8


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return factory.make_pair(by=maker, at=now)


@pytest.fixture
def makers(transactional_db: None) -> list[Person]:
    return [make_person(name=f"Maker {letter}", roles=["maker"]) for letter in "ABCDEFGH"]


@pytest.fixture
def without_its_guard(transactional_db: None) -> Iterator[None]:
    """Stages whose ticks the database does not look at."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT tgname FROM pg_trigger WHERE tgrelid = 'bench_stage'::regclass AND tgname LIKE %s",
            ["pgtrigger_stage_moves_by_its_rules_%"],
        )
        ((name,),) = cursor.fetchall()
        cursor.execute(f'ALTER TABLE bench_stage DISABLE TRIGGER "{name}"')
    yield
    with connection.cursor() as cursor:
        cursor.execute(f'ALTER TABLE bench_stage ENABLE TRIGGER "{name}"')


def look_then_tick(stage: Stage, by: Person, at: datetime, together: Barrier) -> str:
    """A tick as it would be written without a thought: look whether it is ticked, then tick it."""
    try:
        with transaction.atomic():
            unticked = Stage.objects.filter(pk=stage.pk, ticked_at__isnull=True).exists()
            together.wait()
            if not unticked:
                return "told"
            with acting(by=by, action="tick", says="Ticked.", at=at):
                Stage.objects.filter(pk=stage.pk).update(ticked_at=at, ticked_by=by)
    except IntegrityError as error:
        return constraint_of(error)
    else:
        return "ticked"
    finally:
        connection.close()


def all_at_once(stage: Stage, makers: list[Person], at: datetime) -> list[str]:
    together = Barrier(len(makers))
    with ThreadPoolExecutor(len(makers)) as pool:
        return sorted(pool.map(lambda maker: look_then_tick(stage, maker, at, together), makers))


def test_without_its_guard_everybody_ticks_the_same_stage(
    without_its_guard: None, pair: Pair, makers: list[Person], now: datetime
) -> None:
    assert all_at_once(factory.stage(pair, "gather"), makers, now).count("ticked") > 1


def test_the_database_lets_one_tick_stand(pair: Pair, makers: list[Person], now: datetime) -> None:
    assert all_at_once(factory.stage(pair, "gather"), makers, now) == [
        *["a_tick_is_taken_back_not_changed"] * (AT_ONCE - 1),
        "ticked",
    ]


def test_one_ticks_and_everybody_else_is_told_who_and_when(pair: Pair, makers: list[Person], now: datetime) -> None:
    stages = factory.stages(pair, "gather")
    together = Barrier(AT_ONCE)

    def tick(maker: Person) -> str:
        together.wait()
        try:
            actions.tick_stages(pair, stages=stages, by=maker, at=now)
        except actions.AlreadyTicked as told:
            return told.message
        else:
            return "ticked"
        finally:
            connection.close()

    with ThreadPoolExecutor(AT_ONCE) as pool:
        answers = list(pool.map(tick, makers))
    first = Stage.objects.select_related("ticked_by").get(pk=stages[0].pk).ticked_by
    assert first is not None
    told = (
        f"'Gather last, cast, card and materials', LEFT and RIGHT, was already ticked by {first.name}, "
        f"{now:%a} {now.day} {now:%b} at 10:00."
    )
    assert sorted(answers) == sorted(["ticked", *[told] * (AT_ONCE - 1)])
    assert Deed.objects.filter(action="tick_stages").count() == 1


def test_a_check_touched_by_several_is_recorded_once(pair: Pair, makers: list[Person], now: datetime) -> None:
    factory.bring_to(pair, "last-backs", by=makers[0], at=now)
    asked = factory.requirement(pair, "stiffener")
    together = Barrier(AT_ONCE)

    def check(maker: Person) -> str:
        together.wait()
        try:
            actions.record_check(asked, outcome="as prescribed", by=maker, at=now)
        except Refused as told:
            return told.message.split(" by ")[0]
        else:
            return "recorded"
        finally:
            connection.close()

    with ThreadPoolExecutor(AT_ONCE) as pool:
        answers = sorted(pool.map(check, makers))
    already = "placed check of stiffener, LEFT: already recorded"
    assert answers == [*[already] * (AT_ONCE - 1), "recorded"]
    assert CoverCheck.objects.filter(requirement=asked).count() == 1


def test_of_several_who_measure_the_same_part_one_figure_stands_and_nobody_mixes_into_it(
    pair: Pair, makers: list[Person], now: datetime
) -> None:
    factory.bring_to(pair, "cut-stiffeners", by=makers[0], at=now)
    asked = factory.requirement(pair, "stiffener", "part")
    together = Barrier(AT_ONCE)

    def measure(number: int) -> str:
        figures = dict.fromkeys(factory.as_asked(asked), Decimal(300 + number))
        together.wait()
        try:
            actions.record_found([actions.Found(asked, "", figures)], by=makers[number], at=now)
        except Refused:
            return "told"
        else:
            return str(300 + number)
        finally:
            connection.close()

    with ThreadPoolExecutor(AT_ONCE) as pool:
        answers = sorted(pool.map(measure, range(AT_ONCE)))
    stands = CoverCheck.objects.select_related("difference", "by").get(requirement=asked)
    assert answers == [answers[0], *["told"] * (AT_ONCE - 1)]
    assert stands.measured == dict.fromkeys(factory.as_asked(asked), answers[0])
    assert (stands.difference.raised_by, stands.difference.found) == (stands.by, stands.found)


def test_makers_at_one_pair_never_lock_each_other_out(pair: Pair, makers: list[Person], now: datetime) -> None:
    """Ticks, checks and beginnings of one pair take its row first, so that nobody waits in a ring."""
    factory.bring_to(pair, "last-backs", by=makers[0], at=now)
    both = [factory.requirement(pair, "stiffener", side=side) for side in ("left", "right")]
    works = [
        lambda by: actions.record_check(both[0], outcome="as prescribed", by=by, at=now),
        lambda by: actions.record_check(both[1], outcome="differs", found="10 mm short", by=by, at=now),
        lambda by: actions.tick_stages(pair, stages=factory.stages(pair, "last-backs"), by=by, at=now),
        lambda by: actions.begin_stages(pair, stages=factory.stages(pair, "last-backs", "left"), by=by, at=now),
    ] * 2
    together = Barrier(len(works))

    def work(number: int) -> str:
        together.wait()
        time.sleep(0.002 * number)
        try:
            works[number](makers[number])
        except Refused:
            return "refused in words"
        else:
            return "done"
        finally:
            connection.close()

    with ThreadPoolExecutor(len(works)) as pool:
        answers = list(pool.map(work, range(len(works))))
    assert set(answers) <= {"done", "refused in words"}
    assert answers.count("done") >= 2
