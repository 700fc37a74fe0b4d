"""How new shoes are worn in. Three tables, from memory and unchecked; the clinician chooses, and says so.

Published leaflets differ from each other, so no table here is given out as anybody's advice but the workshop's.
"""

from collections.abc import Collection
from dataclasses import dataclass


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
