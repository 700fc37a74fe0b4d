"""Changing where and when work is done."""

from datetime import date, datetime, time

from django.db import transaction
from django.utils import timezone

from shared.history import acting
from shared.refusals import Refused
from workshop.hours.models import Closure, OpeningHours, Room
from workshop.staff.models import Person

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")


@transaction.atomic
def add_room(*, name: str, by: Person, at: datetime) -> Room:
    """Add a room in which clients are seen. Raises `Refused` for a name that is taken."""
    if Room.objects.filter(name=name).exists():
        raise Refused("There is a room of this name already.")
    with acting(by=by, action="add_room", says=f"Added the room {name}.", at=at):
        return Room.objects.create(name=name)


@transaction.atomic
def add_closure(*, day: date, name: str, by: Person, at: datetime) -> Closure:
    """Close the workshop for a day. Raises `Refused` for a day gone by or closed already."""
    if day < timezone.localdate(at):
        raise Refused("That day has gone by.")
    if Closure.objects.filter(day=day).exists():
        raise Refused("The workshop is closed on that day already.")
    with acting(by=by, action="add_closure", says=f"Closed {day:%a %-d %b %Y}: {name}.", at=at):
        return Closure.objects.create(day=day, name=name)


@transaction.atomic
def remove_closure(closure: Closure, *, by: Person, at: datetime) -> None:
    """Open the workshop again on a day to come. Raises `Refused` for a day gone by."""
    if closure.day < timezone.localdate(at):
        raise Refused("That day has gone by.")
    with acting(by=by, action="remove_closure", says=f"Opened {closure.day:%a %-d %b %Y} again.", at=at):
        Closure.objects.filter(pk=closure.pk).delete()


@transaction.atomic
def set_opening_hours(*, weekday: int, opens: time | None, closes: time | None, by: Person, at: datetime) -> None:
    """Say when a weekday (Monday is 0) is open, in one spell; closed without times. Raises `Refused`."""
    if (opens is None) != (closes is None):
        raise Refused("Give both times, or neither for a closed day.")
    if opens is not None and closes is not None and opens >= closes:
        raise Refused("The workshop must open before it closes.")
    when = f"{opens:%H:%M} to {closes:%H:%M}" if opens and closes else "closed"
    with acting(by=by, action="set_opening_hours", says=f"Set {WEEKDAYS[weekday]}: {when}.", at=at):
        OpeningHours.objects.filter(weekday=weekday).delete()
        if opens is not None and closes is not None:
            OpeningHours.objects.create(weekday=weekday, opens=opens, closes=closes)
