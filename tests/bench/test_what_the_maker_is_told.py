"""What the bench's pages tell a maker without being asked: what waits and why, what was answered, what was done last."""

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.bench import actions, queries
from cases.bench.models import CoverCheck, Pair, Stage
from cases.diary.actions import ask_for_call
from cases.diary.models import VisitKind
from tests.conftest import Browserless
from tests.factories import bench as factory
from tests.factories.terminals import make_terminal
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

SignedIn = Callable[[Person], Browserless]


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return factory.make_pair(by=maker, at=now)


@pytest.fixture
def page_of(signed_in: SignedIn, maker: Person) -> Callable[[Pair], str]:
    def page(pair: Pair) -> str:
        return signed_in(maker).get(reverse("pair-bench", args=[pair.uuid])).content.decode()

    return page


@pytest.fixture
def differs(pair: Pair, maker: Person, now: datetime) -> Callable[..., CoverCheck]:
    """Finds, on LEFT, that the stiffener differs: as it is cut ("part"), or as it is put in ("placed")."""

    def find(moment: str) -> CoverCheck:
        factory.bring_to(pair, "cut-stiffeners" if moment == "part" else "last-backs", by=maker, at=now)
        asked = factory.requirement(pair, "stiffener", moment)
        return factory.differ(asked, "10 mm short", by=maker, at=now)

    return find


# A difference: what it holds, and how its answer comes back


@pytest.mark.parametrize(
    ("moment", "held"),
    [
        ("part", "The LEFT part does not go in until it is answered."),
        ("placed", "Work may go on; filler and sole wait until it is answered."),
    ],
)
def test_a_difference_says_what_waits_for_its_answer(
    page_of: Callable[[Pair], str], differs: Callable[..., CoverCheck], pair: Pair, moment: str, held: str
) -> None:
    differs(moment)
    assert page_of(pair).count(held) == 1


def test_a_foot_that_cannot_be_ticked_says_what_it_waits_for(
    page_of: Callable[[Pair], str], differs: Callable[..., CoverCheck], pair: Pair, maker: Person, now: datetime
) -> None:
    differs("part")
    puff = factory.requirement(pair, "toe_puff", "part")
    actions.record_check(puff, outcome="as prescribed", by=maker, at=now)
    page = page_of(pair)
    told = ("LEFT: what differs waits for its answer first.", "RIGHT: record its checks above first.")
    assert [page.count(words) for words in told] == [1, 1]


def test_a_foot_that_is_not_so_far_says_what_comes_first(
    page_of: Callable[[Pair], str], pair: Pair, maker: Person, now: datetime
) -> None:
    factory.bring_to(pair, "cut-stiffeners", by=maker, at=now)
    for part in ("stiffener", "toe_puff"):
        asked = factory.requirement(pair, part, "part")
        factory.hold(asked, by=maker, at=now)
    actions.tick_stages(pair, stages=factory.stages(pair, "cut-stiffeners", "left"), by=maker, at=now, felt_dry=True)
    cut = Stage.objects.filter(pair=pair, kind__key="cut-stiffeners").values_list("kind__name", flat=True)[0]
    assert f"Not yet: first comes “{cut}”." in page_of(pair).replace("&#x27;", "'")


def test_an_answer_stands_on_the_page_of_its_pair_with_who_and_why(
    page_of: Callable[[Pair], str],
    differs: Callable[..., CoverCheck],
    pair: Pair,
    clinician: Person,
    now: datetime,
) -> None:
    check = differs("placed")
    actions.settle_difference(check.difference, state="accepted", because="this ankle is stiff", by=clinician, at=now)
    page = page_of(pair)
    told = ("LEFT stiffener: accepted as built.", "this ankle is stiff", f"{clinician.name}, ")
    assert [words in page for words in told] == [True, True, True]


def test_what_was_accepted_is_said_once_beside_the_check_that_found_it(
    page_of: Callable[[Pair], str], differs: Callable[..., CoverCheck], pair: Pair, clinician: Person, now: datetime
) -> None:
    check = differs("placed")
    actions.settle_difference(
        check.difference, state="accepted", because="no harm", by=clinician, at=now + timedelta(hours=1)
    )
    beside = page_of(pair).partition('<div class="part-check">')[2]
    assert beside.count("10 mm short") == 1


