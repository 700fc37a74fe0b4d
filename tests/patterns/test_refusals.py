"""What is not cut from: said in one plain sentence by every way out, and on the page."""

from datetime import datetime

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.bench.models import Pair
from cases.lasts.models import Last
from cases.patterns import actions, queries
from cases.patterns.ready import not_to_be_cut
from shared.sides import Side
from tests.bench.test_versions import sign_next_version
from tests.conftest import Browserless
from tests.factories.base import setting_up
from tests.factories.bench import make_pair
from tests.factories.lasts import make_last
from tests.factories.patients import make_patient
from tests.factories.patterns import make_pair_on_lasts
from tests.patterns.asking import page_of, printed
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


def refusals(client: Browserless, pair: Pair) -> list[tuple[int, str]]:
    """What printing, SVG and DXF answer: the status and the sentence."""
    answers = [
        printed(client, pair),
        client.get(reverse("patterns-svg", args=[pair.uuid, "left"])),
        client.get(reverse("patterns-dxf", args=[pair.uuid, "left"])),
    ]
    return [(answer.status_code, str(answer.context["sentence"])) for answer in answers]


def test_a_superseded_version_is_not_cut_from(bench: Browserless, pair: Pair) -> None:
    version = pair.working_to
    assert version is not None
    sign_next_version(pair, left_last=None, right_last=None)
    says = (
        f"This pair works to version 1 of prescription {version.number}, and a newer one is signed: "
        "take it up on the bench page first."
    )
    assert refusals(bench, pair) == [(409, says)] * 3


def test_a_last_that_is_not_agreed_as_it_is_is_not_cut_from(
    bench: Browserless, clinician: Person, now: datetime
) -> None:
    patient = make_patient()
    lasts = {side: make_last(owner=patient, side=side, number="77") for side in Side}
    pair = make_pair_on_lasts(by=clinician, at=now, patient=patient, lasts=lasts)
    says = " ".join(
        f"{side}: last 77 is not agreed as it is now: measure it and agree it on its page first."
        for side in ("LEFT", "RIGHT")
    )
    assert refusals(bench, pair) == [(409, says)] * 3


def test_a_last_altered_since_it_was_agreed_is_not_cut_from(bench: Browserless, pair: Pair) -> None:
    with setting_up():
        Last.objects.filter(side="right").update(version=2)
    assert [(status, says.startswith("RIGHT: last ")) for status, says in refusals(bench, pair)] == [(409, True)] * 3


def test_without_a_last_nothing_is_cut(bench: Browserless, maker: Person, now: datetime) -> None:
    pair = make_pair(by=maker, at=now, feet="right")
    says = "RIGHT: the prescription names no last: ask the clinician for a version that names one."
    assert refusals(bench, pair) == [(409, says)] * 3


@pytest.mark.parametrize(
    ("status", "says"),
    [
        ("withdrawn", "Prescription {} was withdrawn: ask the clinician."),
        ("draft", "Prescription {}, version 1, is not signed: ask the clinician to sign it."),
    ],
)
def test_a_version_that_is_not_signed_is_not_cut_from(pair: Pair, now: datetime, status: str, says: str) -> None:
    shown = queries.patterns_of(queries.with_templates(pair), on=timezone.localdate(now))
    shown.version.status = status
    assert not_to_be_cut(shown) == (says.format(shown.version.number),)


def test_where_all_is_cut_by_own_templates_nothing_is_printed(
    bench: Browserless, maker: Person, puff: Pair, now: datetime
) -> None:
    right = (Side.RIGHT,)
    actions.use_own_template(puff, sides=right, piece="toe_puff", template="no. 3", by=maker, at=now)
    assert printed(bench, puff).status_code == 409


def test_the_page_says_what_stands_in_the_way_and_offers_no_print(
    bench: Browserless, maker: Person, now: datetime
) -> None:
    pair = make_pair(by=maker, at=now)
    text = bench.get(page_of(pair)).content.decode()
    assert ("Not to be cut yet." in text, reverse("patterns-print", args=[pair.uuid]) in text) == (True, False)


@pytest.mark.parametrize("name", ["patterns", "cutting-of-pair", "cutting-of-pair-pdf"])
def test_an_adaptation_has_no_patterns(bench: Browserless, maker: Person, now: datetime, name: str) -> None:
    pair = make_pair(by=maker, at=now, work="adaptation")
    answer = bench.get(reverse(name, args=[pair.uuid]))
    assert (answer.status_code, "so has no patterns" in answer.content.decode()) == (409, True)


def test_a_pair_that_is_not_there_is_not_found(bench: Browserless) -> None:
    assert bench.get(reverse("patterns", args=["00000000-0000-0000-0000-000000000000"])).status_code == 404
