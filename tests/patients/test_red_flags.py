"""Red flags: raised once, answered in full, kept as they were answered."""

from datetime import datetime
from typing import Any

import pytest
from django.db import IntegrityError, transaction

from cases.patients import actions, queries
from cases.patients.models import RedFlag
from cases.patients.red_flags import SIGNS
from shared.history import acting
from shared.models import HistoryEntry
from shared.refusals import Refused
from shared.sides import Side
from tests.factories.patients import make_patient, make_red_flag
from tests.patients.refused import constraint_of
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

ANSWER: dict[str, Any] = {"what_was_done": "shoes off, rang the foot clinic", "referred_to": "foot clinic, today"}


def update_refused(flag: RedFlag, by: Person, at: datetime, **change: Any) -> str | None:
    """The constraint by which the database refuses this change of the row."""
    with (
        pytest.raises(IntegrityError) as error,
        transaction.atomic(),
        acting(by=by, action="go_round", says="Went round the action.", at=at),
    ):
        RedFlag.objects.filter(pk=flag.pk).update(**change)
    return constraint_of(error)


@pytest.mark.parametrize("sign", SIGNS)
def test_every_sign_can_be_raised_on_a_foot(clinician: Person, now: datetime, sign: str) -> None:
    flag = actions.raise_red_flag(make_patient(), sign=sign, side=Side.LEFT, by=clinician, at=now)
    assert str(flag) == f"{SIGNS[sign].words} LEFT"


def test_a_sign_of_the_whole_person_needs_no_side(clinician: Person, now: datetime) -> None:
    flag = actions.raise_red_flag(make_patient(), sign="spreading_redness_or_fever", side=None, by=clinician, at=now)
    assert flag.side is None


@pytest.mark.parametrize(
    ("sign", "side", "sentence"),
    [
        ("cold_feet", Side.LEFT, "This sign is not in the list."),
        ("hot_swollen_foot", None, "Say on which foot or leg: LEFT or RIGHT."),
    ],
)
def test_a_sign_that_does_not_fit_the_list_is_refused(
    clinician: Person, now: datetime, sign: str, side: Side | None, sentence: str
) -> None:
    with pytest.raises(Refused, match=sentence):
        actions.raise_red_flag(make_patient(), sign=sign, side=side, by=clinician, at=now)


def test_an_open_sign_is_raised_once_on_a_foot(clinician: Person, now: datetime) -> None:
    patient = make_patient()
    actions.raise_red_flag(patient, sign="hot_swollen_foot", side=Side.LEFT, by=clinician, at=now)
    with pytest.raises(Refused, match="Already raised and not yet answered"):
        actions.raise_red_flag(patient, sign="hot_swollen_foot", side=Side.LEFT, by=clinician, at=now)


def test_the_table_keeps_an_open_sign_once() -> None:
    patient = make_patient()
    make_red_flag(patient)
    with pytest.raises(IntegrityError) as error, transaction.atomic():
        make_red_flag(patient)
    assert constraint_of(error) == "a_red_flag_stands_once"


def test_a_red_flag_is_open_until_it_is_answered(clinician: Person, now: datetime) -> None:
    patient = make_patient()
    flag = make_red_flag(patient)
    assert list(queries.open_red_flags(patient)) == [flag]
    actions.answer_red_flag(flag, **ANSWER, by=clinician, at=now)
    assert list(queries.open_red_flags(patient)) == []


def test_an_answer_is_kept_with_who_and_when(clinician: Person, now: datetime) -> None:
    flag = make_red_flag(make_patient())
    actions.answer_red_flag(flag, **ANSWER, by=clinician, at=now)
    kept = RedFlag.objects.values_list("what_was_done", "referred_to", "answered_at", "answered_by").get()
    assert kept == (ANSWER["what_was_done"], ANSWER["referred_to"], now, clinician.pk)


@pytest.mark.parametrize("missing", ["what_was_done", "referred_to"])
def test_an_answer_that_is_not_full_is_refused(clinician: Person, now: datetime, missing: str) -> None:
    flag = make_red_flag(make_patient())
    with pytest.raises(Refused, match="Say what was done, and to whom the client was sent"):
        actions.answer_red_flag(flag, **ANSWER | {missing: "  "}, by=clinician, at=now)


@pytest.mark.parametrize("missing", ["what_was_done", "referred_to"])
def test_the_table_refuses_an_answer_that_is_not_full(clinician: Person, now: datetime, missing: str) -> None:
    flag = make_red_flag(make_patient())
    answer = ANSWER | {"answered_at": now, "answered_by": clinician, missing: "  "}
    assert update_refused(flag, clinician, now, **answer) == "a_red_flag_is_answered_in_full"


def test_the_table_refuses_an_answer_by_nobody(clinician: Person, now: datetime) -> None:
    flag = make_red_flag(make_patient())
    assert update_refused(flag, clinician, now, **ANSWER, answered_at=now) == "a_red_flag_is_answered_in_full"


def test_an_answer_is_given_once(clinician: Person, now: datetime) -> None:
    flag = make_red_flag(make_patient())
    actions.answer_red_flag(flag, **ANSWER, by=clinician, at=now)
    with pytest.raises(Refused, match="already answered"):
        actions.answer_red_flag(flag, **ANSWER, by=clinician, at=now)


def test_the_table_refuses_to_change_an_answer(clinician: Person, now: datetime) -> None:
    flag = make_red_flag(make_patient(), **ANSWER, answered_at=now, answered_by=clinician)
    assert update_refused(flag, clinician, now, what_was_done="nothing") == "red_flag_answer_is_kept"


def test_the_table_refuses_to_forget_a_red_flag(clinician: Person, now: datetime) -> None:
    flag = make_red_flag(make_patient())
    with (
        pytest.raises(IntegrityError) as error,
        transaction.atomic(),
        acting(by=clinician, action="go_round", says="Went round the action.", at=now),
    ):
        flag.delete()
    assert constraint_of(error) == "red_flag_answer_is_kept"


def test_raising_and_answering_leave_one_history_row_each(clinician: Person, now: datetime) -> None:
    flag = actions.raise_red_flag(make_patient(), sign="sudden_foot_drop", side=Side.RIGHT, by=clinician, at=now)
    actions.answer_red_flag(flag, **ANSWER, by=clinician, at=now)
    entries = HistoryEntry.objects.filter(table_name="patients_redflag", row_id=flag.pk).order_by("pk")
    assert [(entry.operation, entry.deed.action) for entry in entries] == [
        ("insert", "raise_red_flag"),
        ("update", "answer_red_flag"),
    ]
