"""Who may read and change what of a client's record, as tables: by the rule, by the fetch, and by every page."""

import uuid
from collections.abc import Callable
from dataclasses import astuple
from datetime import datetime, timedelta

import pytest
from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.test import Client
from django.urls import reverse
from hypothesis import given
from hypothesis import strategies as st

from cases.patients import queries
from cases.patients.models import PaperKind, Patient
from cases.patients.permissions import reading
from cases.patients.refusals import ReasonNeeded
from tests.factories.patients import (
    make_access,
    make_allergy,
    make_finding,
    make_paper,
    make_patient,
    make_red_flag,
)
from tests.factories.staff import make_person
from workshop.staff.models import Person

SignIn = Callable[[Person], Client]

YES, NO = True, False
BY_ROLE = [
    # roles, opened with a reason: contact, findings, change contact, change findings
    ((), NO, (NO, NO, NO, NO)),
    ((), YES, (NO, NO, NO, NO)),
    (("reception",), NO, (YES, NO, YES, NO)),
    (("clinician",), NO, (YES, YES, YES, YES)),
    (("manager",), NO, (YES, YES, YES, NO)),
    (("maker",), NO, (NO, NO, NO, NO)),
    (("maker",), YES, (YES, YES, NO, NO)),
    (("administrator",), NO, (NO, NO, NO, NO)),
    (("administrator",), YES, (YES, YES, NO, NO)),
    (("maker", "administrator"), NO, (NO, NO, NO, NO)),
    (("reception", "maker"), NO, (YES, NO, YES, NO)),
    (("reception", "maker"), YES, (YES, YES, YES, NO)),
    (("clinician", "maker"), NO, (YES, YES, YES, YES)),
    (("reception", "administrator"), NO, (YES, NO, YES, NO)),
]


@pytest.mark.parametrize(("roles", "opened", "may"), BY_ROLE)
def test_a_role_reads_and_changes_what_the_table_says(
    roles: tuple[str, ...], *, opened: bool, may: tuple[bool, bool, bool, bool]
) -> None:
    assert astuple(reading(roles, opened=opened)) == may


ROLES = ("reception", "clinician", "maker", "manager", "administrator")
role_sets = st.sets(st.sampled_from(ROLES))


@given(some=role_sets, more=role_sets, opened=st.booleans())
def test_a_further_role_never_takes_anything_away(*, some: set[str], more: set[str], opened: bool) -> None:
    before, after = astuple(reading(some, opened=opened)), astuple(reading(some | more, opened=opened))
    assert [old for old, new in zip(before, after, strict=True) if old and not new] == []


@given(roles=role_sets, opened=st.booleans())
def test_nobody_changes_what_they_may_not_read(*, roles: set[str], opened: bool) -> None:
    may = reading(roles, opened=opened)
    assert (may.change_contact <= may.contact, may.change_findings <= may.findings) == (True, True)


FETCHES = {
    "contact": {},
    "findings": {"clinical": True},
    "change": {"change": True},
    "write findings": {"clinical": True, "change": True},
}
OUTCOMES = [
    ("reception", "contact", None),
    ("reception", "findings", PermissionDenied),
    ("reception", "change", None),
    ("clinician", "findings", None),
    ("clinician", "change", None),
    ("manager", "findings", None),
    ("manager", "write findings", PermissionDenied),
    ("maker", "contact", ReasonNeeded),
    ("maker", "findings", ReasonNeeded),
    ("maker", "change", ReasonNeeded),
    ("administrator", "contact", ReasonNeeded),
]


@pytest.mark.django_db
@pytest.mark.parametrize(("role", "fetch", "refusal"), OUTCOMES)
def test_fetching_a_record_asks_whether_one_may(
    role: str, fetch: str, refusal: type[Exception] | None, now: datetime
) -> None:
    patient, person = make_patient(), make_person(roles=[role])
    if refusal is None:
        assert queries.patient_for(person, patient.uuid, at=now, **FETCHES[fetch]) == patient
    else:
        with pytest.raises(refusal):
            queries.patient_for(person, patient.uuid, at=now, **FETCHES[fetch])


@pytest.mark.django_db
@pytest.mark.parametrize("fetch", ["contact", "findings"])
@pytest.mark.parametrize("role", ["maker", "administrator"])
def test_whoever_opened_a_record_reads_it(role: str, fetch: str, now: datetime) -> None:
    patient, person = make_patient(), make_person(roles=[role])
    make_access(patient, person, at=now)
    assert queries.patient_for(person, patient.uuid, at=now, **FETCHES[fetch]) == patient


