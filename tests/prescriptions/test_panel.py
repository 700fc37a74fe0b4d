"""The panel beside a prescription: read once, worked out once."""

from datetime import date, datetime
from typing import Any

import pytest

from cases.prescriptions import queries
from cases.prescriptions.answers import background_of
from cases.prescriptions.models import Prescription
from cases.prescriptions.panel import day_of, panel_of, wearer_of
from shared.sides import Side
from tests.factories.lasts import make_last, make_measure_set
from tests.factories.patients import make_allergy, make_finding, make_patient
from tests.factories.prescriptions import make_prescription
from workshop.figures import starting_values

pytestmark = pytest.mark.django_db
DAY = date(2026, 11, 25)


@pytest.fixture(autouse=True)
def _prepared(now: datetime) -> None:
    starting_values.load(at=now)


def read(version: Prescription) -> Prescription:
    return queries.whole(version.uuid)


def test_a_panel_is_read_in_two_queries(django_assert_num_queries: Any) -> None:
    """Figures with materials; findings, allergies, answers and the notes switched off."""
    patient = make_patient()
    version = make_prescription(
        patient=patient,
        measure_set=make_measure_set(patient=patient),
        left_last=make_last(owner=patient),
        right_last=make_last(owner=patient, side="right"),
    )
    whole = read(version)
    with django_assert_num_queries(2):
        panel_of(whole, day=day_of(DAY))


def test_each_foot_has_its_shoe_its_drawing_and_its_figures() -> None:
    panel = panel_of(read(make_prescription()), day=day_of(DAY))
    assert (
        list(panel.shoes),
        [each.side for each in panel.cut_aways],
        list(panel.implied.feet),
    ) == ([Side.LEFT, Side.RIGHT],) * 3


def test_a_note_is_asked_of_the_foot_it_is_about() -> None:
    patient = make_patient()
    make_finding(patient=patient, side=Side.RIGHT, condition="hallux_rigidus")
    notes = panel_of(read(make_prescription(patient=patient)), day=day_of(DAY)).notes
    assert [note.side for note in notes if note.rule == "stiff-toe-without-either"] == [Side.RIGHT]


def test_the_wearer_is_the_client_as_recorded() -> None:
    patient = make_patient(hand_function="strap", diabetes="yes")
    make_finding(patient=patient, side=Side.LEFT, condition="loss_of_protective_sensation")
    make_allergy(patient=patient, substance="chromium")
    version = read(make_prescription(patient=patient))
    wearer = wearer_of(version, background_of(version))
    assert (
        wearer.hands,
        wearer.allergies,
        wearer.screening_level,
        wearer.has("loss_of_protective_sensation", side=Side.LEFT),
        wearer.has("loss_of_protective_sensation", side=Side.RIGHT),
    ) == ("strap", ("chromium",), 1, True, False)