@pytest.mark.parametrize("state", ["accepted", "undone"])
def test_an_answer_is_told_on_my_bench_until_work_on_the_pair_has_gone_on(
    *, differs: Callable[..., CoverCheck], pair: Pair, maker: Person, clinician: Person, now: datetime, state: str
) -> None:
    check = differs("part")
    later = now + timedelta(hours=1)
    actions.settle_difference(check.difference, state=state, because="see me", by=clinician, at=later)
    told = [(job.open_differences, job.answered_differences) for job in queries.bench_of(now=later).jobs]
    for part in ("stiffener", "toe_puff"):
        asked = factory.requirement(pair, part, "part", side="right")
        factory.hold(asked, by=maker, at=later)
    later += timedelta(hours=1)
    right = factory.stages(pair, "cut-stiffeners", "right")
    actions.tick_stages(pair, stages=right, by=maker, at=later, felt_dry=True)
    afterwards = [(job.open_differences, job.answered_differences) for job in queries.bench_of(now=later).jobs]
    assert (told, afterwards) == ([(0, 1)], [(0, 0)])


def test_an_answer_from_before_the_last_tick_is_folded_away(
    differs: Callable[..., CoverCheck], pair: Pair, maker: Person, clinician: Person, now: datetime
) -> None:
    check = differs("placed")
    actions.settle_difference(check.difference, state="accepted", because="see me", by=clinician, at=now)
    later = now + timedelta(hours=1)
    actions.tick_stages(pair, stages=factory.stages(pair, "last-backs", "left"), by=maker, at=later, felt_dry=True)
    sheet = queries.pair_on_bench(pair, now=later)
    assert (sheet.answered_since, sheet.answered_before) == ((), (check.difference,))


def test_what_one_answers_oneself_is_no_news(
    differs: Callable[..., CoverCheck], pair: Pair, maker: Person, now: datetime
) -> None:
    check = differs("part")
    actions.settle_difference(check.difference, state="undone", by=maker, at=now + timedelta(hours=1))
    sheet = queries.pair_on_bench(pair, now=now)
    job = queries.bench_of(now=now).jobs[0]
    assert (sheet.answered_since, sheet.answered_before, job.answered_differences) == ((), (), 0)


# What was done last


def test_a_call_about_the_pair_does_not_hide_what_was_done_last_at_the_bench(
    pair: Pair, maker: Person, reception: Person, now: datetime
) -> None:
    actions.tick_stages(pair, stages=factory.stages(pair, "gather"), by=maker, at=now)
    ask_for_call(
        patient=pair.patient,
        why="to ask about the lining",
        kind=VisitKind.objects.get(key="alteration"),
        due_on=timezone.localdate(now),
        about_uuid=pair.uuid,
        by=reception,
        at=now,
    )
    last = queries.pair_on_bench(pair, now=now).last_deed
    assert (last and last.action) == "tick_stages"


# A terminal's own bench


def test_a_terminal_opens_on_the_work_of_its_own_bench(signed_in: SignedIn, maker: Person, pair: Pair) -> None:
    client = signed_in(maker)
    make_terminal(client)
    chosen = [client.get(reverse("my-bench"), asked).context["board"].chosen for asked in ({}, {"bench": ""})]
    assert chosen == ["lasting", ""]


def test_what_was_pasted_at_a_bench_dries_on_its_page_whatever_comes_next(maker: Person, pair: Pair) -> None:
    at = timezone.now()
    factory.bring_to(pair, "last-linings", by=maker, at=at)
    dries = {key: [row.kind.key for row in queries.bench_of(bench=key, now=at).drying] for key in ("lasting", "bottom")}
    assert dries == {"lasting": ["last-backs"], "bottom": []}


# Keying in a day


def test_what_cannot_be_keyed_in_names_its_pair_ticks_nothing_and_keeps_what_was_chosen(
    signed_in: SignedIn, maker: Person, pair: Pair, now: datetime
) -> None:
    other = factory.make_pair(by=maker, at=now)
    chosen = [",".join(str(stage.uuid) for stage in factory.stages(one, "gather")) for one in (pair, other)]
    actions.tick_stages(other, stages=factory.stages(other, "gather", "left"), by=maker, at=now)
    answer = signed_in(maker).post(reverse("catch-up"), {"stage": chosen})
    page = answer.content.decode()
    assert (answer.status_code, f"Pair {other.number}: " in page, f'value="{chosen[0]}" checked' in page) == (
        409,
        True,
        True,
    )
    assert Stage.objects.filter(ticked_at__isnull=False).count() == 1
