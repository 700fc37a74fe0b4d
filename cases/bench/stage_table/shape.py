"""What a row of the stage table says, and the words it may use."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

PART, PLACED, SHELL = "part", "placed", "shell"

BENCHES: tuple[tuple[str, str], ...] = (
    ("any", "Any bench"),
    ("last", "Last bench"),
    ("pattern", "Pattern table"),
    ("clicking", "Clicking"),
    ("closing", "Closing"),
    ("bottom", "Bottom bench"),
    ("lasting", "Lasting"),
    ("clinic", "Clinic"),
    ("resin", "Resin bench"),
    ("finishing", "Finishing"),
    ("check", "Checking table"),
)

FEATURES: frozenset[str] = frozenset(
    {
        "boot",
        "new last",
        "blocked insole",
        "rear doubled",
        "wet leather",
        "thermoplastic stiffener",
        "rough fitting",
        "trial shoe",
        "heel job",
        "half sole job",
        "full sole job",
        "heel lining job",
        "strap job",
    }
)
"""Words for what a pair needs beyond the keys of its parts and its construction."""

WELTED = frozenset({"hand-welted", "machine-welted"})

ON_THE_UNDER_FACE: tuple[str, ...] = (
    "insole",
    "scoured_zone",
    "cushion_forepart",
    "metatarsal_bar",
    "shank",
    "carbon",
)
"""What filler and sole close in."""
UNDER_THE_SOLE: tuple[str, ...] = ("raise_on_sole", "wedge_heel", "wedge_forefoot")
"""Layers that the sole closes in."""
ON_TOP_OF_THE_INSOLE: tuple[str, ...] = (
    "cushion_heel",
    "cushion_full",
    "metatarsal_dome",
    "toe_prop",
    "posting",
    "inlay_room",
    "raise_in_shoe",
    "toe_filler",
)
"""What goes in after slipping the last, and the sock closes in."""
SOLE_PARTS: tuple[str, ...] = ("rocker", "flare_medial", "flare_lateral", "sole", "heel")
"""Underfoot parts that stay to be seen."""

HIDDEN_PARTS: frozenset[str] = frozenset(
    {"stiffener", "toe_puff", *ON_THE_UNDER_FACE, *UNDER_THE_SOLE, *ON_TOP_OF_THE_INSOLE}
)


@dataclass(frozen=True)
class Need:
    """A stage that comes before. `hours_between` counts from its tick, apart from any drying."""

    key: str
    started_is_enough: bool = False
    hours_between: Decimal = Decimal(0)


@dataclass(frozen=True)
class StageRow:
    """One kind of stage. `minutes` are for both shoes, or for each shoe where `per_shoe`; hours are elapsed.

    `covers` and `checks` name parts; those that a foot does not have fall away. `works_on` names what else the stage
    makes, so that a new version knows which stages it touches. `replaced_minutes` and `added_minutes` go by feature.
    """

    key: str
    name: str
    bench: str
    minutes: int
    needs: tuple[Need, ...] = ()
    works: frozenset[str] = frozenset({"new", "repeat"})
    hours_after: Decimal = Decimal(0)
    waiting_word: str = "drying"
    hours_are_common_practice: bool = False
    per_shoe: bool = False
    only_with: frozenset[str] = frozenset()
    never_with: frozenset[str] = frozenset()
    covers: tuple[str, ...] = ()
    checks: tuple[tuple[str, str], ...] = ()
    works_on: tuple[str, ...] = ()
    added_minutes: tuple[tuple[str, int], ...] = ()
    replaced_minutes: tuple[tuple[str, int], ...] = ()
    replaced_hours: tuple[tuple[str, Decimal], ...] = ()
    held_by_differences: bool = False
    by_visit: bool = False
    look_for: str = ""

    @property
    def touches(self) -> frozenset[str]:
        """Every part that this stage makes, checks or covers."""
        return frozenset(self.works_on) | frozenset(self.covers) | frozenset(part for part, _ in self.checks)


def hours(value: str) -> Decimal:
    return Decimal(value)


def after(*keys: str) -> tuple[Need, ...]:
    return tuple(Need(key) for key in keys)


def checks_of(parts: Iterable[str], moment: str) -> tuple[tuple[str, str], ...]:
    return tuple((part, moment) for part in parts)
