"""The database itself: what differs at the end is answered, within its tolerance it holds, and it comes before the tick."""

from datetime import datetime
from typing import Any

import pytest

from cases.bench.models import FinalFigure, Pair
from tests.bench.guarded import refused_by
from tests.factories import bench as factory
from tests.factories.base import setting_up
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db


@pytest.fixture
def pair(maker: Person, now: datetime) -> Pair:
    return factory.make_pair(by=maker, at=now)


@pytest.fixture
def line(pair: Pair, maker: Person, now: datetime) -> dict[str, Any]:
    """A heel of 22 mm, within 2 mm."""
    return {
        "stage": factory.stage(pair, "final-check"),
        "key": "heel",
        "words": "heel height",
        "unit": "mm",
        "prescribed": 22,
        "least": 20,
        "most": 24,
        "holds": True,
        "by": maker,
        "at": now,
    }


def test_what_differs_is_answered(line: dict[str, Any]) -> None:
    silent = FinalFigure(**{**line, "measured": 26, "holds": False})
    assert refused_by(silent.save) == "what_differs_at_the_end_is_answered"


@pytest.mark.parametrize(
    "figure",
    [
        {"measured": 26},
        {"measured": 19},
        {"measured": 22, "holds": False, "answer": "too high"},
        {"measured": 4, "prescribed": None, "least": 5, "most": None},
        {"measured": 6, "prescribed": None, "least": 5, "most": None, "holds": False, "answer": "close"},
    ],
)
def test_a_figure_holds_within_its_tolerance_and_differs_beyond(line: dict[str, Any], figure: dict[str, Any]) -> None:
    assert refused_by(FinalFigure(**{**line, **figure}).save) == "a_final_figure_holds_within_its_tolerance"


def test_it_is_of_the_final_check(pair: Pair, line: dict[str, Any]) -> None:
    elsewhere = FinalFigure(**{**line, "stage": factory.stage(pair, "finish")})
    assert refused_by(elsewhere.save) == "a_final_figure_is_of_the_final_check"


def test_it_comes_before_the_tick(pair: Pair, line: dict[str, Any], maker: Person, now: datetime) -> None:
    factory.bring_to_the_end(pair, by=maker, at=now)
    late = FinalFigure(**{**line, "stage": factory.stage(pair, "final-check")})
    assert refused_by(late.save) == "a_final_figure_comes_before_the_tick"


def test_it_is_measured_again_and_never_changed(line: dict[str, Any]) -> None:
    with setting_up():
        kept = FinalFigure.objects.create(**line)
    assert refused_by(lambda: FinalFigure.objects.filter(pk=kept.pk).update(measured=23)) == "final_figure_is_final"
