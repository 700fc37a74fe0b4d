"""Where there is room in a diary: free times to suggest, and the gaps of one day."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

from cases.diary.clock import NoSuchTime, instant

STEP_MINUTES = 15
"""Visits are offered on the quarters of the hour."""

APART = timedelta(hours=4)
"""Two times that are offered lie at least so far apart: one for each half of a day, and then other days."""


@dataclass(frozen=True)
class Spell:
    """A stretch of time: from `starts` up to and without `ends`, kept on the world's clock.

    Two times of one zone are compared by the wall clock, which goes wrong in the hour that comes twice.
    """

    starts: datetime
    ends: datetime

    def __post_init__(self) -> None:
        object.__setattr__(self, "starts", self.starts.astimezone(UTC))
        object.__setattr__(self, "ends", self.ends.astimezone(UTC))

    @classmethod
    def of(cls, starts: datetime, minutes: int) -> "Spell":
        """A spell of so many minutes of the world's clock."""
        starts = starts.astimezone(UTC)
        return cls(starts, starts + timedelta(minutes=minutes))

    def meets(self, other: "Spell") -> bool:
        return self.starts < other.ends and other.starts < self.ends

    def holds(self, other: "Spell") -> bool:
        return self.starts <= other.starts and other.ends <= self.ends

    @property
    def minutes(self) -> int:
        return int((self.ends - self.starts).total_seconds() // 60)


@dataclass(frozen=True)
class Opening:
    """Open on a weekday (Monday is 0), from and to a time on the clock."""

    weekday: int
    opens: time
    closes: time


@dataclass(frozen=True)
class Calendar:
    """When the workshop sees people: its weekly opening, and the days on which nobody is here."""

    openings: tuple[Opening, ...]
    closed: frozenset[date]
    zone: ZoneInfo

    def open_spells(self, day: date) -> tuple[Spell, ...]:
        """When the workshop is open on a day, in order. An opening at an hour that the clocks skip is left out."""
        if day in self.closed:
            return ()
        spells = []
        for opening in sorted(self.openings, key=lambda opening: opening.opens):
            if opening.weekday != day.weekday():
                continue
            try:
                spells.append(
                    Spell(
                        instant(day, opening.opens, zone=self.zone),
                        instant(day, opening.closes, zone=self.zone, fold=1),
                    )
                )
            except NoSuchTime:
                continue
        return tuple(spells)

    def is_open_for(self, visit: Spell) -> bool:
        """True where the whole visit lies within one opening of its day."""
        day = visit.starts.astimezone(self.zone).date()
        return any(spell.holds(visit) for spell in self.open_spells(day))


def free_times(
    *,
    calendar: Calendar,
    taken: Sequence[Spell],
    minutes: int,
    not_before: datetime,
    how_many: int = 5,
    days_ahead: int = 60,
    apart: timedelta = APART,
) -> tuple[datetime, ...]:
    """The next `how_many` times, in order, at which a visit of `minutes` minutes fits.

    It lies within an opening, on no closure, meets nothing of `taken`, and starts at `not_before` or later, on a
    quarter of an hour counted from the opening, and at least `apart` after the one offered before. Fewer come back
    where `days_ahead` days hold fewer.
    """
    if minutes <= 0:
        raise ValueError("A visit that takes no time needs no free time.")
    found: list[datetime] = []
    first_day = not_before.astimezone(calendar.zone).date()
    for day in (first_day + timedelta(days=offset) for offset in range(days_ahead)):
        for visit in _fitting(calendar.open_spells(day), minutes):
            if visit.starts < not_before or (found and visit.starts < found[-1].astimezone(UTC) + apart):
                continue
            if not any(visit.meets(other) for other in taken):
                found.append(visit.starts.astimezone(calendar.zone))
                if len(found) == how_many:
                    return tuple(found)
    return tuple(found)


def _fitting(openings: Sequence[Spell], minutes: int) -> Iterator[Spell]:
    length, step = timedelta(minutes=minutes), timedelta(minutes=STEP_MINUTES)
    for opening in openings:
        start = opening.starts
        while start + length <= opening.ends:
            yield Spell(start, start + length)
            start += step


def next_quarter(moment: datetime) -> datetime:
    """The quarter of an hour that begins at `moment` or next after it."""
    whole = moment.replace(second=0, microsecond=0)
    if whole < moment:
        whole += timedelta(minutes=1)
    return whole + timedelta(minutes=-whole.minute % STEP_MINUTES)


def gaps(*, openings: Sequence[Spell], taken: Sequence[Spell], at_least_minutes: int = STEP_MINUTES) -> list[Spell]:
    """What is left of the openings between what is taken, in order, in pieces of at least so many minutes."""
    left: list[Spell] = []
    for opening in openings:
        if opening.ends <= opening.starts:
            continue
        free_from = opening.starts
        for spell in sorted((spell for spell in taken if spell.meets(opening)), key=lambda spell: spell.starts):
            if spell.starts > free_from:
                left.append(Spell(free_from, spell.starts))
            free_from = max(free_from, spell.ends)
        if free_from < opening.ends:
            left.append(Spell(free_from, opening.ends))
    return [spell for spell in left if spell.minutes >= at_least_minutes]
