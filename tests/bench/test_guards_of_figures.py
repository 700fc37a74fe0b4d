"""The database itself: a check that is to be measured brings its figures, and one beyond its tolerance differs."""

from datetime import datetime

import pytest

from cases.bench.models import CoverCheck, CoverRequirement, Pair
from tests.bench.guarded import refused_by
from tests.factories import bench as factory
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


@pytest.fixture
def asked(maker: Person, now: datetime) -> CoverRequirement:
    pair: Pair = factory.make_pair(by=maker, at=now)
    factory.bring_to(pair, "cut-stiffeners", by=maker, at=now)
    return factory.requirement(pair, "stiffener", "part")


@pytest.mark.parametrize(
    "measured",
    [
        {},
        {"medial reach": "130"},
        {"medial reach": "130", "lateral reach": ""},
        {"medial reach": "130", "lateral reach": "about 112"},
        {"medial reach": "130", "lateral reach": None},
    ],
)
@pytest.mark.parametrize("found", ["", "too soft"])
def test_a_check_without_its_figures_is_refused(
    asked: CoverRequirement, maker: Person, now: datetime, measured: dict[str, str | None], found: str
) -> None:
    outcome = "differs" if found else "as prescribed"
    check = CoverCheck(requirement=asked, outcome=outcome, found=found, measured=measured, by=maker, at=now)
    assert refused_by(check.save) == "a_check_brings_its_figures"


@pytest.mark.parametrize("mm", ["108.9", "115.1"])
def test_a_figure_beyond_its_tolerance_is_never_as_prescribed(
    asked: CoverRequirement, maker: Person, now: datetime, mm: str
) -> None:
    measured = {"medial reach": "130", "lateral reach": mm}
    check = CoverCheck(requirement=asked, outcome="as prescribed", measured=measured, by=maker, at=now)
    assert refused_by(check.save) == "what_is_beyond_its_tolerance_differs"
