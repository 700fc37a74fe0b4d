"""What the application's own database role may do: read and write rows, and never rewrite the past."""

from typing import Any

from django.apps import AppConfig, apps
from django.db import connections

APPLICATION_ROLE = "pairwright_app"


def grant_to_application_role(sender: AppConfig, using: str = "default", **_: Any) -> None:
    """After a migration, grant what the application needs and nothing more.

    Where the server has no such role, a workshop runs on one role for everything and there is nothing to grant.
    """
    if sender.label != "shared":
        return
    tables = set(connections[using].introspection.table_names())
    with connections[using].cursor() as cursor:
        cursor.execute("SELECT 1 FROM pg_roles WHERE rolname = %s", [APPLICATION_ROLE])
        if cursor.fetchone() is None:
            return
        cursor.execute(f"GRANT USAGE ON SCHEMA public TO {APPLICATION_ROLE}")
        cursor.execute(f"GRANT USAGE, SELECT ON ALL SEQUENCES IN SCHEMA public TO {APPLICATION_ROLE}")
        cursor.execute(f"GRANT SELECT, INSERT, UPDATE, DELETE ON ALL TABLES IN SCHEMA public TO {APPLICATION_ROLE}")
        for model in apps.get_models():
            if model._meta.db_table not in tables:
                continue
            forbidden = _forbidden(model)
            if forbidden:
                cursor.execute(f'REVOKE {forbidden} ON "{model._meta.db_table}" FROM {APPLICATION_ROLE}')


def _forbidden(model: type) -> str:
    if getattr(model, "written_by_triggers_alone", False):
        return "INSERT, UPDATE, DELETE"
    if getattr(model, "append_only", False):
        return "UPDATE, DELETE"
    return ""
