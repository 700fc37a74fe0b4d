"""A sitting's measures in words, foot by foot."""

from dataclasses import dataclass

from django.utils import timezone

from cases.lasts.models import MeasureSet
from cases.lasts.queries import Shown, rows_of, sitting_of_foot
from cases.prescriptions.described.shape import plain
from shared.sides import SIDES, Side


@dataclass(frozen=True)
class FootMeasures:
    """One foot: (label, value with unit). A value that several takes stand for is followed by them."""

    side: str
    lines: tuple[tuple[str, str], ...]


def measures_of_feet(measure_set: MeasureSet) -> tuple[FootMeasures, ...]:
    """LEFT and RIGHT, from measures already loaded; a foot of which none were taken, from the latest sitting before."""
    return tuple(_of_foot(measure_set, side) for side in SIDES)


def _of_foot(measure_set: MeasureSet, side: Side) -> FootMeasures:
    sitting = sitting_of_foot(measure_set, side)
    shown = [(row.kind.label, row.left if side == Side.LEFT else row.right) for row in rows_of(sitting)]
    lines = tuple((label, _words(value)) for label, value in shown if value)
    if sitting == measure_set:
        return FootMeasures(side, lines)
    day = timezone.localtime(sitting.taken_at)
    return FootMeasures(side, (("taken", f"{day:%-d %b %Y}, {sitting.get_load_display()}"), *lines))


def _words(shown: Shown) -> str:
    takes = f" ({', '.join(plain(take) for take in shown.takes_mm)})" if len(set(shown.takes_mm)) > 1 else ""
    return f"{plain(shown.value_mm)} mm{takes}"
