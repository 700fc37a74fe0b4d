"""How the test database is emptied after a test that commits."""

from django.core.management.color import no_style
from django.db import connection

DESCRIBE_THE_TABLES = {"django_content_type", "auth_permission"}
"""Written by a migration about the tables themselves, and changed by no test."""


def empty_database(*_: object) -> None:
    """Take every row out of every table, but for what describes the tables.

    Django's own flush takes that out as well and then writes it anew, which takes longer than all the rest.
    """
    tables = set(connection.introspection.django_table_names(only_existing=True, include_views=False))
    connection.ops.execute_sql_flush(connection.ops.sql_flush(no_style(), sorted(tables - DESCRIBE_THE_TABLES)))
