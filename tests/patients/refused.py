"""By which constraint the database refused."""

import pytest
from django.db import IntegrityError


def constraint_of(error: pytest.ExceptionInfo[IntegrityError]) -> str | None:
    """The name of the constraint that a caught refusal of the database names."""
    return getattr(getattr(error.value.__cause__, "diag", None), "constraint_name", None)
