"""Each foot's measures come from the sitting that took it: a scan of one foot leaves the other foot's where they were."""

from datetime import datetime, timedelta
from typing import Any

import pytest

from cases.lasts.queries import measure_sets_of, sitting_of_foot
from cases.patients.models import Patient
from shared.sides import Side
from tests.factories.lasts import make_measure_set, make_measure_set_of_one_foot
from tests.factories.patients import make_patient

pytestmark = pytest.mark.django_db


@pytest.fixture
def patient() -> Patient:
    return make_patient()


def test_a_foot_that_was_taken_is_measured_by_that_sitting(patient: Patient, now: datetime) -> None:
    make_measure_set(patient=patient, taken_at=now)
    scan = make_measure_set_of_one_foot("left", patient=patient, taken_at=now + timedelta(days=3))
    assert sitting_of_foot(scan, Side.LEFT) == scan


def test_a_foot_that_was_not_taken_is_measured_by_the_latest_before_that_took_it(
    patient: Patient, now: datetime
) -> None:
    make_measure_set(patient=patient, taken_at=now)
    latest_of_both = make_measure_set(patient=patient, taken_at=now + timedelta(days=1))
    make_measure_set_of_one_foot("left", patient=patient, taken_at=now + timedelta(days=2))
    scan = make_measure_set_of_one_foot("left", patient=patient, taken_at=now + timedelta(days=3))
    make_measure_set(patient=patient, taken_at=now + timedelta(days=4))
    make_measure_set(taken_at=now + timedelta(days=2))
    assert sitting_of_foot(scan, Side.RIGHT) == latest_of_both


def test_a_foot_that_nobody_ever_took_has_no_measures(patient: Patient, now: datetime) -> None:
    scan = make_measure_set_of_one_foot("left", patient=patient, taken_at=now)
    assert sitting_of_foot(scan, Side.RIGHT) == scan


def test_an_ordinary_sitting_asks_nothing_and_one_of_a_foot_asks_once(
    patient: Patient, now: datetime, django_assert_num_queries: Any
) -> None:
    """The sitting, its measures, its bulges."""
    make_measure_set(patient=patient, taken_at=now)
    make_measure_set_of_one_foot("left", patient=patient, taken_at=now + timedelta(days=3))
    scan, both = measure_sets_of(patient)
    with django_assert_num_queries(0):
        sitting_of_foot(both, Side.RIGHT)
    with django_assert_num_queries(3):
        assert sitting_of_foot(scan, Side.RIGHT) == sitting_of_foot(scan, Side.RIGHT) == both
