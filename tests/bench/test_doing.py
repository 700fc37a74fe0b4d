"""What is done on the bench's pages: ticks, checks, differences, new versions."""

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.bench import actions, queries
from cases.bench.models import CoverCheck, Difference, DifferenceState, Pair, Stage
from cases.prescriptions.models import Prescription
from shared.models import Deed
from tests.bench.test_versions import LONGER, sign_next_version
from tests.conftest import Browserless
from tests.factories import bench as factory
from tests.factories.base import setting_up
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db
SignedIn = Callable[[Person], Browserless]


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return factory.make_pair(by=maker, at=now)


def post(client: Browserless, name: str, pair: Pair, **data: object) -> int:
    return int(client.post(reverse(name, args=[pair.uuid]), data).status_code)


def test_both_feet_are_ticked_by_one_button(signed_in: SignedIn, maker: Person, now: datetime, pair: Pair) -> None:
    stages = [str(stage.uuid) for stage in factory.stages(pair, "gather")]
    assert post(signed_in(maker), "stage-tick", pair, stage=stages, side="both") == 303
    assert Stage.objects.filter(pair=pair, kind__key="gather", ticked_by=maker).count() == 2


def test_one_foot_is_ticked_by_its_own_button(signed_in: SignedIn, maker: Person, pair: Pair) -> None:
    stages = [str(stage.uuid) for stage in factory.stages(pair, "gather")]
    post(signed_in(maker), "stage-tick", pair, stage=stages, side="right")
    assert list(Stage.objects.filter(pair=pair, ticked_by=maker).values_list("side", flat=True)) == ["right"]


def test_the_same_form_sent_twice_ticks_once_and_says_so_twice(signed_in: SignedIn, maker: Person, pair: Pair) -> None:
    client = signed_in(maker)
    entries = {
        "submission": "7b0d1c80-0000-4000-8000-000000000001",
        "side": "both",
        "stage": [str(stage.uuid) for stage in factory.stages(pair, "gather")],
    }
    answers = [client.post(reverse("stage-tick", args=[pair.uuid]), entries).status_code for _ in range(2)]
    assert (answers, Deed.objects.filter(pair_uuid=pair.uuid, action="tick_stages").count()) == ([303, 303], 1)


def test_a_refused_tick_is_said_in_a_sentence(signed_in: SignedIn, maker: Person, pair: Pair) -> None:
    stage = str(factory.stage(pair, "sole").uuid)
    answer = signed_in(maker).post(reverse("stage-tick", args=[pair.uuid]), {"stage": [stage]})
    assert (answer.status_code, "First comes" in answer.content.decode()) == (409, True)


@pytest.mark.parametrize(
    "entries",
    [
        {"stage": ["nonsense"]},
        {"stage": []},
        {"stage": ["00000000-0000-4000-8000-000000000000"]},
        {"side": "inside"},
        {"done_at": "yesterday"},
    ],
)
def test_a_broken_form_is_refused_and_nothing_is_ticked(
    signed_in: SignedIn, maker: Person, pair: Pair, entries: dict[str, object]
) -> None:
    stages = [str(stage.uuid) for stage in factory.stages(pair, "gather")]
    assert post(signed_in(maker), "stage-tick", pair, **{"stage": stages, **entries}) == 409
    assert Stage.objects.filter(ticked_at__isnull=False).count() == 0


def test_a_stage_of_another_pair_cannot_be_ticked_by_changing_the_address(
    signed_in: SignedIn, maker: Person, now: datetime, pair: Pair
) -> None:
    other = factory.make_pair(by=maker, at=now)
    stages = [str(stage.uuid) for stage in factory.stages(other, "gather")]
    assert post(signed_in(maker), "stage-tick", pair, stage=stages) == 409


def test_checks_of_both_feet_are_recorded_by_one_button(
    signed_in: SignedIn, maker: Person, now: datetime, pair: Pair
) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    asked = [str(factory.requirement(pair, "stiffener", side=side).uuid) for side in ("left", "right")]
    assert post(signed_in(maker), "check-record", pair, check=asked, outcome="as prescribed") == 303
    assert CoverCheck.objects.filter(requirement__uuid__in=asked, by=maker).count() == 2


def test_a_difference_is_raised_accepted_and_gone_from_the_list(
    signed_in: SignedIn, maker: Person, clinician: Person, now: datetime, pair: Pair
) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    asked = str(factory.requirement(pair, "stiffener").uuid)
    post(signed_in(maker), "check-record", pair, check=[asked], outcome="differs", found="10 mm short")
    difference = Difference.objects.get()
    entries = {"state": "accepted", "because": "no harm to this ankle", "here": "1"}
    answer = signed_in(clinician).post(reverse("difference-settle", args=[difference.uuid]), entries)
    assert answer.headers["Location"] == reverse("differences")
    assert list(queries.open_differences()) == []


