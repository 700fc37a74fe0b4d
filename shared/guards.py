"""Triggers that no role of the application can switch off.

The library's own triggers begin with a hook that any session may set to skip them. A `Guard` is the same
declaration, migrated by the same library, without the hook, and runs with its owner's rights on a fixed search
path. Migrations import `GuardSql`: change its text only by adding a new class.
"""

from typing import Any

import pgtrigger
from django.db import models
from pgtrigger import compiler


class GuardSql(compiler.UpsertTriggerSql):
    """The SQL that installs a guard."""

    def get_template(self) -> str:
        return """
            CREATE OR REPLACE FUNCTION {pgid}()
            RETURNS TRIGGER AS $$
                {declare}
                BEGIN
                    {func}
                END;
            $$ LANGUAGE plpgsql SECURITY DEFINER SET search_path = public, pg_temp;

            DROP TRIGGER IF EXISTS {pgid} ON {table};
            CREATE {constraint} TRIGGER {pgid}
                {when} {operation} ON {table}
                {timing}
                {referencing}
                FOR EACH {level} {condition}
                EXECUTE PROCEDURE {execute};

            COMMENT ON TRIGGER {pgid} ON {table} IS '{hash}';
        """


class Guard(pgtrigger.Trigger):
    """A row trigger that always runs, whoever asks."""

    def compile(self, model: models.Model) -> compiler.Trigger:
        kwargs: dict[str, Any] = dict(super().compile(model).sql.kwargs)
        kwargs.pop("ignore_func_name", None)
        kwargs["table"] = model._meta.db_table
        return compiler.Trigger(name=self.name, sql=GuardSql(**kwargs))


def refuse(constraint: str, message: str, *arguments: str) -> str:
    """SQL that raises a check violation named `constraint`, so that the application can say it kindly.

    `message` may hold `%` placeholders for `arguments`, which are SQL expressions.
    """
    values = "".join(f", {argument}" for argument in arguments)
    return (
        f"RAISE EXCEPTION '{message}'{values} "
        f"USING ERRCODE = 'check_violation', CONSTRAINT = '{constraint}', TABLE = TG_TABLE_NAME;"
    )


def never_changes(name: str, *, sentence: str) -> Guard:
    """A guard for rows that are written once: no update, no delete."""
    return Guard(
        name=name,
        when=pgtrigger.Before,
        operation=pgtrigger.Update | pgtrigger.Delete,
        func=refuse(name, sentence),
    )
