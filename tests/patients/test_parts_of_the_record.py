"""The parts of a client's record that other rooms' pages show, as each role sees them."""

from datetime import datetime

import pytest
from django.template.loader import render_to_string

from cases.patients import queries
from cases.patients.models import PaperKind, Patient
from shared.sides import Side
from tests.factories.patients import (
    make_access,
    make_allergy,
    make_finding,
    make_paper,
    make_patient,
    make_red_flag,
    make_referrer,
)
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


@pytest.fixture
def patient() -> Patient:
    """A client of whom everything is recorded."""
    patient = make_patient(
        phone="0161 496 0000",
        communication_needs="interpreter: sign language",
        hand_note="left hand only",
        diabetes="yes",
        letters_consent=True,
        referrer=make_referrer(name="Dr Rowan Invented"),
    )
    make_finding(patient, side=Side.RIGHT, condition="haglund", note="22 × 14 mm")
    make_allergy(patient, substance="chrome")
    make_red_flag(patient, side=Side.LEFT)
    make_paper(patient, title="Letter of today")
    make_paper(patient, kind=PaperKind.JOB_CARD, title="Card of today")
    return patient


def part(name: str, person: Person, patient: Patient, at: datetime) -> str:
    record = queries.record_of(person, patient.uuid, at=at)
    context = {**vars(record), "papers": queries.papers_of(patient)}
    return render_to_string(f"patients/{name}.html", context)


def test_the_summary_says_who_they_are_and_what_they_agreed_to(
    patient: Patient, reception: Person, now: datetime
) -> None:
    text = part("_summary", reception, patient, now)
    said = ("0161 496 0000", "interpreter: sign language", "Dr Rowan Invented", patient.record_number)
    assert [words for words in said if words not in text] == []
    agreed, not_agreed = text.split("Not agreed to")
    assert (">letters<" in agreed, ">letters<" in not_agreed, ">photos<" in not_agreed) == (True, False, True)


@pytest.mark.parametrize("words", ["left hand only", "Diabetes"])
def test_the_summary_keeps_hands_and_diabetes_for_those_who_read_findings(
    patient: Patient, reception: Person, clinician: Person, now: datetime, words: str
) -> None:
    assert [words in part("_summary", person, patient, now) for person in (reception, clinician)] == [False, True]


def test_the_findings_stand_under_their_foot_without_buttons_where_none_are_asked_for(
    patient: Patient, clinician: Person, now: datetime
) -> None:
    text = part("_findings", clinician, patient, now)
    left, right = text.split('<div class="foot right">')
    assert ("Haglund" in left, "Haglund" in right, "No longer holds" in text) == (False, True, False)


def test_the_allergies_name_the_substance(patient: Patient, clinician: Person, now: datetime) -> None:
    assert "chrome" in part("_allergies", clinician, patient, now)


def test_the_red_flag_asks_a_clinician_for_its_answer_and_a_reader_for_nothing(
    patient: Patient, clinician: Person, maker: Person, now: datetime
) -> None:
    make_access(patient, maker, at=now)
    texts = [part("_red_flags", person, patient, now) for person in (clinician, maker)]
    assert ["Say what was done" in text for text in texts] == [True, False]
    assert ["LEFT: Hot, swollen, red foot" in text for text in texts] == [True, True]


def test_without_a_reading_a_red_flag_tells_nothing_of_what_was_found(patient: Patient) -> None:
    text = render_to_string(
        "patients/_red_flags.html", {"patient": patient, "red_flags": queries.open_red_flags(patient)}
    )
    assert ("Red flag" in text, "Hot, swollen" in text) == (True, False)


def test_the_papers_open_to_those_who_may_read_them(
    patient: Patient, reception: Person, clinician: Person, now: datetime
) -> None:
    texts = [part("_papers", person, patient, now) for person in (reception, clinician)]
    assert [text.count("<a href") for text in texts] == [1, 2]
    assert ["Card of today" in text for text in texts] == [True, True]


@pytest.mark.parametrize(("role", "number"), [("clinician", 4), ("reception", 2)])
def test_the_whole_record_takes_a_constant_number_of_queries(
    patient: Patient, role: str, number: int, now: datetime, request: pytest.FixtureRequest
) -> None:
    person = request.getfixturevalue(role)
    counted = request.getfixturevalue("django_assert_num_queries")
    assert person.role_kinds == {role}
    with counted(number):  # client with referrer; red flags; for a clinician findings and allergies as well
        queries.record_of(person, patient.uuid, at=now)
