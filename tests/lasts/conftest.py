"""What several files of this room's tests ask for."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest

from cases.lasts.models import Last
from cases.patients.models import Patient
from tests.factories.figures import load_figures
from tests.factories.lasts import make_cast, make_last, make_measure_set
from tests.factories.patients import make_patient
from tests.lasts.shaped import FOOT
from workshop.staff.models import Person


@pytest.fixture
def figures(db: None) -> None:
    """The workshop's figures as they ship."""
    load_figures()


@pytest.fixture
def patient(db: None) -> Patient:
    return make_patient()


@pytest.fixture
def tablet(signed_in: Callable[[Person], Any], clinician: Person) -> Any:
    return signed_in(clinician)


@pytest.fixture
def left(db: None) -> Last:
    """A LEFT last with a RIGHT one under its number, and measures of both feet."""
    owner = make_patient()
    cast = make_cast(patient=owner)
    last = make_last(owner=owner, number="7", cast=cast, joint_girth_mm=Decimal(248), instep_girth_mm=Decimal(262))
    make_last(owner=owner, number="7", side="right", joint_girth_mm=Decimal(250))
    make_measure_set(patient=owner, both=FOOT)
    return last
