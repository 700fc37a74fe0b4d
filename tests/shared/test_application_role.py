"""What the application's own database role can do to the past, and to the guards: nothing."""

from collections.abc import Iterator
from typing import Any

import pytest
from django.db import DatabaseError, connection, transaction
from django.db.models import Model

from shared.privileges import APPLICATION_ROLE, grant_to_application_role
from tests.architecture.walk import own_models
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

PERMISSION_DENIED = "42501"


def run(sql: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute(sql)


@pytest.fixture
def as_application_role(maker: Person) -> Iterator[None]:
    """The session acts with the rights of the application's role, as it does while serving."""
    from django.apps import apps

    with connection.cursor() as cursor:
        cursor.execute("SELECT 1 FROM pg_roles WHERE rolname = %s", [APPLICATION_ROLE])
        if cursor.fetchone() is None:
            cursor.execute(f"CREATE ROLE {APPLICATION_ROLE}")
    grant_to_application_role(apps.get_app_config("shared"))
    run(f"SET LOCAL ROLE {APPLICATION_ROLE}")
    yield
    run("RESET ROLE")


def sqlstate_of(sql: str) -> Any:
    with pytest.raises(DatabaseError) as error, transaction.atomic():
        run(sql)
    cause: Any = error.value.__cause__
    return cause.sqlstate


FINAL = [model for model in own_models() if getattr(model, "append_only", False)]


@pytest.mark.parametrize("model", FINAL, ids=lambda model: model._meta.label)
def test_a_final_row_can_be_neither_changed_nor_deleted(as_application_role: None, model: type[Model]) -> None:
    table = model._meta.db_table
    assert sqlstate_of(f"UPDATE {table} SET id = id") == PERMISSION_DENIED
    assert sqlstate_of(f"DELETE FROM {table}") == PERMISSION_DENIED


@pytest.mark.parametrize("verb", ["INSERT INTO shared_historyentry DEFAULT VALUES", "DELETE FROM shared_historyentry"])
def test_history_is_written_by_the_database_alone(as_application_role: None, verb: str) -> None:
    assert sqlstate_of(verb) == PERMISSION_DENIED


@pytest.mark.parametrize("model", own_models(), ids=lambda model: model._meta.label)
def test_no_table_can_be_emptied_or_stripped_of_its_guards(as_application_role: None, model: type[Model]) -> None:
    table = model._meta.db_table
    assert sqlstate_of(f"TRUNCATE {table} CASCADE") == PERMISSION_DENIED
    assert sqlstate_of(f"ALTER TABLE {table} DISABLE TRIGGER ALL") == PERMISSION_DENIED


def test_triggers_cannot_be_silenced_for_a_session(as_application_role: None) -> None:
    assert sqlstate_of("SET session_replication_role = replica") == PERMISSION_DENIED


def test_naming_a_guard_to_be_ignored_does_not_help(as_application_role: None, maker: Person) -> None:
    with connection.cursor() as cursor:
        cursor.execute("SELECT array_agg(tgname)::text FROM pg_trigger WHERE tgname LIKE 'pgtrigger%'")
        (every_guard,) = cursor.fetchone()
        cursor.execute("SELECT set_config('pgtrigger.ignore', %s, true)", [every_guard])
    with pytest.raises(DatabaseError) as error, transaction.atomic():
        Person.objects.filter(pk=maker.pk).update(name="Somebody Else")
    cause: Any = error.value.__cause__
    assert cause.diag.constraint_name == "change_names_who_what_why"


def test_every_guard_runs_with_its_owners_rights_on_a_fixed_path_and_without_a_switch() -> None:
    with connection.cursor() as cursor:
        cursor.execute(
            """
            SELECT t.tgname FROM pg_trigger t JOIN pg_proc f ON f.oid = t.tgfoid
             WHERE t.tgname LIKE 'pgtrigger%%' AND NOT (
                f.prosecdef AND f.proconfig @> ARRAY['search_path=public, pg_temp']
                AND position('ignore' IN f.prosrc) = 0 AND t.tgenabled = 'O'
             )
            """
        )
        assert cursor.fetchall() == []


def test_every_declared_guard_is_installed() -> None:
    import pgtrigger

    declared = {trigger.get_pgid(model) for model, trigger in pgtrigger.registered()}
    with connection.cursor() as cursor:
        cursor.execute("SELECT tgname FROM pg_trigger WHERE tgname LIKE 'pgtrigger%%'")
        assert {name for (name,) in cursor.fetchall()} == declared
