"""Registering a client and changing one, by the actions and by the table itself."""

from datetime import date, datetime, timedelta
from typing import Any

import pytest
from django.db import IntegrityError, transaction

from cases.patients import actions
from cases.patients.models import Patient
from cases.patients.refusals import LooksRegistered
from shared.history import acting
from shared.models import Deed, HistoryEntry
from shared.refusals import Refused
from shared.versions import Stale
from tests.factories.patients import make_patient, make_referrer
from tests.patients.refused import constraint_of
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

WHO: dict[str, Any] = {"given_names": "Ida", "family_name": "Invented", "born_on": date(1950, 3, 12)}


def entries_of(patient: Patient, operation: str) -> list[HistoryEntry]:
    return list(
        HistoryEntry.objects.filter(table_name="patients_patient", row_id=patient.pk, operation=operation).order_by(
            "pk"
        )
    )


def test_the_first_client_gets_the_first_record_number(reception: Person, now: datetime) -> None:
    assert actions.register_patient(**WHO, by=reception, at=now).record_number == "1001"


def test_the_next_client_gets_the_next_number_whatever_older_numbers_look_like(
    reception: Person, now: datetime
) -> None:
    make_patient(record_number="1250")
    make_patient(record_number="PW-9000")
    make_patient(record_number="99999999999999999999")
    assert actions.register_patient(**WHO, by=reception, at=now).record_number == "1251"


def test_a_record_number_of_an_older_system_is_kept(reception: Person, now: datetime) -> None:
    patient = actions.register_patient(**WHO, record_number=" A 17 ", by=reception, at=now)
    assert patient.record_number == "A 17"


def test_a_record_number_is_given_once(reception: Person, now: datetime) -> None:
    make_patient(record_number="7")
    with pytest.raises(Refused, match="The record number 7 is another client's"):
        actions.register_patient(**WHO, record_number="7", by=reception, at=now)


def test_registering_leaves_one_deed_and_one_history_row(reception: Person, now: datetime) -> None:
    patient = actions.register_patient(**WHO, by=reception, at=now)
    (entry,) = entries_of(patient, "insert")
    assert (entry.deed.who_uuid, entry.deed.action, entry.deed.done_at, entry.deed.patient_uuid) == (
        reception.uuid,
        "register_patient",
        now,
        patient.uuid,
    )


def test_somebody_of_the_same_family_name_and_birthday_is_warned_about(reception: Person, now: datetime) -> None:
    there = make_patient(family_name="Ínvented", born_on=WHO["born_on"])
    with pytest.raises(LooksRegistered) as refused:
        actions.register_patient(**WHO, by=reception, at=now)
    assert refused.value.namesakes == [there]


def test_a_twin_is_registered_all_the_same(reception: Person, now: datetime) -> None:
    make_patient(family_name="Invented", born_on=WHO["born_on"])
    actions.register_patient(**WHO, namesake_is_fine=True, by=reception, at=now)
    assert Patient.objects.filter(born_on=WHO["born_on"]).count() == 2


def test_the_same_family_name_on_another_birthday_is_no_warning(reception: Person, now: datetime) -> None:
    make_patient(family_name="Invented", born_on=date(1951, 3, 12))
    assert actions.register_patient(**WHO, by=reception, at=now).pk is not None


@pytest.mark.parametrize("days", [1, 400, -365 * 130])
def test_nobody_is_born_in_the_future_or_130_years_ago(reception: Person, now: datetime, days: int) -> None:
    with pytest.raises(Refused, match="date of birth"):
        actions.register_patient(**WHO | {"born_on": now.date() + timedelta(days=days)}, by=reception, at=now)


def test_a_child_born_today_is_registered(reception: Person, now: datetime) -> None:
    patient = actions.register_patient(**WHO | {"born_on": now.date()}, by=reception, at=now)
    assert patient.born_on == now.date()


