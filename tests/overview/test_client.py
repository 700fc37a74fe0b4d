"""The client's page: all rooms on one page, as far as each role may read them."""

from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from cases.overview.kept_of_client import Kept, kept_of
from shared.sides import Side
from tests.factories.bench import make_pair
from tests.factories.diary import make_visit
from tests.factories.lasts import make_cast, make_last, make_measure_set
from tests.factories.patients import (
    make_access,
    make_allergy,
    make_finding,
    make_paper,
    make_patient,
    make_red_flag,
)
from tests.factories.prescriptions import make_prescription
from tests.factories.staff import make_person

pytestmark = pytest.mark.django_db


def page_of(patient) -> str:
    return reverse("client", args=[patient.uuid])


def full_record(*, by, at, rows: int = 1):
    """A client of whom every room holds so many things."""
    patient = make_patient()
    for number in range(rows):
        make_finding(patient, place=f"toe {number}", side=Side.LEFT)
        make_finding(patient, place=f"toe {number}", side=Side.RIGHT)
        make_allergy(patient, substance=f"substance {number}")
        make_visit(starts_at=at + timedelta(days=30, minutes=10 * number), minutes=10, patient=patient)
        make_paper(patient, title=f"Paper {number}")
        make_measure_set(patient=patient, taken_by=by)
        make_cast(patient=patient, made_by=by)
        make_last(owner=patient)
        make_prescription(patient=patient)
        make_pair(by=by, at=at, patient=patient, written_by=by)
    return patient


@pytest.fixture
def patient(clinician, now):
    return full_record(by=clinician, at=now)


def test_a_clinician_sees_what_every_room_holds(signed_in, clinician, patient) -> None:
    context = signed_in(clinician).get(page_of(patient)).context
    held = context["held"]
    counts = (len(held.kept), len(held.prescriptions), len(held.pairs), len(held.visits), len(context["papers"]))
    assert counts == (3, 2, 1, 1, 1)


def test_the_findings_stand_under_their_own_foot(signed_in, clinician, patient) -> None:
    text = signed_in(clinician).get(page_of(patient)).content.decode()
    left, right = text.index('class="foot left"'), text.index('class="foot right"')
    places = [place for place in range(len(text)) if text.startswith("toe 0", place)]
    assert [left < place < right for place in places if place < text.index("About the person")] == [True, False]


def test_a_red_flag_stands_above_everything_else(signed_in, clinician, patient) -> None:
    make_red_flag(patient)
    text = signed_in(clinician).get(page_of(patient)).content.decode()
    assert text.index("Red flag: not a footwear question today") < text.index("Findings")


def test_reception_reads_nothing_clinical(signed_in, reception, patient) -> None:
    answer = signed_in(reception).get(page_of(patient))
    held, text = answer.context["held"], answer.content.decode()
    assert (answer.context["findings"], answer.context["allergies"]) == (None, None)
    assert (held.kept, held.prescriptions, len(held.pairs), len(held.visits)) == ([], [], 1, 1)
    assert [words for words in ("toe 0", "substance 0", "Prescription") if words in text] == []


def test_somebody_from_outside_the_case_is_asked_for_a_reason(signed_in, maker, patient) -> None:
    assert signed_in(maker).get(page_of(patient)).status_code in {302, 303, 403}


def test_somebody_who_gave_a_reason_reads_and_is_offered_nothing_to_do(signed_in, patient, now) -> None:
    administrator = make_person(roles=["administrator"])
    make_access(patient, administrator, at=timezone.now())
    answer = signed_in(administrator).get(page_of(patient))
    assert (answer.status_code, answer.context["offer_address"] in answer.content.decode()) == (200, False)


def test_a_client_who_does_not_exist_is_not_found(signed_in, clinician) -> None:
    assert signed_in(clinician).get(reverse("client", args=["1d41bc0e-0000-4000-8000-000000000000"])).status_code == 404


def test_the_next_thing_is_the_one_large_button(signed_in, clinician) -> None:
    patient = make_patient()
    answer = signed_in(clinician).get(page_of(patient))
    assert answer.content.decode().count("primary big") == 1
    assert answer.context["offer_address"] == reverse("finding-add", args=[patient.uuid])


def test_what_is_kept_of_a_client_is_one_list(clinician, now, django_assert_num_queries) -> None:
    patient = make_patient()
    sitting = make_measure_set(patient=patient, taken_by=clinician, taken_at=now)
    cast = make_cast(patient=patient, made_by=clinician, side=Side.LEFT)
    last = make_last(owner=patient, side=Side.RIGHT)
    make_last(owner=make_patient())
    with django_assert_num_queries(1):
        kept = kept_of(patient)
    assert kept == [
        Kept("cast", cast.uuid, "left", cast.made_on, cast.place, cast.condition, state=False),
        Kept("last", last.uuid, "right", last.made_on, last.place, last.number, state=False),
        Kept("measures", sitting.uuid, "", timezone.localdate(now), "", "part load", state=False),
    ]