def test_a_maker_who_sends_an_acceptance_is_refused(
    signed_in: SignedIn, maker: Person, now: datetime, pair: Pair
) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    actions.record_check(
        factory.requirement(pair, "stiffener"), outcome="differs", found="10 mm short", by=maker, at=now
    )
    difference = Difference.objects.get()
    entries = {"state": "accepted", "because": "looks fine to me"}
    answer = signed_in(maker).post(reverse("difference-settle", args=[difference.uuid]), entries)
    difference.refresh_from_db()
    assert (answer.status_code, difference.state) == (403, DifferenceState.OPEN)


def test_the_new_version_is_shown_in_words_and_taken_up_in_one_touch(
    signed_in: SignedIn, maker: Person, pair: Pair
) -> None:
    newer = sign_next_version(pair, left=LONGER)
    client = signed_in(maker)
    page = client.get(reverse("pair-bench", args=[pair.uuid])).content.decode()
    assert ("long, 180 mm" in page, "medium, 130 mm" in page, "found otherwise" in page) == (True, True, True)
    assert post(client, "version-take-up", pair) == 303
    pair.refresh_from_db()
    assert pair.working_to_id == newer.pk


def test_a_day_at_the_bench_is_keyed_in_at_once_with_the_time_it_was_done(
    signed_in: SignedIn, maker: Person, pair: Pair
) -> None:
    at = timezone.now()
    other = factory.make_pair(by=maker, at=at)
    done = timezone.localtime(at) - timedelta(hours=3)
    chosen = [",".join(str(stage.uuid) for stage in factory.stages(one, "gather")) for one in (pair, other)]
    answer = signed_in(maker).post(reverse("catch-up"), {"stage": chosen, "done_at": done.strftime("%Y-%m-%dT%H:%M")})
    assert answer.status_code == 303
    times = Stage.objects.filter(kind__key="gather").values_list("ticked_at", flat=True)
    assert set(times) == {done.replace(second=0, microsecond=0)}


def test_a_clinician_reads_the_bench_and_ticks_nothing(signed_in: SignedIn, clinician: Person, pair: Pair) -> None:
    client = signed_in(clinician)
    assert client.get(reverse("pair-bench", args=[pair.uuid])).status_code == 200
    stages = [str(stage.uuid) for stage in factory.stages(pair, "gather")]
    assert post(client, "stage-tick", pair, stage=stages) == 403


@pytest.mark.parametrize("name", ["my-bench", "catch-up", "differences"])
def test_reception_has_no_bench(signed_in: SignedIn, reception: Person, name: str) -> None:
    assert signed_in(reception).get(reverse(name)).status_code == 403


def test_an_unknown_pair_is_not_found(signed_in: SignedIn, maker: Person) -> None:
    address = reverse("pair-bench", args=["00000000-0000-4000-8000-000000000000"])
    assert signed_in(maker).get(address).status_code == 404


def test_a_fragment_holds_the_bench_alone(signed_in: SignedIn, maker: Person, pair: Pair) -> None:
    headers = {"HX-Request": "true", "HX-Target": "bench"}
    page = signed_in(maker).get(reverse("pair-bench", args=[pair.uuid]), headers=headers).content.decode()
    assert (page.lstrip().startswith('<div id="bench">'), "<html" in page) == (True, False)


def test_a_stage_is_begun_and_taken_back_on_its_page(signed_in: SignedIn, maker: Person, pair: Pair) -> None:
    client, stages = signed_in(maker), [str(stage.uuid) for stage in factory.stages(pair, "gather")]
    assert post(client, "stage-begin", pair, stage=stages) == 303
    assert post(client, "stage-take-back", pair, stage=stages, reason="wrong pair") == 303
    assert Stage.objects.filter(pair=pair, begun_at__isnull=False).count() == 0


def test_a_check_is_made_again_from_its_page(signed_in: SignedIn, maker: Person, now: datetime, pair: Pair) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    asked = [str(factory.requirement(pair, "stiffener").uuid)]
    client = signed_in(maker)
    post(client, "check-record", pair, check=asked, outcome="as prescribed")
    answers = [post(client, "check-withdraw", pair, check=asked) for _ in range(2)]
    assert answers == [303, 409]


@pytest.mark.parametrize(
    ("name", "entries"),
    [
        ("check-record", {"outcome": "perhaps"}),
        ("check-record", {"outcome": "as prescribed", "check": ["00000000-0000-4000-8000-000000000000"]}),
        ("version-take-up", {}),
    ],
)
def test_what_makes_no_sense_is_refused_in_words(
    signed_in: SignedIn, maker: Person, pair: Pair, name: str, entries: dict[str, object]
) -> None:
    assert post(signed_in(maker), name, pair, **entries) == 409