@pytest.mark.parametrize("name", ["version", "search_text", "uuid", "shoe_size"])
def test_what_is_not_entered_cannot_be_set(reception: Person, now: datetime, name: str) -> None:
    with pytest.raises(TypeError):
        actions.register_patient(**WHO | {name: 1}, by=reception, at=now)


def test_a_change_counts_the_version_up_and_leaves_one_history_row(reception: Person, now: datetime) -> None:
    patient = make_patient(phone="1")
    actions.change_patient(patient, seen_version=1, phone="2", by=reception, at=now)
    (entry,) = entries_of(patient, "update")
    assert (entry.before, entry.after) == ({"phone": "1", "version": 1}, {"phone": "2", "version": 2})


def test_a_change_says_which_fields_in_words(reception: Person, now: datetime) -> None:
    patient = make_patient()
    actions.change_patient(patient, seen_version=1, phone="2", letters_consent=True, by=reception, at=now)
    deed = Deed.objects.get(action="change_patient")
    assert deed.says == "Changed the client's record: phone, consent to letters to the referrer."


def test_saving_without_a_change_writes_nothing(reception: Person, now: datetime) -> None:
    patient = make_patient(phone="1")
    actions.change_patient(patient, seen_version=1, phone="1", by=reception, at=now)
    assert entries_of(patient, "update") == []


def test_a_changed_name_is_found_by_the_new_one(reception: Person, now: datetime) -> None:
    patient = make_patient(given_names="Ida", family_name="Before", record_number="5", phone="0161 1")
    changed = actions.change_patient(patient, seen_version=1, family_name="Åfter", by=reception, at=now)
    assert changed.search_text == "after ida 5 01611"


def test_a_referrer_is_changed(reception: Person, now: datetime) -> None:
    patient, referrer = make_patient(), make_referrer()
    assert actions.change_patient(patient, seen_version=1, referrer=referrer, by=reception, at=now).referrer == referrer


def test_whoever_saves_second_is_told_and_overwrites_nothing(
    reception: Person, clinician: Person, now: datetime
) -> None:
    patient = make_patient(phone="1")
    actions.change_patient(patient, seen_version=1, phone="2", by=clinician, at=now)
    with pytest.raises(Stale) as stale:
        actions.change_patient(patient, seen_version=1, phone="3", by=reception, at=now)
    assert (stale.value.current.phone, Patient.objects.get().phone) == ("2", "2")


def test_a_birthday_is_not_changed_to_one_that_cannot_be(reception: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="in the future"):
        actions.change_patient(
            make_patient(), seen_version=1, born_on=now.date() + timedelta(days=2), by=reception, at=now
        )


@pytest.mark.parametrize(
    ("change", "constraint"),
    [
        ({"family_name": "  "}, "client_has_a_name"),
        ({"hand_function": "magic"}, "hand_function_is_known"),
        ({"diabetes": "perhaps"}, "diabetes_is_known"),
    ],
)
def test_the_table_refuses_what_no_form_would_send(
    reception: Person, now: datetime, change: dict[str, str], constraint: str
) -> None:
    patient = make_patient()
    with (
        pytest.raises(IntegrityError) as error,
        transaction.atomic(),
        acting(by=reception, action="go_round", says="Went round the action.", at=now),
    ):
        Patient.objects.filter(pk=patient.pk).update(**change)
    assert constraint_of(error) == constraint


def test_a_change_that_does_not_say_who_and_why_is_refused_by_the_database() -> None:
    patient = make_patient()
    with pytest.raises(IntegrityError) as error, transaction.atomic():
        Patient.objects.filter(pk=patient.pk).update(phone="2")
    assert constraint_of(error) == "change_names_who_what_why"


def test_a_referrer_is_registered_with_history(reception: Person, now: datetime) -> None:
    referrer = actions.register_referrer(name="Dr Ash Invented", address="2 Invented Street", by=reception, at=now)
    entry = HistoryEntry.objects.get(table_name="patients_referrer", row_id=referrer.pk)
    assert (entry.deed.action, (entry.after or {})["name"]) == ("register_referrer", "Dr Ash Invented")
