"""Opening a record from outside the case: with a reason, until midnight, on record for good."""

from datetime import datetime, timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from cases.patients import actions, queries
from cases.patients.models import RecordAccess
from shared.history import acting
from shared.models import Deed
from shared.refusals import Refused
from tests.factories.patients import make_access, make_patient
from tests.patients.refused import constraint_of
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


def test_a_record_opened_with_a_reason_is_open_until_midnight(maker: Person, now: datetime) -> None:
    patient = make_patient()
    actions.open_record(patient, reason="measures of the last are missing", by=maker, at=now)
    midnight = timezone.localtime(now).replace(hour=0, minute=0) + timedelta(days=1)
    moments = [now - timedelta(minutes=1), now, midnight - timedelta(seconds=1), midnight]
    assert [queries.has_opened(maker, patient, at=at) for at in moments] == [False, True, True, False]


def test_one_opened_record_opens_no_other_one_and_for_nobody_else(
    maker: Person, administrator: Person, now: datetime
) -> None:
    opened, other = make_patient(), make_patient()
    actions.open_record(opened, reason="measures of the last are missing", by=maker, at=now)
    assert [
        queries.has_opened(person, patient, at=now)
        for person, patient in [(maker, opened), (maker, other), (administrator, opened)]
    ] == [True, False, False]


def test_the_reason_is_kept_as_typed_by_a_person(maker: Person, now: datetime) -> None:
    patient = make_patient()
    actions.open_record(patient, reason="  asked by   the client ", by=maker, at=now)
    deed = Deed.objects.get(action="open_record")
    assert (deed.reason, deed.reason_typed, deed.patient_uuid) == ("asked by the client", True, patient.uuid)


@pytest.mark.parametrize("reason", ["", "  ", "a", "a b", "\n\n\n\n"])
def test_a_record_is_not_opened_without_a_reason(maker: Person, now: datetime, reason: str) -> None:
    with pytest.raises(Refused, match="why you need this record"):
        actions.open_record(make_patient(), reason=reason, by=maker, at=now)


@pytest.mark.parametrize("reason", ["", "  ", "a b", "   \n  "])
def test_the_table_refuses_an_access_without_a_reason(maker: Person, now: datetime, reason: str) -> None:
    with pytest.raises(IntegrityError) as error, transaction.atomic():
        make_access(make_patient(), maker, at=now, reason=reason)
    assert constraint_of(error) == "access_outside_the_case_has_a_reason"


def test_the_table_refuses_to_rewrite_who_opened_a_record(maker: Person, now: datetime) -> None:
    access = make_access(make_patient(), maker, at=now)
    with (
        pytest.raises(IntegrityError) as error,
        transaction.atomic(),
        acting(by=maker, action="go_round", says="Went round the action.", at=now),
    ):
        RecordAccess.objects.filter(pk=access.pk).update(reason="something nicer")
    assert constraint_of(error) == "access_is_final"


def test_the_table_refuses_to_forget_who_opened_a_record(maker: Person, now: datetime) -> None:
    access = make_access(make_patient(), maker, at=now)
    with (
        pytest.raises(IntegrityError) as error,
        transaction.atomic(),
        acting(by=maker, action="go_round", says="Went round the action.", at=now),
    ):
        access.delete()
    assert constraint_of(error) == "access_is_final"
