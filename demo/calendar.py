"""Working time of the invented workshop, counted from today, so that the demo is never out of date."""

from datetime import date, datetime, time, timedelta

from django.utils import timezone

OPENS, CLOSES = time(8, 0), time(17, 0)
FRIDAY = 4


def at_time(day: date, at: time) -> datetime:
    """A local time of a day."""
    return timezone.make_aware(datetime.combine(day, at))


def working_day(day: date, *, forward: bool = True) -> date:
    """This day, or the next (or last) one on which the workshop works."""
    while day.weekday() > FRIDAY:
        day += timedelta(days=1 if forward else -1)
    return day


def in_working_time(moment: datetime) -> datetime:
    """This moment, or the next at which somebody is at the bench."""
    local = timezone.localtime(moment)
    if local.time() > CLOSES:
        local = at_time(local.date() + timedelta(days=1), OPENS)
    if local.time() < OPENS:
        local = at_time(local.date(), OPENS)
    return at_time(working_day(local.date()), OPENS) if local.weekday() > FRIDAY else local


class Slots:
    """Free times of the clinicians, given out one after the other, so that no two visits clash."""

    def __init__(self) -> None:
        self._next: dict[tuple[object, date], datetime] = {}

    def take(self, whose: object, day: date, *, minutes: int) -> datetime:
        """The first free time of a clinician on a day, at a full or half hour."""
        starts_at = self._next.get((whose, day)) or at_time(day, time(9, 0))
        self._next[whose, day] = starts_at + timedelta(minutes=30 * -(-minutes // 30))
        return starts_at
