"""Bench terminals and the PINs that open them."""

from datetime import datetime

from django.contrib.auth.hashers import make_password
from django.test import Client
from django.utils import timezone

from tests.factories.base import next_number, setting_up
from tests.factories.staff import make_person
from workshop.staff import actions
from workshop.staff.models import Person, Pin, Terminal
from workshop.terminals.middleware import COOKIE

PIN = "2580"


def give_pin(person: Person, pin: str = PIN, *, set_at: datetime | None = None) -> Pin:
    """A person's PIN."""
    with setting_up():
        return Pin.objects.create(person=person, hash=make_password(pin), set_at=set_at or timezone.now())


def make_terminal(client: Client, *, by: Person | None = None, name: str = "") -> Terminal:
    """Make the device of this client a bench terminal."""
    terminal, key = actions.register_terminal(
        name=name or f"Terminal {next_number()}",
        bench_key="lasting",
        by=by or make_person(name="Rhea Registrar", roles=["manager"]),
        at=timezone.now(),
    )
    client.cookies[COOKIE] = key
    return terminal
