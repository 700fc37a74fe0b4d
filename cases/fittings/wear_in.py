"""How new shoes are worn in. Three tables, from memory and unchecked; the clinician chooses, and says so.

Published leaflets differ from each other, so no table here is given out as anybody's advice but the workshop's. Where
none of them fits, a person has a table of their own: so long on the first day, and so much longer each day.
"""

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from shared.calculations import check_within


@dataclass(frozen=True)
class Step:
    """How long the shoes are worn at a stage of wearing in."""

    when: str
    wear: str


@dataclass(frozen=True)
class WearIn:
    """One table. `redness` says how long a mark may stay, and where that figure comes from."""

    key: str
    name: str
    steps: tuple[Step, ...]
    redness: str
    standing: str = "from memory, unchecked"


_FIFTEEN = "15 minutes (published: easy-read leaflet of a UK hospital)"
_LONGER = "20 to 30 minutes (from memory, unchecked)"

ORDINARY = WearIn(
    key="ordinary",
    name="Ordinary",
    steps=(
        Step("Day 1", "1 hour, indoors"),
        Step("Day 2", "2 hours"),
        Step("Day 3", "3 hours"),
        Step("Day 4", "4 hours"),
        Step("Days 5 to 7", "1 hour more each day"),
        Step("Week 2", "all day by day 10"),
    ),
    redness=_LONGER,
)
FRAGILE = WearIn(
    key="swollen-or-fragile",
    name="Swollen foot or fragile skin",
    steps=(
        Step("Day 1", "30 minutes"),
        Step("Day 2", "30 minutes"),
        Step("Day 3", "1 hour"),
        Step("Day 4", "1 hour"),
        Step("Days 5 to 7", "30 minutes more each day"),
        Step("Week 2", "up to 4 hours a day"),
        Step("Week 3", "up to 8 hours a day"),
        Step("Week 4", "all day"),
    ),
    redness=_FIFTEEN,
)
NO_SENSATION = WearIn(
    key="loss-of-sensation",
    name="Loss of sensation",
    steps=(
        Step("Day 1", "30 minutes, then look; stop if there is a mark"),
        Step("Day 2", "30 minutes"),
        Step("Day 3", "45 minutes"),
        Step("Day 4", "1 hour"),
        Step("Days 5 to 7", "1 to 1½ hours, in two spells"),
        Step("Week 2", "2 to 3 hours a day"),
        Step("Week 3", "1 hour more each day while the skin is clear"),
        Step("Week 4", "all day only after the review"),
    ),
    redness=_FIFTEEN,
)

TABLES: dict[str, WearIn] = {table.key: table for table in (ORDINARY, FRAGILE, NO_SENSATION)}

BY_FIGURES = WearIn(
    key="by-figures",
    name="By figures for this person",
    steps=(),
    redness=_FIFTEEN,
    standing="worked out for this person by figures, which are from memory, unchecked",
)
"""A person's own table: its steps are worked out."""
FIGURES = {
    "start_hours": "wear_in_start_hours",
    "growth_hours": "wear_in_growth_hours",
    "days": "wear_in_days",
}
"""Of a person's own table, and the workshop's figures that it is begun with."""
ALL_DAY_HOURS = 8.0
MOST_DAYS = 28
ROWS = ((1, 1), (2, 2), (3, 3), (4, 4), (5, 7), (8, 14), (15, 21), (22, 28))
"""Days that stand in one row, the first and the last of each."""


def steps_by_figures(*, start_hours: float, growth_hours: float, days: int) -> tuple[Step, ...]:
    """So many hours on the first day, so many more on each day after it, for so many days. Raises `BadInput`.

    From eight hours on the shoes are worn all day; what is not reached within these days, the review decides.
    """
    check_within("start_hours", start_hours, 0.25, ALL_DAY_HOURS, unit="h")
    check_within("growth_hours", growth_hours, 0, 4, unit="h")
    check_within("days", days, 1, MOST_DAYS, unit="days")
    return tuple(_rows(start_hours, growth_hours, days))


def _rows(start_hours: float, growth_hours: float, days: int) -> Iterator[Step]:
    def hours(day: int) -> float:
        return start_hours + (day - 1) * growth_hours

    all_day = next((day for day in range(1, days + 1) if hours(day) >= ALL_DAY_HOURS), None)
    until = days if all_day is None else all_day - 1
    for first, last in ((first, min(last, until)) for first, last in ROWS if first <= until):
        when = f"Day {first}" if first == last else f"Days {first} to {last}"
        if first == last or not growth_hours:
            yield Step(when, in_hours(hours(first)))
        else:
            yield Step(when, f"{in_hours(hours(first))}, {in_hours(growth_hours)} more each day")
    yield Step(f"From day {all_day}", "all day") if all_day else Step(f"After day {days}", "as the review says")


def table_of(key: str) -> WearIn:
    """A table of the workshop, or a person's own."""
    return TABLES.get(key, BY_FIGURES)


def in_hours(hours: float) -> str:
    """To the minute, as a leaflet says it."""
    whole, minutes = divmod(round(60 * hours), 60)
    said = [f"{whole} hour{'' if whole == 1 else 's'}"] if whole else []
    return " ".join([*said, *([f"{minutes} minutes"] if minutes or not whole else [])])


_NEEDS_SENSATION_TABLE = frozenset({"loss_of_protective_sensation"})
_NEEDS_FRAGILE_TABLE = frozenset(
    {"arterial_disease", "oedema", "lymphoedema", "fragile_skin", "healed_ulcer", "pre_ulcer", "anticoagulant"}
)


def offered_first(conditions: Collection[str]) -> WearIn:
    """The table to offer first for what was found: the slowest that any finding asks for (from memory)."""
    found = frozenset(conditions)
    if found & _NEEDS_SENSATION_TABLE:
        return NO_SENSATION
    return FRAGILE if found & _NEEDS_FRAGILE_TABLE else ORDINARY


STOP_AND_ASK = (
    "Stop wearing the shoes and ask for care the same day: an open wound, a blister or a sore place.",
    "The same for sudden swelling, warmth or a change of colour, and for a new pain.",
    "A foot that feels little cannot warn: then the eyes and hands of the client, or of a helper, do.",
)

EVERY_TIME = (
    "Take shoes and hose off after every wear and look at the whole foot, between the toes too.",
    "For the sole of the foot use a mirror, or ask a helper.",
    "Before putting them on, feel with the hand for anything loose, rough or sharp.",
)

WITH_THESE_PARTS = (
    "A new raise: the same table; a stiff hip or back is a reason to call.",
    "A rocker, carbon or steel: walk on the flat first, and hold the rail on stairs.",
    "Driving: try the pedals first with the car standing, and ask the insurer (from memory, unchecked).",
)