def test_more_stages_than_any_bench_has_are_refused(signed_in: SignedIn, maker: Person) -> None:
    stages = [f"00000000-0000-4000-8000-{number:012}" for number in range(501)]
    assert signed_in(maker).post(reverse("catch-up"), {"stage": stages}).status_code == 409


@pytest.mark.parametrize(("entries", "status"), [({}, 409), ({"done_at": "yesterday"}, 422)])
def test_a_catch_up_without_stages_or_with_no_time_changes_nothing(
    signed_in: SignedIn, maker: Person, pair: Pair, entries: dict[str, str], status: int
) -> None:
    assert signed_in(maker).post(reverse("catch-up"), entries).status_code == status


def test_a_difference_is_accepted_or_undone_and_nothing_else(
    signed_in: SignedIn, clinician: Person, maker: Person, now: datetime, pair: Pair
) -> None:
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    asked = factory.requirement(pair, "stiffener")
    actions.record_check(asked, outcome="differs", found="10 mm short", by=maker, at=now)
    address = reverse("difference-settle", args=[Difference.objects.get().uuid])
    client = signed_in(clinician)
    assert client.post(address, {"state": "forgotten"}).status_code == 409
    assert client.post(address, {"state": "undone"}).headers["Location"] == reverse("pair-bench", args=[pair.uuid])


def test_an_unknown_difference_is_not_found(signed_in: SignedIn, clinician: Person) -> None:
    address = reverse("difference-settle", args=["00000000-0000-4000-8000-000000000000"])
    assert signed_in(clinician).post(address, {"state": "undone"}).status_code == 404


def test_a_late_pair_waits_for_its_fitting_its_new_version_or_the_clinician(maker: Person, now: datetime) -> None:
    finished, older, withdrawn = (factory.make_pair(by=maker, at=now, promised_day=now.date()) for _ in range(3))
    factory.bring_to_the_end(finished, by=maker, at=now)
    sign_next_version(older, left=LONGER)
    assert withdrawn.working_to is not None
    with setting_up():
        Prescription.objects.filter(pk=withdrawn.working_to.pk).update(status="withdrawn")
    late = queries.late_pairs(now.date() + timedelta(days=1))
    assert {row.pair: row.waits_for for row in late} == {
        finished: "the client: final fitting",
        older: "a maker: take up the newer version",
        withdrawn: "the clinician: the prescription was withdrawn",
    }


def test_drying_shows_its_workings_and_their_standing(
    signed_in: SignedIn, maker: Person, now: datetime, pair: Pair
) -> None:
    factory.bring_to(pair, "shell-check", by=maker, at=timezone.now())
    page = signed_in(maker).get(reverse("pair-bench", args=[pair.uuid])).content.decode()
    shown = ("ticked + hours × season factor", "36 h", "1.00", "common practice, no source", "workshop setting")
    assert [words for words in shown if words not in page] == []


def test_the_days_on_the_last_show_their_workings(signed_in: SignedIn, maker: Person, pair: Pair) -> None:
    factory.bring_to(pair, "slip-last", by=maker, at=timezone.now() - timedelta(days=1))
    page = signed_in(maker).get(reverse("pair-bench", args=[pair.uuid])).content.decode()
    assert ("ticked + least days on the last" in page, "7 days" in page) == (True, True)


def test_an_accepted_difference_stands_beside_the_next_check_of_its_part(
    signed_in: SignedIn, maker: Person, clinician: Person, now: datetime, pair: Pair
) -> None:
    factory.bring_to(pair, "cut-stiffeners", by=maker, at=now)
    asked = factory.requirement(pair, "stiffener", "part")
    check = factory.differ(asked, "10 mm short", by=maker, at=now)
    actions.settle_difference(check.difference, state="accepted", because="no harm", by=clinician, at=now)
    factory.bring_to(pair, "last-backs", by=maker, at=now)
    page = signed_in(maker).get(reverse("pair-bench", args=[pair.uuid])).content.decode()
    assert ("accepted as built" in page, "10 mm short" in page) == (True, True)


def test_a_withdrawn_prescription_stops_the_page(signed_in: SignedIn, maker: Person, pair: Pair) -> None:
    assert pair.working_to is not None
    with setting_up():
        Prescription.objects.filter(pk=pair.working_to.pk).update(status="withdrawn")
    page = signed_in(maker).get(reverse("pair-bench", args=[pair.uuid])).content.decode()
    assert ("was withdrawn" in page, "Take up" in page) == (True, False)
