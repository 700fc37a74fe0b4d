"""Figures and materials."""

from datetime import date
from decimal import Decimal
from typing import Any

from django.utils import timezone

from tests.factories.base import setting_up
from workshop.figures import starting_values
from workshop.figures.models import Figure, Material, Standing


def load_figures() -> None:
    """The figures and materials every workshop starts with."""
    starting_values.load(at=timezone.now())


def make_figure(name: str, value: str, *, valid_from: date, unit: str = "mm") -> Figure:
    """A value of a figure from a day on, set here."""
    with setting_up():
        return Figure.objects.create(
            name=name, value=Decimal(value), unit=unit, valid_from=valid_from, standing=Standing.SET_HERE
        )


def make_material(name: str = "Invented leather", *, valid_from: date = date(2026, 1, 1), **fields: Any) -> Material:
    """A material from a day on, set here."""
    known = {"kind": "leather", "density_low_kg_m3": Decimal(900), "density_high_kg_m3": Decimal(1000)}
    with setting_up():
        return Material.objects.create(
            **{"name": name, "valid_from": valid_from, "standing": Standing.SET_HERE, **known, **fields}
        )