@pytest.mark.django_db
def test_whoever_opened_a_record_changes_nothing(maker: Person, now: datetime) -> None:
    patient = make_patient()
    make_access(patient, maker, at=now)
    with pytest.raises(PermissionDenied):
        queries.patient_for(maker, patient.uuid, at=now, change=True)


@pytest.mark.django_db
def test_a_record_opened_yesterday_asks_for_a_reason_again(maker: Person, now: datetime) -> None:
    patient = make_patient()
    make_access(patient, maker, at=now - timedelta(days=1))
    with pytest.raises(ReasonNeeded):
        queries.patient_for(maker, patient.uuid, at=now)


@pytest.mark.django_db
def test_somebody_without_a_role_reads_no_record(now: datetime) -> None:
    patient, person = make_patient(), make_person()
    with pytest.raises(PermissionDenied):
        queries.patient_for(person, patient.uuid, at=now)


@pytest.mark.django_db
@pytest.mark.parametrize("role", ROLES)
def test_a_client_who_does_not_exist_is_not_found_by_any_role(role: str, now: datetime) -> None:
    with pytest.raises(Http404):
        queries.patient_for(make_person(roles=[role]), uuid.uuid4(), at=now)


@pytest.mark.django_db
def test_reception_gets_the_record_without_what_was_found(reception: Person, now: datetime) -> None:
    patient = make_patient(diabetes="yes")
    make_finding(patient)
    make_allergy(patient)
    record = queries.record_of(reception, patient.uuid, at=now)
    assert (record.findings, record.allergies, record.screening) == (None, None, None)


@pytest.mark.django_db
def test_a_clinician_gets_the_whole_record(clinician: Person, now: datetime) -> None:
    patient = make_patient(diabetes="yes")
    finding, allergy, flag = make_finding(patient), make_allergy(patient), make_red_flag(patient)
    record = queries.record_of(clinician, patient.uuid, at=now)
    assert record.findings is not None
    assert record.screening is not None
    assert (record.findings.left, record.allergies, record.red_flags, record.screening.level) == (
        (finding,),
        (allergy,),
        (flag,),
        0,
    )


def addresses(patient: Patient) -> dict[str, str]:
    """Every page of this room, for one client."""
    finding, allergy, flag = make_finding(patient), make_allergy(patient), make_red_flag(patient)
    letter, card = make_paper(patient), make_paper(patient, kind=PaperKind.JOB_CARD)
    return {
        "clients": reverse("clients"),
        "client-new": reverse("client-new"),
        "client-edit": reverse("client-edit", args=[patient.uuid]),
        "finding-add": reverse("finding-add", args=[patient.uuid]),
        "finding-end": reverse("finding-end", args=[finding.uuid]),
        "allergy-add": reverse("allergy-add", args=[patient.uuid]),
        "allergy-end": reverse("allergy-end", args=[allergy.uuid]),
        "red-flag-raise": reverse("red-flag-raise", args=[patient.uuid]),
        "red-flag-answer": reverse("red-flag-answer", args=[flag.uuid]),
        "open-record": reverse("open-record", args=[patient.uuid]),
        "review letter": reverse("paper", args=[letter.uuid]),
        "job card": reverse("paper", args=[card.uuid]),
    }


OPEN, REFUSED, ASKED, POST_ONLY = 200, 403, 302, 405
PAGES = [
    # page: reception, clinician, manager, maker, administrator. Asked: led to the page that asks for a reason.
    ("clients", (OPEN, OPEN, OPEN, REFUSED, REFUSED)),
    ("client-new", (OPEN, OPEN, OPEN, REFUSED, REFUSED)),
    ("client-edit", (OPEN, OPEN, OPEN, REFUSED, REFUSED)),
    ("finding-add", (REFUSED, OPEN, REFUSED, REFUSED, REFUSED)),
    ("finding-end", (REFUSED, POST_ONLY, REFUSED, REFUSED, REFUSED)),
    ("allergy-add", (REFUSED, OPEN, REFUSED, REFUSED, REFUSED)),
    ("allergy-end", (REFUSED, POST_ONLY, REFUSED, REFUSED, REFUSED)),
    ("red-flag-raise", (REFUSED, OPEN, REFUSED, REFUSED, REFUSED)),
    ("red-flag-answer", (REFUSED, OPEN, REFUSED, REFUSED, REFUSED)),
    ("open-record", (REFUSED, REFUSED, REFUSED, OPEN, OPEN)),
    ("review letter", (OPEN, OPEN, OPEN, ASKED, ASKED)),
    ("job card", (REFUSED, OPEN, OPEN, OPEN, ASKED)),
]
COLUMNS = ("reception", "clinician", "manager", "maker", "administrator")
CELLS = [(page, role, status) for page, row in PAGES for role, status in zip(COLUMNS, row, strict=True)]


