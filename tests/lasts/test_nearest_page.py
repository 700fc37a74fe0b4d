"""The nearest lasts of a client's feet: what is asked of the rack, what is shown, and to whom."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from django.urls import reverse

from cases.lasts.models import Last, MeasureSet
from cases.lasts.queries.nearest import NearFoot, rack_to_rank
from cases.patients.models import Patient
from shared.sides import Side
from tests.factories.figures import load_figures, make_figure
from tests.factories.lasts import make_last, make_measure_set, make_measure_set_of_one_foot
from tests.factories.patients import make_finding, make_patient
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

SignedIn = Callable[[Person], Any]
FOOT = {"foot_length": 270, "joint_girth": 250, "waist_girth": 240, "instep_girth": 255}
AS_THE_TARGET: Mapping[str, Any] = {
    "length_mm": Decimal(282),
    "heel_height_mm": Decimal(20),
    # Low shoe, normal hose of 4 mm: ease 0, −3, −2 mm.
    "joint_girth_mm": Decimal(254),
    "waist_girth_mm": Decimal(241),
    "instep_girth_mm": Decimal(257),
}


@pytest.fixture(autouse=True)
def figures(db: None) -> None:
    load_figures()


@pytest.fixture
def sitting(db: None) -> MeasureSet:
    return make_measure_set(both=FOOT, heel_height_mm=Decimal(20))


def feet_of(answer: Any) -> Sequence[NearFoot]:
    feet: Sequence[NearFoot] = answer.context["feet"]
    return feet


def asked(client: Any, patient: Patient, **query: str) -> Any:
    return client.get(reverse("nearest-lasts", args=[patient.uuid]), query)


def numbers(foot: NearFoot) -> list[str]:
    return [near.last.number for near in foot.lasts]


def make_pair_of_lasts(number: str, **fields: Any) -> tuple[Last, Last]:
    whole = {**AS_THE_TARGET, **fields}
    return make_last(number=number, side="left", **whole), make_last(number=number, side="right", **whole)


# What the rack is to the ranking ---------------------------------------------------------------------------------------


def test_the_rack_is_read_with_every_figure_as_it_stands_there() -> None:
    make_last(number="2", side="right", joint_girth_mm=Decimal("250.3"), toe_depth_mm=Decimal("26.5"))
    make_last(number="1", length_mm=Decimal("280.7"), heel_height_mm=Decimal(0))
    rack = rack_to_rank()
    at_joint, at_toe = rack.arrays.stations_mm[:, 0], rack.arrays.stations_mm[:, 6]
    assert (
        rack.numbers,
        rack.arrays.is_left.tolist(),
        rack.arrays.length_mm.tolist(),
        rack.arrays.heel_height_mm.tolist(),
        np.nan_to_num(at_joint).tolist(),
        np.nan_to_num(at_toe).tolist(),
    ) == (["1", "2"], [True, False], [280.7, 285.0], [0.0, 22.0], [0.0, 250.3], [0.0, 26.5])


def test_the_columns_are_those_of_the_lasts_by_their_keys() -> None:
    lasts = [make_last(number=number) for number in ("b", "a", "c")]
    rack = rack_to_rank()
    assert dict(zip(rack.numbers, rack.keys, strict=True)) == {last.number: last.pk for last in lasts}


def test_an_empty_rack_is_read() -> None:
    assert len(rack_to_rank().arrays) == 0


def test_for_a_client_the_lasts_of_others_are_left_out() -> None:
    owner = make_patient()
    make_last(number="own", owner=owner)
    make_last(number="stock")
    make_last(number="another's", owner=make_patient())
    assert rack_to_rank(of=owner).numbers == ["own", "stock"]


def test_a_last_that_is_not_to_be_used_is_left_out_and_counted() -> None:
    owner = make_patient()
    make_last(number="sound", owner=owner)
    make_last(number="cracked", not_used_because="cracked at the hinge")
    make_last(number="another's", owner=make_patient(), not_used_because="hinge broken")
    of_the_client, whole = rack_to_rank(of=owner), rack_to_rank()
    assert [(rack.numbers, rack.left_out) for rack in (of_the_client, whole)] == [(["sound"], 1), (["sound"], 2)]


def test_the_page_says_how_many_were_left_out(maker: Person, signed_in: SignedIn, sitting: MeasureSet) -> None:
    make_last(number="sound")
    make_last(number="cracked", not_used_because="cracked at the hinge")
    said = asked(signed_in(maker), sitting.patient).content.decode()
    assert said.count("1 last looked at; 1 left out, not to be used.") == 1


def test_the_fellow_of_a_last_is_that_of_the_other_foot() -> None:
    make_pair_of_lasts("1")
    make_last(number="2")
    assert rack_to_rank().fellow_rows([0, 1, 2]) == {0: 1, 1: 0}


# What is shown -----------------------------------------------------------------------------------------------------------


def test_a_last_that_is_the_target_comes_first_on_both_feet(
    maker: Person, signed_in: SignedIn, sitting: MeasureSet
) -> None:
    make_pair_of_lasts("wide", joint_girth_mm=Decimal(262))
    make_pair_of_lasts("right")
    feet = feet_of(asked(signed_in(maker), sitting.patient))
    assert [(foot.side, numbers(foot), foot.lasts[0].ranked.work) for foot in feet] == [
        ("left", ["right", "wide"], 0),
        ("right", ["right", "wide"], 0),
    ]


def test_a_pair_that_serves_both_feet_is_marked(maker: Person, signed_in: SignedIn, sitting: MeasureSet) -> None:
    make_pair_of_lasts("1")
    left, _ = feet_of(asked(signed_in(maker), sitting.patient))
    assert (left.lasts[0].serves_both, left.lasts[0].fellow_place) == (True, 1)


def test_no_last_is_said_to_serve_the_other_foot(maker: Person, signed_in: SignedIn, sitting: MeasureSet) -> None:
    """A LEFT last serves a left foot alone: it is its number that is near for both."""
    make_pair_of_lasts("1")
    said = asked(signed_in(maker), sitting.patient).content.decode()
    assert (said.count("LEFT and RIGHT both near"), "serves both feet" in said) == (2, False)


def test_a_last_without_its_fellow_is_not_marked(maker: Person, signed_in: SignedIn, sitting: MeasureSet) -> None:
    make_last(number="1", **AS_THE_TARGET)
    left, right = feet_of(asked(signed_in(maker), sitting.patient))
    assert (left.lasts[0].has_fellow, left.lasts[0].serves_both, numbers(right)) == (False, False, [])


def test_a_foot_that_the_latest_sitting_did_not_take_asks_by_the_one_before(
    maker: Person, signed_in: SignedIn, sitting: MeasureSet
) -> None:
    make_pair_of_lasts("1")
    make_measure_set_of_one_foot(
        "left", patient=sitting.patient, taken_at=sitting.taken_at + timedelta(days=7), both=FOOT
    )
    page = asked(signed_in(maker), sitting.patient)
    left, right = feet_of(page)
    assert (left.needs.measured_before, right.needs.measured_before, numbers(right)) == (None, sitting.taken_at, ["1"])
    assert page.content.decode().count("Not taken at this sitting: by the measures of") == 1


def test_a_fellow_that_is_too_short_for_its_foot_does_not_serve(maker: Person, signed_in: SignedIn) -> None:
    sitting = make_measure_set(both=FOOT, right={"foot_length": 300})
    make_pair_of_lasts("1")
    left, _ = feet_of(asked(signed_in(maker), sitting.patient))
    assert (left.lasts[0].has_fellow, left.lasts[0].fellow_place) == (True, None)


@pytest.mark.parametrize(
    ("query", "target_mm"),
    [
        ({}, 254),
        ({"hose": "none"}, 250),
        ({"hose": "thick"}, 257),
        ({"footwear_kind": "ankle_boot"}, 256),
        ({"footwear_kind": "court"}, 249),
    ],
    ids=str,
)
def test_the_target_follows_the_footwear_and_the_hose(
    maker: Person, signed_in: SignedIn, sitting: MeasureSet, query: dict[str, str], target_mm: float
) -> None:
    left, _ = feet_of(asked(signed_in(maker), sitting.patient, **query))
    assert {station.key: station.target_mm for station in left.needs.stations}["joint"] == target_mm


def test_a_swollen_foot_gets_no_target_tighter_than_it_is(
    maker: Person, signed_in: SignedIn, sitting: MeasureSet
) -> None:
    make_finding(sitting.patient, condition="oedema", side=Side.LEFT)
    feet = feet_of(asked(signed_in(maker), sitting.patient, footwear_kind="court"))
    at_joint = [{station.key: station.target_mm for station in foot.needs.stations}["joint"] for foot in feet]
    assert at_joint == [254, 249]


def test_the_heel_that_is_asked_for_decides(maker: Person, signed_in: SignedIn, sitting: MeasureSet) -> None:
    make_last(number="low", **AS_THE_TARGET)
    make_last(number="high", **{**AS_THE_TARGET, "heel_height_mm": Decimal(40)})
    orders = [
        numbers(feet_of(asked(signed_in(maker), sitting.patient, heel_height_mm=heel))[0]) for heel in ("20", "40")
    ]
    assert orders == [["low", "high"], ["high", "low"]]


def test_what_work_counts_is_the_workshops_to_set(
    maker: Person, signed_in: SignedIn, sitting: MeasureSet, now: datetime
) -> None:
    make_last(number="1", **{**AS_THE_TARGET, "joint_girth_mm": Decimal(264)})
    make_figure("nearest_take_down_per_mm", "7", valid_from=now.date() - timedelta(days=1), unit="of a mm built up")
    left, _ = feet_of(asked(signed_in(maker), sitting.patient))
    assert left.lasts[0].ranked.work == 70


def test_the_lasts_of_other_clients_are_asked_for_by_name(
    maker: Person, signed_in: SignedIn, sitting: MeasureSet
) -> None:
    make_last(number="another's", owner=make_patient(), **AS_THE_TARGET)
    found = [numbers(feet_of(asked(signed_in(maker), sitting.patient, **query))[0]) for query in ({}, {"whose": "all"})]
    assert found == [[], ["another's"]]


def test_no_more_than_eight_are_shown_and_how_many_there_are_is_said(
    maker: Person, signed_in: SignedIn, sitting: MeasureSet
) -> None:
    for number in range(10):
        make_last(number=str(number), **AS_THE_TARGET)
    left, _ = feet_of(asked(signed_in(maker), sitting.patient))
    assert (len(left.lasts), left.how_many) == (8, 10)


def test_a_foot_whose_length_was_not_taken_is_told_so(maker: Person, signed_in: SignedIn) -> None:
    sitting = make_measure_set(both=FOOT, right={"foot_length": None})
    _, right = feet_of(asked(signed_in(maker), sitting.patient))
    assert right.needs.cannot == "The foot length was not taken, so no last can be ranked for this foot."


def test_an_earlier_sitting_may_be_asked_for(
    maker: Person, signed_in: SignedIn, sitting: MeasureSet, now: datetime
) -> None:
    earlier = make_measure_set(patient=sitting.patient, both={"foot_length": 250}, taken_at=now - timedelta(days=300))
    answer = asked(signed_in(maker), sitting.patient, sitting=str(earlier.uuid))
    assert feet_of(answer)[0].needs.wanted.length_mm == 262  # type: ignore[union-attr]  # its length was taken


@pytest.mark.parametrize("odd", ["no-such", "00000000-0000-0000-0000-000000000000"])
def test_a_sitting_that_is_not_this_clients_is_not_found(
    maker: Person, signed_in: SignedIn, sitting: MeasureSet, odd: str
) -> None:
    assert asked(signed_in(maker), sitting.patient, sitting=odd).status_code == 404


@pytest.mark.parametrize(
    ("name", "odd"), [("heel_height_mm", "high"), ("heel_height_mm", "500"), ("footwear_kind", "ski"), ("hose", "\x00")]
)
def test_what_cannot_be_asked_is_said_with_what_was_typed(
    maker: Person, signed_in: SignedIn, sitting: MeasureSet, name: str, odd: str
) -> None:
    answer = asked(signed_in(maker), sitting.patient, **{name: odd})
    assert (answer.status_code, list(answer.context["form"].errors), answer.context["form"][name].value()) == (
        422,
        [name],
        odd,
    )


def test_a_client_who_was_not_measured_is_measured_first(clinician: Person, signed_in: SignedIn) -> None:
    page = asked(signed_in(clinician), make_patient()).content.decode()
    assert "once both feet are measured" in page


@pytest.mark.parametrize(
    ("role", "status"),
    [("clinician", 200), ("maker", 200), ("manager", 200), ("reception", 403), ("administrator", 403)],
)
def test_it_is_for_those_who_read_measures(
    request: pytest.FixtureRequest, signed_in: SignedIn, sitting: MeasureSet, role: str, status: int
) -> None:
    assert asked(signed_in(request.getfixturevalue(role)), sitting.patient).status_code == status
