"""Notes are answered on a draft, kept with the version, carried on, and switched off with a name and a reason."""

from collections.abc import Callable
from datetime import datetime
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse

from cases.prescriptions import actions
from cases.prescriptions.answers import background_of, rules_seen
from cases.prescriptions.models import NoteAnswer, Prescription
from cases.prescriptions.notes import Question, Wearer, notes_on
from cases.prescriptions.notes.answers import Answered, with_answers
from shared.models import Deed
from shared.refusals import NotAllowed, Refused
from shared.sides import Side
from tests.factories.base import setting_up
from tests.factories.prescriptions import make_prescription, make_signed_prescription, signed
from tests.prescriptions.shoes import a_shoe
from workshop.staff.models import Person

SignIn = Callable[[Person], Client]
pytestmark = pytest.mark.django_db
FLAT = "Rigid forefoot and a flat sole: the foot cannot roll. Rocker intended?"


def answer(version: Prescription, *, by: Person, at: datetime, **changes: Any) -> NoteAnswer:
    asked = {"rule": "rigid-and-flat", "side": "left", "sentence": FLAT, "because": "walks on a frame", **changes}
    return actions.answer_note(version, **asked, by=by, at=at)


def answers_to(version: Prescription) -> tuple[Answered, ...]:
    return background_of(version).answers


def switched_off() -> frozenset[str]:
    """For a version on which a note was answered: one is not taken for the other."""
    version = make_prescription()
    answer(version, by=version.written_by, at=version.written_at)
    background = background_of(version)
    assert len(background.answers) == 1
    return background.switched_off


def test_an_answer_says_who_kept_what_and_why(clinician: Person, now: datetime) -> None:
    version = make_prescription(written_by=clinician)
    answer(version, by=clinician, at=now)
    assert answers_to(version) == (
        Answered("rigid-and-flat", Side.LEFT, FLAT, "walks on a frame", clinician.name, before=False),
    )


def test_a_later_answer_to_the_same_note_stands(clinician: Person, now: datetime) -> None:
    version = make_prescription(written_by=clinician)
    answer(version, by=clinician, at=now)
    answer(version, because="tried, and liked", by=clinician, at=now)
    assert [each.because for each in answers_to(version)] == ["tried, and liked"]


def test_an_answer_is_a_deed_of_the_clients_story(clinician: Person, now: datetime) -> None:
    version = make_prescription(written_by=clinician)
    answer(version, by=clinician, at=now)
    deed = Deed.objects.get(action="answer_note")
    assert (deed.who_name, deed.patient_uuid, deed.says) == (
        clinician.name,
        version.patient.uuid,
        f"Kept against the note, LEFT: {FLAT} Because: walks on a frame",
    )


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"because": "  "}, "Say why it is kept."),
        ({"rule": "no-such-note"}, "There is no such note."),
        ({"side": "both"}, "Say of which foot the note is."),
        ({"sentence": ""}, "Say which question is answered."),
    ],
)
def test_an_answer_that_says_too_little_is_refused(
    clinician: Person, now: datetime, change: dict[str, str], sentence: str
) -> None:
    with pytest.raises(Refused, match=sentence):
        answer(make_prescription(written_by=clinician), by=clinician, at=now, **change)


def test_a_signed_version_takes_no_answer(clinician: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="its notes were answered"):
        answer(make_signed_prescription(written_by=clinician), by=clinician, at=now)


def test_the_database_keeps_the_answers_of_a_signed_version(clinician: Person, now: datetime) -> None:
    version = make_prescription(written_by=clinician)
    answer(version, by=clinician, at=now)
    signed(version)
    with (
        pytest.raises(IntegrityError, match="signed prescription is not changed"),
        transaction.atomic(),
        setting_up(),
    ):
        NoteAnswer.objects.filter(prescription=version).update(because="something else")


def test_a_note_is_asked_anew_when_its_answer_is_taken_back(clinician: Person, now: datetime) -> None:
    version = make_prescription(written_by=clinician)
    answer(version, by=clinician, at=now)
    actions.take_back_answer(version, rule="rigid-and-flat", side="left", sentence=FLAT, by=clinician, at=now)
    assert answers_to(version) == ()


def test_an_answer_that_was_not_given_is_not_taken_back(clinician: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="was not answered"):
        actions.take_back_answer(
            make_prescription(written_by=clinician), rule="steel-cap", side="left", sentence="x", by=clinician, at=now
        )


def test_a_new_version_carries_the_answers_on_as_last_time(clinician: Person, now: datetime) -> None:
    version = make_prescription(written_by=clinician)
    answer(version, by=clinician, at=now)
    new = actions.write_new_version(signed(version), reason="The back rubs.", by=clinician, at=now)
    assert [(each.because, each.before) for each in answers_to(new)] == [("walks on a frame", True)]


