"""The invented workshop's stock lasts: enough of them, of all sizes, and the same each time."""

from datetime import datetime
from typing import Any

import pytest

from cases.lasts.models import Last
from demo.clinic import Clinic
from demo.rack import NEVER_TAPED, put_stock_on_the_rack
from tests.factories.base import setting_up
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

FIGURES = ("number", "side", "length_mm", "joint_girth_mm", "instep_girth_mm", "toe_depth_mm", "place", "condition")


@pytest.fixture
def clinic(maker: Person, now: datetime) -> Clinic:
    nobody: Any = None
    return Clinic(now=now, seed=1902, staff={"bram": maker}, referrer=nobody, kinds={})


def rack(clinic: Clinic) -> list[tuple[Any, ...]]:
    put_stock_on_the_rack(clinic)
    rows: list[tuple[Any, ...]] = list(Last.objects.order_by("number", "side").values_list(*FIGURES))
    with setting_up():
        Last.objects.all().delete()
    return rows


def test_the_same_seed_gives_the_same_rack(clinic: Clinic) -> None:
    assert rack(clinic) == rack(clinic)


def test_the_stock_has_every_size_from_eu_35_to_46(clinic: Clinic) -> None:
    put_stock_on_the_rack(clinic)
    sizes = {round(float(last.length_mm) * 3 / 20) for last in Last.objects.all()}
    assert (Last.objects.filter(owner__isnull=True).count(), sizes) == (58, set(range(35, 47)))


def test_the_joint_girth_grows_by_five_mm_a_size(clinic: Clinic) -> None:
    """Golding 1902: ¼ in for an English size, which is 5.0 mm for a European one; a mm either way by hand."""
    put_stock_on_the_rack(clinic)
    model = Last.objects.filter(number__regex="^F", side="left", joint_girth_mm__isnull=False)
    off = [float(last.joint_girth_mm or 0) - (252 + 5 * (round(float(last.length_mm) * 3 / 20) - 40)) for last in model]
    assert max(abs(each) for each in off) <= 1.5


def test_some_lasts_were_never_taped(clinic: Clinic) -> None:
    put_stock_on_the_rack(clinic)
    untaped = Last.objects.filter(joint_girth_mm__isnull=True, measured_on__isnull=True)
    assert set(untaped.values_list("number", flat=True)) == NEVER_TAPED
