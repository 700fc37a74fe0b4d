"""Two people save the same record: the second is told, both versions are shown, nothing is lost."""

from typing import Any

from django.db import models
from django.db.models import F
from django.forms import BaseForm

from shared.refusals import Refused


class Stale(Refused):
    """The record was changed since this form was loaded. Carries what the record holds now."""

    def __init__(self, current: models.Model) -> None:
        self.current = current
        super().__init__("Somebody changed this record while you were writing. Your entries are kept below.")


def save_version(record: models.Model, *, seen_version: int, **changes: Any) -> None:
    """Write `changes` if the record is still at `seen_version`, and count the version up.

    Raises `Stale` with the record as it stands otherwise.
    """
    manager = type(record)._default_manager
    written = manager.filter(pk=record.pk, version=seen_version).update(version=F("version") + 1, **changes)
    if not written:
        raise Stale(manager.get(pk=record.pk))
    record.refresh_from_db()


def stale_rows(stale: Stale, form: BaseForm) -> list[tuple[str, Any, Any]]:
    """What somebody else saved beside what this form holds, for the fields in which they differ."""
    rows = []
    for name, bound in ((name, form[name]) for name in form.fields):
        theirs, yours = getattr(stale.current, name, None), form.cleaned_data.get(name)
        if theirs != yours:
            rows.append((str(bound.label), theirs, yours))
    return rows
