from collections.abc import Callable
from datetime import datetime, timedelta

import pytest
from django.test import Client
from django.utils import timezone

from workshop.staff.models import Person


@pytest.fixture
def earlier() -> datetime:
    """A moment of today that has passed, for pages read the clock themselves."""
    return timezone.now() - timedelta(minutes=1)


@pytest.fixture
def at_work(signed_in: Callable[[Person], Client], clinician: Person) -> Client:
    return signed_in(clinician)
