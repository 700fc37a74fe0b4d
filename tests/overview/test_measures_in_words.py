"""What a paper says of a sitting: each foot's measures in words, and the day they were taken where it is another."""

from datetime import datetime

import pytest

from cases.overview.measures_in_words import measures_of_feet
from tests.factories.lasts import make_measure_set, make_measure_set_of_one_foot
from tests.factories.patients import make_patient

pytestmark = pytest.mark.django_db


def test_a_foot_that_was_taken_another_day_says_which(now: datetime) -> None:
    patient = make_patient()
    make_measure_set(patient=patient, taken_at=now.replace(2026, 11, 3), right={"foot_length": 264})
    scan = make_measure_set_of_one_foot(
        "left", patient=patient, taken_at=now.replace(2026, 11, 20), left={"foot_length": 266}
    )
    left, right = (foot.lines[:2] for foot in measures_of_feet(scan))
    assert (left[0], right) == (
        ("foot length", "266 mm"),
        (("taken", "3 Nov 2026, part load"), ("foot length", "264 mm")),
    )
