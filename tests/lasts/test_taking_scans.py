"""A scan is taken as measures only where a person ticked."""

from collections.abc import Callable
from datetime import datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.lasts.actions.scans import place_scan, take_measures
from cases.lasts.models import MeasureSet, Scan
from cases.lasts.scans import takeable_mm
from shared.models import Deed
from shared.refusals import Refused
from shared.versions import Stale
from tests.factories.patients import make_patient
from tests.factories.scans import make_scan
from tests.lasts.scanned import added
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

Sign = Callable[[Person], Any]


# Taking its numbers -----------------------------------------------------------------------------------------


def take(client: Any, scan: Scan, *ticked: str, **more: Any) -> Any:
    entries = {"seen_version": scan.version, "take": list(ticked), **more}
    return client.post(reverse("scan-take", args=[scan.uuid]), entries)


def kept(measure_set: MeasureSet) -> list[tuple[str, str, int, Decimal]]:
    return list(measure_set.measures.order_by("side", "name").values_list("side", "name", "take", "value_mm"))


def test_what_was_ticked_and_nothing_else_becomes_a_measure_by_scan(clinician: Person, signed_in: Sign) -> None:
    scan = make_scan(load="standing", heel_height_mm=Decimal(20))
    answer = take(signed_in(clinician), scan, "left:foot_length", "left:joint_girth")
    measure_set, offered = MeasureSet.objects.get(), takeable_mm(scan.measured)
    scan.refresh_from_db()
    assert answer.headers["Location"] == reverse("measures", args=[measure_set.uuid])
    assert (measure_set.method, measure_set.load, measure_set.heel_height_mm, measure_set.taken_by) == (
        "scan",
        "standing",
        Decimal(20),
        clinician,
    )
    assert scan.taken_as == measure_set
    assert kept(measure_set) == [
        ("left", "foot_length", 1, offered["foot_length"]),
        ("left", "joint_girth", 1, offered["joint_girth"]),
    ]


def test_the_measures_are_of_the_day_of_the_scan(clinician: Person, now: datetime) -> None:
    scan = make_scan(made_on=now.date() - timedelta(days=3))
    taken = take_measures({scan: 1}, chosen=[("left", "foot_length")], by=clinician, at=now)
    assert timezone.localdate(taken.taken_at) == scan.made_on


def test_a_scan_of_this_morning_is_not_taken_in_a_time_to_come(clinician: Person, now: datetime) -> None:
    scan, early = make_scan(made_on=now.date()), now.replace(hour=8)
    assert take_measures({scan: 1}, chosen=[("left", "foot_length")], by=clinician, at=early).taken_at == early


def test_both_feet_scanned_in_one_go_are_one_sitting(clinician: Person, signed_in: Sign) -> None:
    left = make_scan()
    right = make_scan(patient=left.patient, side="right")
    take(signed_in(clinician), left, "left:foot_length", "right:foot_length", seen_fellow=right.version)
    assert [(side, name) for side, name, _, _ in kept(MeasureSet.objects.get())] == [
        ("left", "foot_length"),
        ("right", "foot_length"),
    ]
    assert set(Scan.objects.values_list("taken_as", flat=True)) == {MeasureSet.objects.get().pk}


def test_a_foot_of_which_nothing_was_ticked_still_waits(clinician: Person, signed_in: Sign) -> None:
    left = make_scan()
    right = make_scan(patient=left.patient, side="right")
    take(signed_in(clinician), left, "left:foot_length", seen_fellow=right.version)
    right.refresh_from_db()
    assert right.taken_as is None


def test_scans_of_different_days_are_no_one_sitting(clinician: Person, now: datetime) -> None:
    left = make_scan()
    right = make_scan(patient=left.patient, side="right", made_on=left.made_on - timedelta(days=1))
    with pytest.raises(Refused, match="made in one go"):
        take_measures({left: 1, right: 1}, chosen=[("left", "foot_length")], by=clinician, at=now)


@pytest.mark.parametrize(
    ("ticked", "sentence"),
    [
        ([], "Tick at least one measure"),
        (["left:calf_girth"], "is not there to be taken"),
        (["right:foot_length"], "is not there to be taken"),
    ],
)
def test_nothing_is_taken_that_is_not_there(
    clinician: Person, signed_in: Sign, ticked: list[str], sentence: str
) -> None:
    answer = take(signed_in(clinician), make_scan(), *ticked)
    assert (answer.status_code, sentence in answer.content.decode(), MeasureSet.objects.count()) == (409, True, 0)


def test_a_girth_whose_section_does_not_close_is_not_offered(clinician: Person, now: datetime) -> None:
    measured = make_scan().measured
    measured["girths"]["waist_girth"]["is_closed"] = False
    scan = make_scan(measured=measured)
    with pytest.raises(Refused, match="is not there to be taken"):
        take_measures({scan: 1}, chosen=[("left", "waist_girth")], by=clinician, at=now)


def test_measures_of_a_scan_are_taken_once(clinician: Person, now: datetime) -> None:
    scan = make_scan()
    take_measures({scan: 1}, chosen=[("left", "foot_length")], by=clinician, at=now)
    with pytest.raises(Refused, match="were taken already"):
        take_measures({scan: 2}, chosen=[("left", "foot_length")], by=clinician, at=now)


def test_a_scan_that_was_laid_anew_meanwhile_is_not_taken_as_it_was(clinician: Person, now: datetime) -> None:
    scan = make_scan()
    place_scan(scan, seen_version=1, placed={"toe_mm": 260.0}, by=clinician, at=now)
    with pytest.raises(Stale):
        take_measures({scan: 1}, chosen=[("left", "foot_length")], by=clinician, at=now)


def test_each_deed_with_a_scan_says_what_was_done(clinician: Person, now: datetime) -> None:
    scan = added(make_patient(), clinician, now)
    place_scan(scan, seen_version=1, placed={"toe_mm": 260.0}, by=clinician, at=now)
    take_measures({scan: 2}, chosen=[("left", "foot_length")], by=clinician, at=now)
    deeds = Deed.objects.filter(action__in=["add_scan", "place_scan", "record_measures", "take_measures"])
    assert [deed.action for deed in deeds.order_by("pk")] == [
        "add_scan",
        "place_scan",
        "record_measures",
        "take_measures",
    ]
