"""Findings and allergies, by the actions and by the tables themselves."""

import re
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.db import IntegrityError, transaction
from django.test import Client
from django.urls import reverse

from cases.patients import actions, queries
from cases.patients.models import Allergy, Finding
from cases.patients.risk import Answer
from shared.history import acting
from shared.models import Deed, HistoryEntry
from shared.refusals import Refused
from shared.sides import Side
from tests.factories.patients import make_allergy, make_finding, make_patient, make_red_flag
from tests.patients.refused import constraint_of
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


def record(by: Person, at: datetime, **fields: Any) -> Finding:
    patient = fields.pop("patient", None) or make_patient()
    return actions.record_finding(
        patient, **{"side": Side.LEFT, "condition": "hammer_toe", "place": "2nd toe", **fields}, by=by, at=at
    )


def test_a_finding_is_kept_with_everything_that_was_said(clinician: Person, now: datetime) -> None:
    finding = record(
        clinician, now, flexibility="fixed", marked="severe", since="two years", note="rubs in the present shoe"
    )
    kept = Finding.objects.values("side", "condition", "place", "flexibility", "marked", "since", "note", "found_on")
    assert kept.get(pk=finding.pk) == {
        "side": "left",
        "condition": "hammer_toe",
        "place": "2nd toe",
        "flexibility": "fixed",
        "marked": "severe",
        "since": "two years",
        "note": "rubs in the present shoe",
        "found_on": now.date(),
    }


def test_a_finding_says_in_the_story_what_and_on_which_foot(clinician: Person, now: datetime) -> None:
    finding = record(clinician, now)
    deed = Deed.objects.get(action="record_finding")
    assert (deed.says, deed.patient_uuid) == ("Found: Hammer toe, 2nd toe LEFT.", finding.patient.uuid)


def test_a_finding_leaves_one_history_row(clinician: Person, now: datetime) -> None:
    finding = record(clinician, now)
    assert HistoryEntry.objects.filter(table_name="patients_finding", row_id=finding.pk).count() == 1


def test_the_same_live_finding_twice_is_refused_in_a_sentence(clinician: Person, now: datetime) -> None:
    finding = record(clinician, now)
    with pytest.raises(Refused, match=r"Already recorded: Hammer toe, 2nd toe LEFT\. End it first"):
        record(clinician, now, patient=finding.patient, place=" 2ND  toe")


@pytest.mark.parametrize("other", [{"side": Side.RIGHT}, {"place": "3rd toe"}, {"condition": "claw_toe"}])
def test_another_foot_place_or_condition_is_another_finding(
    clinician: Person, now: datetime, other: dict[str, Any]
) -> None:
    finding = record(clinician, now)
    record(clinician, now, patient=finding.patient, **other)
    assert Finding.objects.count() == 2


def test_an_ended_finding_may_come_again(clinician: Person, now: datetime) -> None:
    finding = record(clinician, now)
    actions.end_finding(finding, by=clinician, at=now)
    record(clinician, now, patient=finding.patient)
    assert list(Finding.objects.order_by("pk").values_list("ended_on", flat=True)) == [now.date(), None]


def test_a_finding_ends_once(clinician: Person, now: datetime) -> None:
    finding = record(clinician, now)
    actions.end_finding(finding, by=clinician, at=now)
    with pytest.raises(Refused, match="already ended"):
        actions.end_finding(finding, by=clinician, at=now)


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"condition": "sixth_toe"}, "This finding is not in the list."),
        ({"side": None}, "Hammer toe is found on a foot: say LEFT, RIGHT or both."),
        ({"condition": "falls", "place": ""}, "Falls in the last 12 months is a finding about the person"),
        ({"condition": "callus", "flexibility": "fixed"}, "Fixed or flexible is no question for this finding: Callus."),
    ],
)
def test_what_does_not_fit_the_list_is_refused_in_a_sentence(
    clinician: Person, now: datetime, fields: dict[str, Any], sentence: str
) -> None:
    with pytest.raises(Refused, match=sentence):
        record(clinician, now, **fields)


@pytest.mark.parametrize("side", [Side.LEFT, Side.RIGHT, None])
def test_the_table_keeps_a_live_finding_once_whoever_writes(
    clinician: Person, now: datetime, side: Side | None
) -> None:
    patient = make_patient()
    make_finding(patient, side=side, condition="oedema", place="foot")
    with pytest.raises(IntegrityError) as error, transaction.atomic():
        make_finding(patient, side=side, condition="oedema", place="foot")
    assert constraint_of(error) == "a_finding_stands_once"


@pytest.mark.parametrize(
    ("change", "constraint"),
    [
        ({"side": "mid"}, "finding_side_is_known"),
        ({"flexibility": "bendy"}, "finding_flexibility_is_known"),
        ({"marked": "awful"}, "finding_grade_is_known"),
    ],
)
def test_the_table_refuses_a_finding_in_words_it_does_not_know(
    clinician: Person, now: datetime, change: dict[str, str], constraint: str
) -> None:
    finding = make_finding(make_patient())
    with (
        pytest.raises(IntegrityError) as error,
        transaction.atomic(),
        acting(by=clinician, action="go_round", says="Went round the action.", at=now),
    ):
        Finding.objects.filter(pk=finding.pk).update(**change)
    assert constraint_of(error) == constraint


