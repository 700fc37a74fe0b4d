"""Pairs that come to the bench and go, on their pages: opened, promised again, taken in, repeated, given up."""

from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.bench import actions
from cases.bench.models import CoverRequirement, Pair, PairState
from tests.conftest import Browserless
from tests.factories import bench as factory
from tests.factories.lasts import make_last
from tests.factories.patients import make_patient
from tests.factories.prescriptions import make_signed_prescription
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db
SignedIn = Callable[[Person], Browserless]


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return factory.make_pair(by=maker, at=now)


def post(client: Browserless, name: str, pair: Pair, **data: object) -> int:
    return int(client.post(reverse(name, args=[pair.uuid]), data).status_code)


def test_a_pair_is_opened_from_its_prescription(signed_in: SignedIn, clinician: Person) -> None:
    factory.load_starting_values()
    prescription = make_signed_prescription()
    day = timezone.localdate() + timedelta(days=42)
    answer = signed_in(clinician).post(
        reverse("pair-open", args=[prescription.uuid]), {"promised_day": day.isoformat(), "rough_fitting": "on"}
    )
    pair = Pair.objects.get()
    assert (answer.status_code, pair.promised_day, pair.working_to) == (303, day, prescription)


def test_a_bad_promised_day_gives_the_form_back_with_what_was_typed(signed_in: SignedIn, clinician: Person) -> None:
    factory.load_starting_values()
    prescription = make_signed_prescription()
    answer = signed_in(clinician).post(reverse("pair-open", args=[prescription.uuid]), {"promised_day": "soon"})
    assert (answer.status_code, b'value="soon"' in answer.content) == (422, True)


def test_a_pair_is_given_up_with_a_word_of_why(signed_in: SignedIn, manager: Person, pair: Pair) -> None:
    assert post(signed_in(manager), "pair-give-up", pair, why="the client moved away") == 303
    pair.refresh_from_db()
    assert pair.state == PairState.CLOSED


def test_another_day_is_promised_from_its_page(signed_in: SignedIn, reception: Person, pair: Pair) -> None:
    day = pair.promised_day + timedelta(days=7)
    entries = {"day": day.isoformat(), "reason": "leather came late"}
    assert post(signed_in(reception), "promise-again", pair, **entries) == 303
    pair.refresh_from_db()
    assert pair.promised_day == day


def test_a_day_gone_by_is_not_promised_and_nothing_typed_is_lost(
    signed_in: SignedIn, reception: Person, pair: Pair
) -> None:
    entries = {"day": (timezone.localdate() - timedelta(days=1)).isoformat(), "reason": "leather came late"}
    answer = signed_in(reception).post(reverse("promise-again", args=[pair.uuid]), entries)
    page = answer.content.decode()
    assert (answer.status_code, "is already past." in page, 'value="leather came late"' in page) == (422, True, True)
    assert list(pair.promises.values_list("reason", flat=True)) == ["first promise"]


def test_a_repair_promised_for_a_day_gone_by_is_refused_and_nothing_typed_is_lost(
    signed_in: SignedIn, reception: Person
) -> None:
    factory.load_starting_values()
    entries = {
        "feet": "both",
        "jobs": ["strap job"],
        "description": "strap torn",
        "promised_day": (timezone.localdate() - timedelta(days=1)).isoformat(),
    }
    answer = signed_in(reception).post(reverse("repair-open", args=[make_patient().uuid]), entries)
    page = answer.content.decode()
    assert (answer.status_code, "The promised day is already past." in page, 'value="strap torn"' in page) == (
        422,
        True,
        True,
    )
    assert Pair.objects.count() == 0


def test_a_repair_is_taken_in_from_the_clients_page(signed_in: SignedIn, reception: Person) -> None:
    factory.load_starting_values()
    entries = {
        "feet": "both",
        "jobs": ["heel job", "strap job"],
        "description": "heels worn down",
        "heights_left": "",
        "heights_right": "heel 20 mm",
        "promised_day": timezone.localdate().isoformat(),
    }
    answer = signed_in(reception).post(reverse("repair-open", args=[make_patient().uuid]), entries)
    sides = CoverRequirement.objects.filter(part="heights").values_list("side", flat=True)
    assert (answer.status_code, Pair.objects.get().kind, list(sides)) == (303, "repair", ["right", "right"])


def test_a_repeat_pair_goes_from_the_call_to_the_bench_in_under_twelve_touches(
    signed_in: SignedIn, clinician: Person, maker: Person, now: datetime
) -> None:
    patient = make_patient(family_name="Quillfeather")
    worn = factory.make_pair(
        by=maker,
        at=now,
        patient=patient,
        left_last=make_last(owner=patient, side="left"),
        right_last=make_last(owner=patient, side="right"),
    )
    factory.bring_to_the_end(worn, by=maker, at=now)
    actions.hand_over_pair(worn, by=maker, at=now)
    client = signed_in(clinician)
    way = [
        reverse("clients"),
        reverse("client", args=[patient.uuid]),
        reverse("pair", args=[worn.uuid]),
        reverse("pair-repeat", args=[worn.uuid]),
    ]
    page = client.get(reverse("home"), follow=True)
    touches = 0
    for address in way:
        if address == way[1]:
            page = client.get(way[0], {"text": "qu"})
            touches += 2
        assert f'href="{address}"' in page.content.decode()
        page = client.get(address)
        touches += 1
    form = page.context["form"]
    entries = {"promised_day": form["promised_day"].value().isoformat()}
    entries |= {"rough_fitting": "on"} if form["rough_fitting"].value() else {}
    answer = client.post(way[-1], entries)
    touches += 1
    again = Pair.objects.get(repeat_of=worn)
    assert answer.headers["Location"] == reverse("pair-bench", args=[again.uuid])
    assert touches == 7


@pytest.mark.parametrize("name", ["pair-repeat", "promise-again", "pair-give-up"])
def test_the_forms_of_a_pair_come_up_empty_and_say_what_is_missing(
    signed_in: SignedIn, clinician: Person, pair: Pair, name: str
) -> None:
    client = signed_in(clinician)
    assert client.get(reverse(name, args=[pair.uuid])).status_code == 200
    assert post(client, name, pair) == 422
