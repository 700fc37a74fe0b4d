"""A sitting's measures in words, foot by foot."""

from dataclasses import dataclass

from cases.lasts.models import MeasureSet
from cases.lasts.queries import Shown, rows_of
from cases.prescriptions.described.shape import plain
from shared.sides import Side


@dataclass(frozen=True)
class FootMeasures:
    """One foot: (label, value with unit). A value that several takes stand for is followed by them."""

    side: str
    lines: tuple[tuple[str, str], ...]


def measures_of_feet(measure_set: MeasureSet) -> tuple[FootMeasures, ...]:
    """LEFT and RIGHT, from measures already loaded."""
    rows = rows_of(measure_set)
    left = tuple((row.kind.label, _words(row.left)) for row in rows if row.left)
    right = tuple((row.kind.label, _words(row.right)) for row in rows if row.right)
    return FootMeasures(Side.LEFT, left), FootMeasures(Side.RIGHT, right)


def _words(shown: Shown) -> str:
    takes = f" ({', '.join(plain(take) for take in shown.takes_mm)})" if len(set(shown.takes_mm)) > 1 else ""
    return f"{plain(shown.value_mm)} mm{takes}"
