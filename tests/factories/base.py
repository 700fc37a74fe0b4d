"""Rows for tests. Every change needs a deed; a factory's deed says it is one."""

import itertools
from collections.abc import Callable
from contextlib import AbstractContextManager

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from shared.history import Program, acting
from shared.models import Deed

_numbers = itertools.count(1)


def next_number() -> int:
    """A number no other row of this test run has."""
    return next(_numbers)


def setting_up() -> AbstractContextManager[Deed]:
    """The deed under which a factory writes."""
    return acting(by=Program(), action="set_up_test", says="Set up for a test.", at=timezone.now())


def constraint_broken_by(write: Callable[[], object]) -> str | None:
    """The name of the constraint by which the database refuses this write, which goes round every action."""
    with pytest.raises(IntegrityError) as error, transaction.atomic(), setting_up():
        write()
    return getattr(getattr(error.value.__cause__, "diag", None), "constraint_name", None)
