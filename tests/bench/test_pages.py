"""The bench's pages: who may open them and what they say."""

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone
from pytest_django import DjangoAssertNumQueries

from cases.bench import queries
from cases.bench.models import Pair
from tests.conftest import Browserless
from tests.factories import bench as factory
from tests.factories.patients import make_allergy, make_patient
from tests.page_queries.bench_pages import PAIR_BENCH
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

SignedIn = Callable[[Person], Browserless]


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return factory.make_pair(by=maker, at=now)


@pytest.mark.parametrize("stage", ["gather", "filler", "final-check"])
def test_the_page_of_a_pair_asks_the_same_number_of_queries_anywhere_on_its_route(
    *,
    signed_in: SignedIn,
    maker: Person,
    now: datetime,
    pair: Pair,
    stage: str,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    factory.bring_to(pair, stage, by=maker, at=now)
    client = signed_in(maker)
    with django_assert_num_queries(PAIR_BENCH.queries):
        client.get(reverse("pair-bench", args=[pair.uuid]))


def test_jobs_stand_in_the_order_of_their_promised_days(signed_in: SignedIn, maker: Person, now: datetime) -> None:
    days = [30, 10, 20]
    pairs = [
        factory.make_pair(by=maker, at=now, promised_day=timezone.localdate(now) + timedelta(days=day)) for day in days
    ]
    board = signed_in(maker).get(reverse("my-bench")).context["board"]
    assert [job.pair for job in board.jobs] == [pairs[1], pairs[2], pairs[0]]


def test_the_bench_shows_initials_and_record_number_and_no_name(signed_in: SignedIn, maker: Person) -> None:
    patient = make_patient(given_names="Paula Ruth", family_name="Invented")
    pair = factory.make_pair(by=maker, at=timezone.now(), patient=patient)
    for address in (reverse("my-bench"), reverse("pair-bench", args=[pair.uuid])):
        page = signed_in(maker).get(address).content.decode()
        assert ("PRI" in page, patient.record_number in page, "Invented" in page) == (True, True, False)


def test_an_allergy_stands_on_the_page_of_the_pair(signed_in: SignedIn, maker: Person, pair: Pair) -> None:
    make_allergy(pair.patient, substance="colophony")
    assert b"colophony" in signed_in(maker).get(reverse("pair-bench", args=[pair.uuid])).content


def test_what_dries_says_until_when(maker: Person, pair: Pair) -> None:
    at = timezone.now()
    factory.bring_to(pair, "last-linings", by=maker, at=at)
    assert [(row.kind.key, row.feet, row.until) for row in queries.drying_now(at)] == [
        ("last-backs", "LEFT and RIGHT", at + timedelta(hours=36))
    ]


def test_what_was_felt_dry_no_longer_dries(maker: Person, pair: Pair) -> None:
    at = timezone.now()
    factory.bring_to(pair, "trim-margin", by=maker, at=at)
    assert queries.drying_now(at) == []


def test_what_may_come_off_the_last_is_shown_after_seven_days(maker: Person, pair: Pair) -> None:
    at = timezone.now()
    factory.bring_to(pair, "slip-last", by=maker, at=at)
    early, late = (queries.bench_of(now=at + timedelta(days=days)).off_the_last for days in (6, 7))
    assert (early, [step.pair for step in late]) == ((), [pair])


def test_leather_to_soak_is_shown(maker: Person, pair: Pair) -> None:
    at = timezone.now()
    factory.bring_to(pair, "soak", by=maker, at=at)
    later = at + timedelta(hours=12)
    assert [step.pair for step in queries.bench_of(now=later).to_soak] == [pair]


def test_one_bench_shows_only_what_is_done_there(maker: Person, pair: Pair) -> None:
    at = timezone.now()
    factory.bring_to(pair, "patterns", by=maker, at=at)
    steps = queries.bench_of(bench="pattern", now=at).jobs[0].steps
    assert ([step.kind.key for step in steps], queries.bench_of(bench="resin", now=at).jobs) == (["patterns"], ())


@pytest.mark.parametrize("scanned", ["{number}", "{uuid}", "http://127.0.0.1:8000/pairs/{uuid}/"])
def test_a_scanned_card_opens_its_pair(signed_in: SignedIn, maker: Person, pair: Pair, scanned: str) -> None:
    text = scanned.format(number=pair.number, uuid=pair.uuid)
    answer = signed_in(maker).get(reverse("my-bench"), {"find": text})
    assert (answer.status_code, answer.headers["Location"]) == (303, reverse("pair-bench", args=[pair.uuid]))


@pytest.mark.parametrize("text", ["987654321", "99999999999999999999999", "no such thing", "²"])
def test_an_unknown_number_is_said_to_be_unknown(signed_in: SignedIn, maker: Person, text: str) -> None:
    answer = signed_in(maker).get(reverse("my-bench"), {"find": text})
    assert (answer.status_code, "No pair is known by" in answer.content.decode()) == (200, True)


def test_late_pairs_stand_the_worst_first_and_say_whom_they_wait_for(
    maker: Person, clinician: Person, now: datetime
) -> None:
    today = timezone.localdate(now)
    waiting = factory.make_pair(by=maker, at=now, promised_day=today + timedelta(days=2))
    factory.bring_to(waiting, "cut-stiffeners", by=maker, at=now)
    asked = factory.requirement(waiting, "stiffener", "part")
    factory.differ(asked, "10 mm short", by=maker, at=now)
    fitting = factory.make_pair(by=maker, at=now, promised_day=today)
    factory.bring_to(fitting, "rough-fitting", by=maker, at=now)
    late = queries.late_pairs(today + timedelta(days=9))
    assert [(row.pair, row.days_late, row.stands_at, row.waits_for) for row in late] == [
        (fitting, 9, "Clinic", "the client: rough fitting on the client, before the sole"),
        (waiting, 7, "Bottom bench", "the clinician: a difference"),
    ]


def test_a_pair_promised_for_today_is_not_late(maker: Person, now: datetime) -> None:
    factory.make_pair(by=maker, at=now, promised_day=now.date())
    assert queries.late_pairs(now.date()) == []
