"""Whatever is sent to a form of this room: a page in words comes back, never a broken one, and nothing half saved."""

import uuid
from typing import Any

import pytest
from django.urls import reverse
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from cases.patients.models import Patient
from shared.models import Deed
from tests.conftest import Browserless
from tests.factories.patients import make_patient, make_red_flag, make_referrer
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

NASTY = st.one_of(
    st.sampled_from(
        [
            "",
            " ",
            "\x00",
            "a\x00b",
            "x" * 10_000,
            "👟" * 300,
            "\u202eLEFT",
            "<script>alert(1)</script>",
            "'; DROP TABLE patients_patient; --",
            "0000-00-00",
            "31/02/1950",
            "9999-12-31",
            "0001-01-01",
            "1950-03-12T25:61",
            "-1",
            "1e999",
            "99999999999999999999",
            "NaN",
            "on",
            "{{ 7|add:7 }}",
            "../../etc/passwd",
        ]
    ),
    st.text(max_size=40),
)
PLAUSIBLE = {
    "given_names": st.just("Ida"),
    "family_name": st.just("Invented"),
    "born_on": st.just("1950-03-12"),
    "condition": st.sampled_from(["hammer_toe", "falls", "callus", "no_such_thing"]),
    "where": st.sampled_from(["left", "right", "both", "general", "middle"]),
    "sign": st.sampled_from(["hot_swollen_foot", "no_such_sign"]),
    "side": st.sampled_from(["left", "right", "general", "middle"]),
    "kind": st.sampled_from(["material", "no_such_kind"]),
    "seen_version": st.sampled_from(["1", "2"]),
}
CONTACT = ["given_names", "family_name", "born_on", "phone", "email", "address", "referrer", "referred_on"]
REFERRAL = ["referral_reason", "communication_needs", "referrer-name", "referrer-address"]
CLINICAL = ["hand_function", "hand_note", "diabetes", "screened_elsewhere_by"]
PAGES = {
    "client-new": ["record_number", *CONTACT, *REFERRAL, *CLINICAL],
    "client-edit": [*CONTACT, *REFERRAL, *CLINICAL, "seen_version", "letters_consent"],
    "finding-add": ["condition", "where", "place", "flexibility", "marked", "since", "note"],
    "allergy-add": ["kind", "substance"],
    "red-flag-raise": ["sign", "side"],
    "red-flag-answer": ["what_was_done", "referred_to"],
}


def form_of(page: str) -> st.SearchStrategy[dict[str, str]]:
    fields = {name: st.one_of(NASTY, PLAUSIBLE.get(name, NASTY)) for name in PAGES[page]}
    return st.fixed_dictionaries({}, optional=fields)


SENT = st.sampled_from(sorted(PAGES)).flatmap(lambda page: st.tuples(st.just(page), form_of(page)))


def address_of(page: str, patient: Patient) -> str:
    if page == "client-new":
        return reverse(page)
    if page == "red-flag-answer":
        flag = patient.red_flags.first() or make_red_flag(patient)
        return reverse(page, args=[flag.uuid])
    return reverse(page, args=[patient.uuid])


@settings(max_examples=250, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(sent=SENT)
def test_whatever_is_sent_is_saved_whole_or_refused_in_words(
    clinician: Person, signed_in: Any, sent: tuple[str, dict[str, str]]
) -> None:
    page, form = sent
    patient = make_patient()
    make_referrer()
    client: Browserless = signed_in(clinician)
    address, before = address_of(page, patient), Deed.objects.count()
    answer = client.post(address, form)
    deeds = Deed.objects.count() - before
    assert (answer.status_code, deeds > 0) in {(303, True), (303, False), (422, False), (409, False)}


@pytest.mark.parametrize("page", ["client-new", "allergy-add", "red-flag-answer", "finding-add"])
def test_a_text_that_is_too_long_is_refused_and_comes_back(signed_in: Any, clinician: Person, page: str) -> None:
    field = {"client-new": "address", "allergy-add": "substance", "red-flag-answer": "referred_to"}.get(page, "note")
    answer = signed_in(clinician).post(address_of(page, make_patient()), {field: "y" * 10_000})
    assert (answer.status_code, "y" * 10_000 in answer.content.decode()) == (422, True)


@pytest.mark.parametrize("page", sorted(PAGES))
def test_a_null_character_is_refused(signed_in: Any, clinician: Person, page: str) -> None:
    form = dict.fromkeys(PAGES[page], "a\x00b")
    assert signed_in(clinician).post(address_of(page, make_patient()), form).status_code == 422


@pytest.mark.parametrize("name", ["client-edit", "finding-add", "allergy-add", "red-flag-raise", "finding-end"])
def test_a_made_up_address_is_not_found(signed_in: Any, clinician: Person, name: str) -> None:
    assert signed_in(clinician).post(reverse(name, args=[uuid.uuid4()]), {"where": "left"}).status_code == 404


@pytest.mark.parametrize("reason", ["", "  ", "a\x00b", "ab", "x" * 10_000])
def test_a_reason_that_is_none_opens_no_record(signed_in: Any, maker: Person, reason: str) -> None:
    answer = signed_in(maker).post(reverse("open-record", args=[make_patient().uuid]), {"reason": reason})
    assert answer.status_code == 422


def test_a_reason_of_two_letters_and_a_space_opens_no_record(signed_in: Any, maker: Person) -> None:
    answer = signed_in(maker).post(reverse("open-record", args=[make_patient().uuid]), {"reason": "a b"})
    assert (answer.status_code, "why you need this record" in answer.content.decode()) == (409, True)
