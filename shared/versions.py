"""Two people save the same record: the second is told, both versions are shown, nothing is lost."""

from typing import Any

from django.db import models
from django.db.models import F
from django.forms import BaseForm

from shared.refusals import Refused


class Stale(Refused):
    """The record was changed since this form was loaded. Carries what the record holds now."""

    def __init__(self, current: models.Model) -> None:
        self.current: Any = current
        super().__init__("Somebody changed this record while you were writing. Your entries are kept below.")


def save_version(record: models.Model, *, seen_version: int, **changes: Any) -> None:
    """Write `changes` if the record is still at `seen_version`, and count the version up.

    What is held with the record, such as rows that were fetched with it, stays. Raises `Stale` with the record as it
    stands otherwise.
    """
    manager = type(record)._default_manager
    written = manager.filter(pk=record.pk, version=seen_version).update(version=F("version") + 1, **changes)
    if not written:
        raise Stale(manager.get(pk=record.pk))
    was_read_then = record.version == seen_version  # type: ignore[attr-defined]  # every record that is edited has one
    record.refresh_from_db(fields=["version", *changes] if was_read_then else None)


def stale_rows(stale: Stale, form: BaseForm) -> list[tuple[str, str, str]]:
    """What somebody else saved beside what this form holds, in words, for the fields in which they differ."""
    rows = []
    choices = {field.name: dict(field.flatchoices) for field in stale.current._meta.concrete_fields}
    for name in form.fields:
        theirs, yours = getattr(stale.current, name, None), form.cleaned_data.get(name)
        if theirs != yours:
            words = choices.get(name, {})
            label = str(form[name].label)
            rows.append((label[:1].upper() + label[1:], _in_words(theirs, words), _in_words(yours, words)))
    return rows


def _in_words(value: Any, choices: dict[Any, Any]) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "" if value is None else str(choices.get(value, value))