def test_findings_stand_by_foot_in_the_order_of_the_list(clinician: Person) -> None:
    patient = make_patient()
    general = make_finding(patient, side=None, condition="falls")
    haglund = make_finding(patient, side=Side.RIGHT, condition="haglund")
    corn = make_finding(patient, side=Side.RIGHT, condition="corn")
    left = make_finding(patient, side=Side.LEFT)
    make_finding(patient, side=Side.LEFT, condition="corn", ended_on=patient.born_on)
    findings = queries.findings_of(patient)
    assert (findings.left, findings.right, findings.general) == ((left,), (corn, haglund), (general,))


def test_the_screening_risk_is_worked_out_from_live_findings_alone(clinician: Person) -> None:
    patient = make_patient(diabetes="yes")
    make_finding(patient, condition="loss_of_protective_sensation")
    make_finding(patient, condition="healed_ulcer", ended_on=patient.born_on)
    assert queries.screening_of(patient, queries.findings_of(patient)).level == 1


def test_the_screening_risk_of_a_client_whose_diabetes_is_not_known_asks(clinician: Person) -> None:
    patient = make_patient()
    make_finding(patient, condition="loss_of_protective_sensation")
    assert queries.screening_of(patient, queries.findings_of(patient)).answer is Answer.ASK


def test_an_open_wound_without_a_red_flag_on_that_foot_is_pointed_out() -> None:
    patient = make_patient()
    left = make_finding(patient, side=Side.LEFT, condition="open_wound")
    make_finding(patient, side=Side.RIGHT, condition="open_wound")
    make_finding(patient, side=Side.RIGHT, condition="corn")
    make_red_flag(patient, side=Side.RIGHT, sign="open_or_infected_wound")
    findings = queries.findings_of(patient)
    assert queries.signs_to_raise(findings, queries.open_red_flags(patient)) == [left]


def test_a_sign_found_stands_with_the_latest_answer_for_its_own_foot(clinician: Person, now: datetime) -> None:
    patient = make_patient()
    left = make_finding(patient, side=Side.LEFT, condition="open_wound")
    right = make_finding(patient, side=Side.RIGHT, condition="open_wound")
    corn = make_finding(patient, side=Side.RIGHT, condition="corn")
    for days in (9, 2):
        flag = make_red_flag(patient, side=Side.LEFT, sign="open_or_infected_wound")
        actions.answer_red_flag(
            flag, what_was_done=f"{days} days ago", referred_to="clinic", by=clinician, at=now - timedelta(days=days)
        )
    found = queries.signs_found(patient, [left, right, corn])
    assert [(each.finding, each.answer and each.answer.what_was_done) for each in found] == [
        (left, "2 days ago"),
        (right, None),
    ]


def test_one_touch_raises_a_finding_as_a_red_flag_on_its_own_foot(
    signed_in: Callable[[Person], Client], clinician: Person
) -> None:
    patient = make_patient()
    make_finding(patient, side=Side.RIGHT, condition="open_wound")
    page = signed_in(clinician).get(reverse("finding-add", args=[patient.uuid])).content.decode()
    assert re.findall(r'name="side" value="(\w+)" aria-label="([^"]+)"', page) == [
        ("right", "Raise a red flag: Open wound RIGHT")
    ]


def test_an_allergy_is_recorded_once_however_it_is_written(clinician: Person, now: datetime) -> None:
    patient = make_patient()
    actions.record_allergy(patient, kind="material", substance="Chrome  salts", by=clinician, at=now)
    with pytest.raises(Refused, match="Already recorded: material: chrome salts"):
        actions.record_allergy(patient, kind="material", substance="chrome salts", by=clinician, at=now)


def test_an_allergy_ends_once(clinician: Person, now: datetime) -> None:
    allergy = make_allergy(make_patient())
    actions.end_allergy(allergy, by=clinician, at=now)
    with pytest.raises(Refused, match="already ended"):
        actions.end_allergy(allergy, by=clinician, at=now)


def test_a_change_of_an_allergy_leaves_one_history_row_each(clinician: Person, now: datetime) -> None:
    allergy = actions.record_allergy(make_patient(), kind="adhesive", substance="neoprene", by=clinician, at=now)
    actions.end_allergy(allergy, by=clinician, at=now)
    entries = HistoryEntry.objects.filter(table_name="patients_allergy", row_id=allergy.pk).order_by("pk")
    assert [(entry.operation, entry.deed.action) for entry in entries] == [
        ("insert", "record_allergy"),
        ("update", "end_allergy"),
    ]


def test_the_table_keeps_a_live_allergy_once() -> None:
    patient = make_patient()
    make_allergy(patient)
    with pytest.raises(IntegrityError) as error, transaction.atomic():
        make_allergy(patient)
    assert constraint_of(error) == "an_allergy_stands_once"
    assert Allergy.objects.count() == 1
