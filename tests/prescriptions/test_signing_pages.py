"""The page on which a prescription is signed, and what may be done with it afterwards."""

import re
from collections.abc import Callable
from datetime import datetime

import pytest
from django.test import Client

from cases.prescriptions import actions, queries
from cases.prescriptions.models import Prescription
from shared.sides import Side
from tests.factories.figures import load_figures
from tests.factories.patients import make_finding, make_red_flag
from tests.factories.prescriptions import make_signed_prescription
from tests.factories.staff import make_person
from tests.prescriptions.drafts import a_draft_that_is_asked_about, address, complete_draft, lines, page_of, words_of
from tests.prescriptions.pages import filled_in
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person], Client]


@pytest.fixture(autouse=True)
def figures(db: None) -> None:
    load_figures()


@pytest.fixture
def at_the_tablet(clinician: Person, signed_in: SignIn) -> Client:
    return signed_in(clinician)


# Signing -----------------------------------------------------------------------------------------------------


def test_one_touch_signs_what_was_read(at_the_tablet: Client, clinician: Person) -> None:
    draft = complete_draft()
    sign = address(draft, "prescription-sign")
    at_the_tablet.post(sign, filled_in(at_the_tablet.get(sign).content.decode()))
    signed = queries.whole(draft.uuid)
    assert (signed.status, signed.signed_by) == ("signed", clinician)


def test_what_was_typed_is_saved_on_the_way_to_signing(at_the_tablet: Client) -> None:
    draft = complete_draft()
    page = page_of(at_the_tablet, draft) | {"left-heel-height_mm": "18", "then": "sign"}
    answer = at_the_tablet.post(address(draft), page)
    assert (answer["Location"], lines(draft, "left", "heel")["height"]) == (
        address(draft, "prescription-sign"),
        "18 mm",
    )


def test_what_is_missing_is_listed_and_there_is_nothing_to_sign_with(at_the_tablet: Client) -> None:
    draft = complete_draft(left={"heel": None}, right={"stiffener": {"medial_reach_mm": None}})
    page = at_the_tablet.get(address(draft, "prescription-sign")).content.decode()
    listed = re.findall(r"<li>(LEFT: .*?|RIGHT: .*?)</li>", page)
    assert (listed, "Sign version" in page) == (
        ["LEFT: the height of the heel.", "RIGHT: the medial reach of the stiffener in mm."],
        False,
    )


def test_a_draft_saved_while_it_was_read_is_not_signed(at_the_tablet: Client) -> None:
    draft = complete_draft()
    sign = address(draft, "prescription-sign")
    read = filled_in(at_the_tablet.get(sign).content.decode())
    at_the_tablet.post(address(draft), page_of(at_the_tablet, draft) | {"left-heel-height_mm": "30"})
    answer = at_the_tablet.post(sign, read)
    assert (answer.status_code, queries.whole(draft.uuid).status) == (409, "draft")


def test_a_clinician_who_may_not_prescribe_cannot_sign(signed_in: SignIn) -> None:
    draft = complete_draft()
    client = signed_in(make_person(roles=["clinician"]))
    sign = address(draft, "prescription-sign")
    answer = client.post(sign, {"seen_version": draft.version})
    assert (answer.status_code, queries.whole(draft.uuid).status) == (403, "draft")


def test_open_red_flags_stand_before_what_is_signed(at_the_tablet: Client) -> None:
    draft = complete_draft()
    make_red_flag(draft.patient, sign="sudden_foot_drop", side=Side.LEFT)
    page = words_of(at_the_tablet.get(address(draft, "prescription-sign")).content)
    assert 0 < page.index("LEFT: Sudden new foot drop") < page.index("The pair")


def listed_on(page: bytes) -> list[str]:
    """The notes that stand on the page to sign with."""
    found = re.search(r'id="unanswered".*?</ul>', page.decode(), flags=re.DOTALL)
    return re.findall(r"<li><strong>(LEFT|RIGHT)</strong>", found[0]) if found else []


def test_notes_without_an_answer_are_listed_where_it_is_signed(at_the_tablet: Client) -> None:
    page = at_the_tablet.get(address(a_draft_that_is_asked_about(), "prescription-sign")).content
    said = words_of(page)
    assert ("promised" in said, f"with {len(listed_on(page))} notes unanswered" in said) == (True, True)


def test_nothing_is_signed_by_who_did_not_read_the_notes(at_the_tablet: Client) -> None:
    draft = a_draft_that_is_asked_about()
    answer = at_the_tablet.post(address(draft, "prescription-sign"), {"seen_version": draft.version})
    listed = len(listed_on(answer.content)) > 0
    assert (answer.status_code, listed, queries.whole(draft.uuid).status) == (422, True, "draft")


def test_nothing_is_signed_by_who_read_other_notes(at_the_tablet: Client) -> None:
    draft = a_draft_that_is_asked_about()
    sign = address(draft, "prescription-sign")
    read = filled_in(at_the_tablet.get(sign).content.decode())
    make_finding(draft.patient, side=Side.RIGHT, condition="hallux_rigidus")
    answer = at_the_tablet.post(sign, read)
    assert (answer.status_code, queries.whole(draft.uuid).status) == (422, "draft")


def test_signed_with_its_notes_read_it_is_signed(at_the_tablet: Client) -> None:
    draft = a_draft_that_is_asked_about()
    sign = address(draft, "prescription-sign")
    at_the_tablet.post(sign, filled_in(at_the_tablet.get(sign).content.decode()))
    assert queries.whole(draft.uuid).status == "signed"


# After signing -----------------------------------------------------------------------------------------------


def test_a_signed_version_is_read_and_cannot_be_written_on(at_the_tablet: Client) -> None:
    signed = make_signed_prescription()
    answer = at_the_tablet.post(address(signed), {"seen_version": signed.version})
    assert (answer.status_code, "LEFT and RIGHT" in words_of(at_the_tablet.get(address(signed)).content)) == (
        409,
        False,
    )


def test_a_new_version_asks_why(at_the_tablet: Client) -> None:
    signed = make_signed_prescription()
    answer = at_the_tablet.post(address(signed, "prescription-new-version"), {"reason": " "})
    assert (answer.status_code, Prescription.objects.count()) == (422, 1)


def test_the_new_version_says_what_it_changes_from_the_one_it_follows(
    at_the_tablet: Client, clinician: Person, now: datetime
) -> None:
    signed = make_signed_prescription()
    draft = actions.write_new_version(signed, reason="The heel was too low.", by=clinician, at=now)
    actions.save_draft(draft, seen_version=1, parts={"left": {"heel": {"height_mm": 25}}}, by=clinician, at=now)
    page = words_of(at_the_tablet.get(address(draft, "prescription-sign")).content)
    assert "Why: The heel was too low." in page
    assert "LEFT Heel Height 22 mm 25 mm" in page


def test_a_withdrawn_version_says_so(at_the_tablet: Client) -> None:
    signed = make_signed_prescription()
    at_the_tablet.post(address(signed, "prescription-withdraw"))
    assert "This version was withdrawn" in words_of(at_the_tablet.get(address(signed)).content)
