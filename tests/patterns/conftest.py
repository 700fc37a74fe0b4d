"""A pair whose patterns are cut, and who cuts them."""

from collections.abc import Callable
from datetime import datetime

import pytest

from cases.bench.models import Pair
from tests.conftest import Browserless
from tests.factories.patients import make_patient
from tests.factories.patterns import make_pair_on_lasts
from workshop.staff.models import Person

SignedIn = Callable[[Person], Browserless]


@pytest.fixture
def pair(clinician: Person, now: datetime) -> Pair:
    return make_pair_on_lasts(by=clinician, at=now)


@pytest.fixture
def puff(clinician: Person, now: datetime) -> Pair:
    """A single shoe of which the toe puff alone is cut: one sheet, soon printed. Its client's name is Invented."""
    return make_pair_on_lasts(
        by=clinician,
        at=now,
        patient=make_patient(family_name="Invented"),
        feet="right",
        both={"stiffener": None, "insole": None},
    )


@pytest.fixture
def bench(signed_in: SignedIn, maker: Person) -> Browserless:
    return signed_in(maker)
