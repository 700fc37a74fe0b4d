from collections.abc import Callable
from datetime import date, datetime, timedelta

import pytest
from django.test import Client

from cases.patients.models import Patient
from tests.factories.patients import make_patient
from workshop.staff.models import Person


@pytest.fixture
def patient(db: None) -> Patient:
    return make_patient(given_names="Ada", family_name="Invented")


@pytest.fixture
def desk(signed_in: Callable[[Person], Client], reception: Person) -> Client:
    return signed_in(reception)


@pytest.fixture
def next_week(now: datetime) -> date:
    """A day on which nothing has passed yet."""
    return now.date() + timedelta(days=7)
