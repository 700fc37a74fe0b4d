"""Figures and materials."""

from datetime import date
from decimal import Decimal

from django.utils import timezone

from tests.factories.base import setting_up
from workshop.figures import starting_values
from workshop.figures.models import Figure, Standing


def load_figures() -> None:
    """The figures and materials every workshop starts with."""
    starting_values.load(at=timezone.now())


def make_figure(name: str, value: str, *, valid_from: date, unit: str = "mm") -> Figure:
    """A value of a figure from a day on, set here."""
    with setting_up():
        return Figure.objects.create(
            name=name, value=Decimal(value), unit=unit, valid_from=valid_from, standing=Standing.SET_HERE
        )