@pytest.mark.django_db
@pytest.mark.parametrize(("page", "role", "status"), CELLS)
def test_a_page_opens_to_the_roles_of_the_table(signed_in: SignIn, page: str, role: str, status: int) -> None:
    client = signed_in(make_person(roles=[role]))
    assert client.get(addresses(make_patient())[page]).status_code == status


@pytest.mark.django_db
@pytest.mark.parametrize("page", [row[0] for row in PAGES])
def test_a_page_opens_to_nobody_without_a_sign_in(nobody: Client, page: str) -> None:
    answer = nobody.get(addresses(make_patient())[page])
    assert (answer.status_code, answer.headers["Location"].split("?")[0]) == (302, reverse("sign-in"))


@pytest.mark.django_db
@pytest.mark.parametrize("page", [row[0] for row in PAGES])
def test_a_page_opens_to_nobody_without_a_role(signed_in: SignIn, page: str) -> None:
    assert signed_in(make_person()).get(addresses(make_patient())[page]).status_code in {403, 405}


def test_the_table_of_pages_names_every_page_of_this_room() -> None:
    from cases.patients.urls import urlpatterns

    names = {pattern.name for pattern in urlpatterns}
    assert names == {row[0] for row in PAGES} - {"review letter", "job card"} | {"paper"}


@pytest.mark.django_db
def test_a_record_that_asks_for_a_reason_leads_there_and_back_to_the_page(signed_in: SignIn, maker: Person) -> None:
    patient = make_patient()
    letter = reverse("paper", args=[make_paper(patient).uuid])
    client = signed_in(maker)
    asked = client.get(letter)
    assert (
        asked.headers["Location"] == f"{reverse('open-record', args=[patient.uuid])}?next={letter.replace('/', '%2F')}"
    )
    opened = client.post(asked.headers["Location"], {"reason": "the letter names a size", "next": letter})
    assert (opened.status_code, opened.headers["Location"]) == (303, letter)
    assert client.get(letter).status_code == 200


@pytest.mark.django_db
@pytest.mark.parametrize("elsewhere", ["https://elsewhere.invalid/", "//elsewhere.invalid", "javascript:alert(1)"])
def test_opening_a_record_leads_to_no_other_host(signed_in: SignIn, maker: Person, elsewhere: str) -> None:
    patient = make_patient()
    answer = signed_in(maker).post(
        reverse("open-record", args=[patient.uuid]), {"reason": "the letter names a size", "next": elsewhere}
    )
    assert answer.headers["Location"] == reverse("client", args=[patient.uuid])


@pytest.mark.django_db
def test_reception_sees_that_a_red_flag_is_open_but_not_which(signed_in: SignIn, reception: Person) -> None:
    patient = make_patient()
    flag = make_red_flag(patient)
    text = signed_in(reception).get(reverse("client-edit", args=[patient.uuid])).content.decode()
    assert ("Ask a clinician before you book" in text, flag.words in text) == (True, False)


@pytest.mark.django_db
def test_reception_cannot_change_what_it_may_not_read(signed_in: SignIn, reception: Person) -> None:
    patient = make_patient(diabetes="no")
    signed_in(reception).post(
        reverse("client-edit", args=[patient.uuid]),
        {
            "given_names": "Pat",
            "family_name": "Changed",
            "born_on": "1950-03-12",
            "diabetes": "yes",
            "seen_version": patient.version,
        },
    )
    assert Patient.objects.values_list("family_name", "diabetes").get() == ("Changed", "no")


@given(st.sets(st.sampled_from(["reception", "clinician", "manager"])))
def test_an_access_gives_nothing_to_who_holds_no_role_of_those_that_ask(roles: set[str]) -> None:
    assert reading(roles, opened=True) == reading(roles, opened=False)
