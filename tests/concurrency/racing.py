"""Two transactions let loose on each other, and guards whose locks are taken out to show that the race is there."""

import re
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from threading import Barrier

from django.db import IntegrityError, OperationalError, connection, transaction

HELD_OPEN_S = 0.03
"""How long each transaction stays open after its change: long enough for the other to come in between."""

READ_COMMITTED, REPEATABLE_READ = "READ COMMITTED", "REPEATABLE READ"
SERIALIZATION_FAILURE = "40001"

Change = Callable[[], object]


@dataclass(frozen=True)
class Run:
    """How one transaction went: `refused` names the constraint or the SQLSTATE, empty where it was committed."""

    refused: str
    changed_at: float
    committing_at: float

    @property
    def is_through(self) -> bool:
        return not self.refused


def constraint_of(error: IntegrityError) -> str:
    """The constraint by which the database refused."""
    return str(getattr(getattr(error.__cause__, "diag", None), "constraint_name", ""))


def at_once(*changes: Change, isolation: str = READ_COMMITTED) -> list[Run]:
    """Run each change in a transaction of its own, begun together, and tell how each went."""
    together = Barrier(len(changes))

    def run(change: Change) -> Run:
        changed_at = committing_at = 0.0
        try:
            with transaction.atomic():
                with connection.cursor() as cursor:
                    cursor.execute(f"SET TRANSACTION ISOLATION LEVEL {isolation}")
                    cursor.execute("SELECT count(*) FROM bench_pair")
                together.wait()
                change()
                changed_at = time.perf_counter()
                time.sleep(HELD_OPEN_S)
                committing_at = time.perf_counter()
        except IntegrityError as error:
            return Run(constraint_of(error), changed_at, committing_at)
        except OperationalError as error:
            return Run(str(getattr(error.__cause__, "sqlstate", "")), changed_at, committing_at)
        finally:
            connection.close()
        return Run("", changed_at, committing_at)

    with ThreadPoolExecutor(len(changes)) as pool:
        return list(pool.map(run, changes))


@contextmanager
def without_locks(trigger: str, table: str, *, lock: str, instead: str) -> Iterator[None]:
    """The function of a guard with its lock replaced, as a regular expression says; put back afterwards."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT p.oid::regprocedure::text, pg_get_functiondef(p.oid) FROM pg_trigger t"
            " JOIN pg_proc p ON p.oid = t.tgfoid WHERE t.tgrelid = %s::regclass AND t.tgname LIKE %s",
            [table, f"pgtrigger_{trigger}_%"],
        )
        ((_, definition),) = cursor.fetchall()
        weakened, replaced = re.subn(lock, instead, definition)
        assert replaced, f"{trigger} holds no such lock"
        cursor.execute(weakened)
    try:
        yield
    finally:
        with connection.cursor() as cursor:
            cursor.execute(definition)