def test_a_repeat_carries_the_answers_on_as_last_time(clinician: Person, now: datetime) -> None:
    version = make_prescription(written_by=clinician)
    answer(version, by=clinician, at=now)
    repeat = actions.repeat_prescription(signed(version), by=clinician, at=now)
    assert [(each.because, each.before) for each in answers_to(repeat)] == [("walks on a frame", True)]


def test_a_question_with_other_figures_is_asked_anew() -> None:
    question = Question(a_shoe(heel={"height_mm": 29}), Wearer())
    given = Answered("heel-against-pitch", Side.LEFT, "The last does not sit: heel 6 mm higher.", "meant", "Clara")
    assert [each.is_open for each in with_answers(notes_on(question), [given])] == [True]


def test_an_answer_for_the_left_foot_answers_nothing_on_the_right() -> None:
    notes = notes_on(Question(a_shoe(carbon_zone={}), Wearer()))
    given = Answered("rigid-and-flat", Side.RIGHT, FLAT, "meant", "Clara")
    assert [each.is_open for each in with_answers(notes, [given])] == [True]


def test_a_manager_switches_a_note_off_with_a_name_and_a_reason(manager: Person, now: datetime) -> None:
    actions.switch_note("low-cut-gapes", is_off=True, reason="We cut our toplines higher.", by=manager, at=now)
    seen = next(each for each in rules_seen() if each.rule.key == "low-cut-gapes")
    assert seen.switched is not None
    assert (switched_off(), seen.switched.by, seen.switched.reason) == (
        frozenset({"low-cut-gapes"}),
        manager,
        "We cut our toplines higher.",
    )


def test_the_latest_switch_counts(manager: Person, now: datetime) -> None:
    for is_off, reason in ((True, "Not here."), (False, "After all.")):
        actions.switch_note("low-cut-gapes", is_off=is_off, reason=reason, by=manager, at=now)
    assert switched_off() == frozenset()


@pytest.mark.parametrize(
    ("rule", "reason", "sentence"),
    [
        ("no-such-note", "Because.", "There is no such note."),
        ("low-cut-gapes", " ", "Say why this note is switched."),
    ],
)
def test_a_switch_that_says_too_little_is_refused(
    manager: Person, now: datetime, rule: str, reason: str, sentence: str
) -> None:
    with pytest.raises(Refused, match=sentence):
        actions.switch_note(rule, is_off=True, reason=reason, by=manager, at=now)


def test_a_note_that_is_on_is_not_switched_on(manager: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="already switched on"):
        actions.switch_note("low-cut-gapes", is_off=False, reason="Because.", by=manager, at=now)


def test_a_clinician_switches_no_note(clinician: Person, now: datetime) -> None:
    with pytest.raises(NotAllowed):
        actions.switch_note("low-cut-gapes", is_off=True, reason="Because.", by=clinician, at=now)


def test_answering_leads_back_to_the_notes_of_the_draft(signed_in: SignIn, clinician: Person) -> None:
    version = make_prescription(written_by=clinician)
    asked = {"rule": "rigid-and-flat", "side": "left", "sentence": FLAT, "because": "walks on a frame"}
    page = signed_in(clinician).post(reverse("note-answer", args=[version.uuid]), asked)
    assert (page.status_code, page.headers["Location"]) == (303, f"/prescriptions/{version.uuid}/#notes")


def test_asking_again_takes_the_answer_back(signed_in: SignIn, clinician: Person, now: datetime) -> None:
    version = make_prescription(written_by=clinician)
    answer(version, by=clinician, at=now)
    asked = {"rule": "rigid-and-flat", "side": "left", "sentence": FLAT, "anew": "1"}
    signed_in(clinician).post(reverse("note-answer", args=[version.uuid]), asked)
    assert answers_to(version) == ()


def test_the_workshops_notes_say_who_switched_one_off_and_why(
    signed_in: SignIn, manager: Person, now: datetime
) -> None:
    actions.switch_note("low-cut-gapes", is_off=True, reason="We cut our toplines higher.", by=manager, at=now)
    page = signed_in(manager).get(reverse("notes"))
    assert f"by {manager.name}" in page.text
    assert "We cut our toplines higher." in page.text


def test_a_manager_switches_a_note_on_the_page(signed_in: SignIn, manager: Person) -> None:
    asked = {"rule": "low-cut-gapes", "switch": "off", "reason": "We cut our toplines higher."}
    page = signed_in(manager).post(reverse("note-switch"), asked)
    assert (page.status_code, switched_off()) == (303, frozenset({"low-cut-gapes"}))
