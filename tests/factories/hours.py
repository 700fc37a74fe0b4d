"""Rooms, benches, hours and closures."""

from datetime import date

from django.utils import timezone

from tests.factories.base import next_number, setting_up
from workshop.hours import starting_values
from workshop.hours.models import Closure, Room


def load_hours() -> None:
    """The benches, the fitting room and the hours every workshop starts with."""
    starting_values.load(at=timezone.now())


def make_room(*, name: str = "") -> Room:
    """A room in which clients are seen."""
    with setting_up():
        return Room.objects.create(name=name or f"Room {next_number()}")


def make_closure(*, day: date, name: str = "Holiday") -> Closure:
    """A day on which nobody is here."""
    with setting_up():
        return Closure.objects.create(day=day, name=name)
