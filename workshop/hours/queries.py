"""When the workshop is open."""

from collections.abc import Sequence
from datetime import date

from django.db.models import QuerySet

from workshop.hours.models import Closure, OpeningHours


def closure_on(day: date) -> Closure | None:
    """The closure of a day, with its name, or None."""
    return Closure.objects.filter(day=day).first()


def opening_hours_on(day: date) -> Sequence[OpeningHours]:
    """The spells of a day in which the clinic sees people, in order; none on a closed day."""
    if closure_on(day) is not None:
        return []
    return list(OpeningHours.objects.filter(weekday=day.weekday()))


def is_open(day: date) -> bool:
    """Whether the clinic sees people on a day."""
    return bool(opening_hours_on(day))


def closures_from(day: date) -> QuerySet[Closure]:
    """The closures of a day and after it, the nearest first."""
    return Closure.objects.filter(day__gte=day).order_by("day")
