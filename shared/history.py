"""Who, what and why: every change of a record happens inside exactly one deed."""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass
from datetime import datetime
from typing import Protocol, TypeVar
from uuid import UUID

import pgtrigger
from django.db import connection, models, transaction

from shared.guards import Guard, refuse
from shared.models import Deed

ModelClass = TypeVar("ModelClass", bound=type[models.Model])


class Actor(Protocol):
    """Whoever does something: a person of the workshop, or the program itself."""

    @property
    def uuid(self) -> UUID: ...

    @property
    def name(self) -> str: ...


@dataclass(frozen=True)
class Program:
    """The program acting by itself, in commands and first settings."""

    uuid: UUID = UUID(int=0)
    name: str = "Pairwright itself"


class NestedDeed(RuntimeError):
    """A deed was begun inside another: the inner one would have taken over the outer one's changes."""


_under_way: ContextVar[str | None] = ContextVar("deed_under_way", default=None)


@contextmanager
def acting(
    *,
    by: Actor,
    action: str,
    says: str,
    at: datetime,
    reason: str | None = None,
    patient: UUID | None = None,
    pair: UUID | None = None,
) -> Iterator[Deed]:
    """Open the one deed to which every change inside belongs, in one transaction.

    `says` is the plain sentence the story tells. `reason` is given where a person typed one; else the action is
    its own reason. `at` is when it was done, which may be before it is entered. Raises `NestedDeed`.
    """
    if (outer := _under_way.get()) is not None:
        raise NestedDeed(f"{action} was begun inside {outer}")
    token = _under_way.set(action)
    try:
        with transaction.atomic():
            deed = Deed.objects.create(
                who_uuid=by.uuid,
                who_name=by.name,
                action=action,
                says=says,
                reason=says if reason is None else reason.strip(),
                reason_typed=reason is not None,
                done_at=at,
                patient_uuid=patient,
                pair_uuid=pair,
            )
            _tell_database(str(deed.pk))
            yield deed
            _tell_database("")
    finally:
        _under_way.reset(token)


def _tell_database(deed: str) -> None:
    with connection.cursor() as cursor:
        cursor.execute("SELECT set_config('pairwright.deed', %s, true)", [deed])


_RECORD_CHANGE = (
    """
    IF TG_OP <> 'INSERT' THEN before_row := to_jsonb(OLD) - unrecorded; END IF;
    IF TG_OP <> 'DELETE' THEN after_row := to_jsonb(NEW) - unrecorded; END IF;
    IF TG_OP = 'UPDATE' THEN
        IF before_row = after_row THEN RETURN NULL; END IF;
        SELECT jsonb_object_agg(b.key, b.value), jsonb_object_agg(b.key, after_row -> b.key)
          INTO before_changed, after_changed
          FROM jsonb_each(before_row) b
         WHERE b.value IS DISTINCT FROM after_row -> b.key;
    ELSE
        before_changed := before_row;
        after_changed := after_row;
    END IF;
    IF NOT EXISTS (
        SELECT 1 FROM shared_deed
         WHERE id = this_deed AND transaction_id = pg_current_xact_id()::text::bigint
    ) THEN
    """
    + refuse("change_names_who_what_why", "A change of % must say who, what and why.", "TG_TABLE_NAME")
    + """
    END IF;
    INSERT INTO shared_historyentry (deed_id, table_name, row_id, operation, before, after)
    VALUES (
        this_deed, TG_TABLE_NAME,
        CASE WHEN TG_OP = 'DELETE' THEN OLD.id ELSE NEW.id END,
        lower(TG_OP), before_changed, after_changed
    );
    RETURN NULL;
    """
)


class KeepsHistory(Guard):
    """Writes one history row for each change, and refuses a change outside a deed."""

    when = pgtrigger.After
    operation = pgtrigger.Insert | pgtrigger.Update | pgtrigger.Delete
    func = _RECORD_CHANGE

    def __init__(self, *, unrecorded: Sequence[str] = ()) -> None:
        self.unrecorded = tuple(unrecorded)
        super().__init__(name="keeps_history")

    def get_declare(self, model: models.Model) -> list[tuple[str, str]]:
        names = ", ".join(f"'{column}'" for column in self.unrecorded)
        return [
            ("unrecorded", f"text[] := ARRAY[{names}]::text[]"),
            ("this_deed", "bigint := NULLIF(current_setting('pairwright.deed', true), '')::bigint"),
            ("before_row", "jsonb"),
            ("after_row", "jsonb"),
            ("before_changed", "jsonb"),
            ("after_changed", "jsonb"),
        ]


def keeps_history(*, unrecorded: Sequence[str] = ()) -> Callable[[ModelClass], ModelClass]:
    """Class decorator: every change of this model's rows is recorded.

    `unrecorded` names columns whose change alone is no event (counters, hashes); their values are not kept.
    """

    def register(model: ModelClass) -> ModelClass:
        pgtrigger.register(KeepsHistory(unrecorded=unrecorded))(model)
        return model

    return register
