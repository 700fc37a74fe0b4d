from datetime import datetime
from typing import Any

import pytest
from django.db import IntegrityError, connection, transaction

from shared.history import NestedDeed, acting
from shared.models import Deed, HistoryEntry
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


def constraint_of(error: pytest.ExceptionInfo[IntegrityError]) -> Any:
    cause: Any = error.value.__cause__
    return cause.diag.constraint_name


def test_a_change_outside_a_deed_is_refused_by_the_database(maker: Person) -> None:
    with pytest.raises(IntegrityError) as error, transaction.atomic():
        Person.objects.filter(pk=maker.pk).update(name="Somebody Else")
    assert constraint_of(error) == "change_names_who_what_why"


def test_a_change_has_exactly_one_history_row_with_who_what_and_why(maker: Person, now: datetime) -> None:
    with acting(by=maker, action="rename", says="Took a new name.", at=now, reason="married"):
        Person.objects.filter(pk=maker.pk).update(name="Max Newname")
    entry = HistoryEntry.objects.get(table_name="staff_person", row_id=maker.pk, operation="update")
    assert (entry.deed.who_uuid, entry.deed.action, entry.deed.reason) == (maker.uuid, "rename", "married")
    assert (entry.before, entry.after) == ({"name": "Max Maker"}, {"name": "Max Newname"})


def test_an_update_that_changes_nothing_leaves_no_history(maker: Person, now: datetime) -> None:
    before = HistoryEntry.objects.count()
    with acting(by=maker, action="rename", says="Kept the name.", at=now):
        Person.objects.filter(pk=maker.pk).update(name=maker.name)
    assert HistoryEntry.objects.count() == before


def test_an_unrecorded_column_never_enters_history(maker: Person, now: datetime) -> None:
    maker.set_password("another long password")
    maker.save(update_fields=["password"])
    assert [entry.after for entry in HistoryEntry.objects.filter(after__has_key="password")] == []


def test_a_deed_refuses_to_begin_inside_another(maker: Person, now: datetime) -> None:
    with (
        pytest.raises(NestedDeed),
        acting(by=maker, action="outer", says="Outer.", at=now),
        acting(by=maker, action="inner", says="Inner.", at=now),
    ):
        pass


def test_a_deed_of_an_earlier_transaction_cannot_be_used_again(maker: Person, now: datetime) -> None:
    with acting(by=maker, action="rename", says="Took a new name.", at=now) as deed:
        pass
    # Inside one test all is one transaction, so the stamp of another one is put on by hand.
    with connection.cursor() as cursor:
        cursor.execute("ALTER TABLE shared_deed DISABLE TRIGGER USER")
        cursor.execute("UPDATE shared_deed SET transaction_id = transaction_id - 1 WHERE id = %s", [deed.pk])
        cursor.execute("ALTER TABLE shared_deed ENABLE TRIGGER USER")
        cursor.execute("SELECT set_config('pairwright.deed', %s, true)", [str(deed.pk)])
    with pytest.raises(IntegrityError) as error, transaction.atomic():
        Person.objects.filter(pk=maker.pk).update(name="Somebody Else")
    assert constraint_of(error) == "change_names_who_what_why"


@pytest.mark.parametrize("change", [{"reason": "forged"}, {"who_name": "Nobody"}])
def test_a_deed_cannot_be_rewritten(maker: Person, change: dict[str, str]) -> None:
    with pytest.raises(IntegrityError) as error, transaction.atomic():
        Deed.objects.update(**change)
    assert constraint_of(error) == "deed_is_final"


def test_a_deed_without_a_reason_is_refused(maker: Person, now: datetime) -> None:
    with (
        pytest.raises(IntegrityError) as error,
        acting(by=maker, action="rename", says="Took a new name.", at=now, reason="  "),
    ):
        pass
    assert constraint_of(error) == "deed_says_who_what_why"


def test_history_cannot_be_deleted(maker: Person) -> None:
    with pytest.raises(IntegrityError) as error, transaction.atomic():
        HistoryEntry.objects.all().delete()
    assert constraint_of(error) == "history_is_final"
