"""What is typed of a sitting and not saved yet, and the sheet to fill by hand."""

from collections.abc import Callable
from typing import Any
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from cases.lasts import actions
from cases.lasts.models import MeasureSet, MeasuringDraft
from cases.patients.models import Patient
from shared.models import Deed
from tests.factories.figures import load_figures
from tests.factories.lasts import make_measure_set
from tests.factories.patients import make_patient
from tests.factories.staff import make_person
from tests.lasts.test_measuring import address, typed
from tests.papers.reading import ReadPaper
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

SignedIn = Callable[[Person], Any]


@pytest.fixture(autouse=True)
def figures(db: None) -> None:
    load_figures()


@pytest.fixture
def patient(db: None) -> Patient:
    return make_patient()


@pytest.fixture
def tablet(signed_in: SignedIn, clinician: Person) -> Any:
    return signed_in(clinician)


# The draft ---------------------------------------------------------------------------------------------------


def keep(tablet: Any, patient: Patient, **changes: Any) -> Any:
    return tablet.post(
        reverse("measures-draft", args=[patient.uuid]), {"page": "p", "change": "1", **typed(), **changes}
    )


def test_what_is_typed_is_kept_and_said_to_be(tablet: Any, patient: Patient) -> None:
    answer = keep(tablet, patient, note="swollen by evening")
    draft = MeasuringDraft.objects.get(patient=patient)
    assert (draft.typed["left-foot_length-1"], draft.typed["note"], f"{timezone.localtime(draft.saved_at):%H:%M}") == (
        "273",
        "swollen by evening",
        answer.content.decode().partition("saved ")[2][:5],
    )


def test_what_was_typed_is_back_in_its_fields(tablet: Any, patient: Patient) -> None:
    keep(tablet, patient, **{"left-joint_girth-1": "10 in", "left-waist_girth-1": "wide"})
    form = tablet.get(address(patient)).context["form"]
    assert [form[name].value() for name in ("left-joint_girth-1", "left-waist_girth-1", "load")] == [
        "10 in",
        "wide",
        "part",
    ]


def test_a_draft_is_gone_when_the_sitting_is_saved(tablet: Any, patient: Patient) -> None:
    keep(tablet, patient)
    tablet.post(address(patient), typed())
    assert MeasuringDraft.objects.count() == 0


def test_a_draft_stays_when_the_sitting_cannot_be_saved(tablet: Any, patient: Patient) -> None:
    keep(tablet, patient)
    tablet.post(address(patient), typed(load=""))
    assert MeasuringDraft.objects.count() == 1


def test_a_draft_is_given_up_when_asked_to(tablet: Any, patient: Patient) -> None:
    keep(tablet, patient)
    answer = tablet.post(reverse("measures-draft-drop", args=[patient.uuid]))
    assert (answer.status_code, MeasuringDraft.objects.count()) == (303, 0)


def test_a_change_that_comes_in_late_changes_nothing(tablet: Any, patient: Patient) -> None:
    keep(tablet, patient, change="2", note="later")
    keep(tablet, patient, change="1", note="earlier")
    assert MeasuringDraft.objects.get().typed["note"] == "later"


def test_another_page_of_the_same_person_begins_to_count_anew(tablet: Any, patient: Patient) -> None:
    keep(tablet, patient, change="9", note="on the first page")
    keep(tablet, patient, page="q", change="1", note="on the second")
    assert MeasuringDraft.objects.get().typed["note"] == "on the second"


def test_one_change_sent_twice_is_kept_once(tablet: Any, patient: Patient) -> None:
    answers = [keep(tablet, patient).status_code for _ in range(2)]
    assert (answers, MeasuringDraft.objects.count()) == ([200, 200], 1)


def test_a_draft_is_no_record(tablet: Any, patient: Patient) -> None:
    keep(tablet, patient)
    assert (MeasureSet.objects.count(), Deed.objects.filter(action="record_measures").count()) == (0, 0)


def test_two_people_are_told_of_each_others_draft(signed_in: SignedIn, tablet: Any, patient: Patient) -> None:
    keep(tablet, patient)
    other = signed_in(make_person(name="Otto Other", roles=["clinician"]))
    kept = keep(other, patient).content.decode()
    page = tablet.get(address(patient)).content.decode()
    assert ("<strong>Clara Clinician</strong> typed" in kept, "<strong>Otto Other</strong> typed" in page) == (
        True,
        True,
    )


def test_the_number_of_a_draft_is_the_same_until_the_sitting_is_saved(
    tablet: Any, patient: Patient, clinician: Person
) -> None:
    before = tablet.get(address(patient)).context["draft_uuid"]
    again = tablet.get(address(patient)).context["draft_uuid"]
    make_measure_set(patient=patient)
    after = tablet.get(address(patient)).context["draft_uuid"]
    assert (before == again, before == after) == (True, False)


def test_nobody_else_has_the_same_number_for_a_draft(patient: Patient, clinician: Person) -> None:
    other = make_person(roles=["clinician"])
    numbers = {actions.draft_uuid(patient, person, latest=None) for person in (clinician, other)}
    assert len(numbers) == 2


def test_the_draft_says_what_there_is_to_say_about_each_line(tablet: Any, patient: Patient) -> None:
    kept = keep(tablet, patient, **{"left-joint_girth-2": "10 1/8 in"}).content.decode()
    assert ("= 257.2 mm; takes 4.2 mm apart" in kept, 'name="left-joint_girth-3"' in kept) == (True, True)


@pytest.mark.parametrize("change", ["", "-1", "٣", "9" * 40, "one"])
def test_a_page_that_cannot_count_is_kept_all_the_same(tablet: Any, patient: Patient, change: str) -> None:
    assert keep(tablet, patient, change=change).status_code == 200


def test_keeping_a_draft_takes_the_same_queries_however_much_is_typed(
    tablet: Any, patient: Patient, django_assert_num_queries: Any
) -> None:
    keep(tablet, patient)
    make_measure_set(patient=patient)
    # session, person, roles; client; last sitting, its measures; drafts; findings; visits; who measures; third take;
    # the draft read and written; the key claimed and answered; two savepoints and their ends
    with django_assert_num_queries(19):
        keep(tablet, patient, change="2", note="more")


def test_nobody_who_is_signed_out_keeps_a_draft(nobody: Client, patient: Patient) -> None:
    answer = nobody.post(reverse("measures-draft", args=[patient.uuid]), typed() | {"submission": str(uuid4())})
    assert (answer.status_code, MeasuringDraft.objects.count()) == (403, 0)


# The sheet ---------------------------------------------------------------------------------------------------


@pytest.fixture
def sheet(tablet: Any, patient: Patient) -> ReadPaper:
    make_measure_set(patient=patient, left={"foot_length": 271.5})
    return ReadPaper(tablet.get(reverse("measures-sheet", args=[patient.uuid])).content)


def test_the_sheet_is_one_page(sheet: ReadPaper) -> None:
    assert len(sheet.reader.pages) == 1


def test_the_sheet_has_the_record_number_and_no_name(sheet: ReadPaper, patient: Patient) -> None:
    text = sheet.text
    assert (patient.record_number in text, patient.family_name in text) == (True, False)


def test_the_sheet_says_what_was_measured_last_time_in_the_half_of_its_foot(sheet: ReadPaper) -> None:
    assert ("271.5 mm" in sheet.left, "271.5 mm" in sheet.right) == (True, False)
