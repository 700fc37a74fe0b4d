"""From a day and a time on the workshop's clock to one instant, and nothing in between."""

from datetime import UTC, date, datetime, time
from zoneinfo import ZoneInfo


class NoSuchTime(ValueError):
    """The clocks skip this time on this day. The message is fit for the screen."""


def instant(day: date, at: time, *, zone: ZoneInfo, fold: int = 0) -> datetime:
    """The instant at which the clock of `zone` shows `at` on `day`, in that zone.

    `fold` 1 asks for the second of the two equal hours when the clocks go back; it is ignored on any other day.
    Raises `NoSuchTime` for a time that the clocks skip in spring: left alone it would move by an hour unseen.
    """
    local = datetime.combine(day, at.replace(tzinfo=None, fold=fold), tzinfo=zone)
    back_again = local.astimezone(UTC).astimezone(zone)
    if back_again.replace(tzinfo=None) != local.replace(tzinfo=None):
        raise NoSuchTime(
            f"There is no {at:%H:%M} on {in_words(day)}: the clocks go forward over it. It is {back_again:%H:%M} then."
        )
    return back_again


def happens_twice(day: date, at: time, *, zone: ZoneInfo) -> bool:
    """True for a time in the hour that comes twice when the clocks go back."""
    try:
        first, second = (instant(day, at, zone=zone, fold=fold) for fold in (0, 1))
    except NoSuchTime:
        return False
    return first.utcoffset() != second.utcoffset()


def in_words(day: date) -> str:
    """A day as it stands in a sentence that is kept: Tue 24 Nov 2026."""
    return f"{day:%a} {day.day} {day:%b %Y}"
