"""Everything that the page of a sitting shows besides its sizes."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.utils import timezone

from cases.lasts.measures import BY_KEY, MEASURES, MeasureKind, label
from cases.lasts.models import LegGirth, Load, Measure, MeasureSet, Method, OutlineDeviation
from cases.lasts.queries.measuring import values_of
from shared.sides import SIDES, Side


@dataclass(frozen=True)
class Differently:
    """A measure that was taken otherwise than the sitting, and how, in words."""

    side: Side
    label: str
    how: tuple[str, ...]


@dataclass(frozen=True)
class FootMore:
    """What was taken of one foot besides the round of measures."""

    side: Side
    legs: Sequence[LegGirth]
    bulges: Sequence[OutlineDeviation]


def taken_differently(measure_set: MeasureSet) -> list[Differently]:
    """The measures that differ from the sitting, each once. No query where measures were fetched with their people."""
    first_takes = [measure for measure in measure_set.measures.all() if measure.take == 1]
    order = list(BY_KEY)
    first_takes.sort(key=lambda each: (each.side, order.index(each.name) if each.name in BY_KEY else len(order)))
    found = [Differently(Side(each.side), label(each.name), tuple(_how(each))) for each in first_takes]
    return [each for each in found if each.how]


def _how(measure: Measure) -> list[str]:
    how = []
    if measure.method:
        how.append(Method(measure.method).label)
    if measure.load:
        how.append(Load(measure.load).label)
    if measure.heel_height_mm is not None:
        how.append(f"heel {measure.heel_height_mm.normalize():f} mm")
    if measure.taken_at is not None:
        how.append(f"at {timezone.localtime(measure.taken_at):%H:%M}")
    if measure.taken_by is not None:
        how.append(f"by {measure.taken_by.name}")
    return how


def more_of(measure_set: MeasureSet) -> list[FootMore]:
    """Legs and bulges of LEFT and of RIGHT. No query where they were fetched."""
    legs, bulges = measure_set.leg_girths.all(), measure_set.deviations.all()
    return [
        FootMore(side, [leg for leg in legs if leg.side == side], [each for each in bulges if each.side == side])
        for side in SIDES
    ]


@dataclass(frozen=True)
class SheetRow:
    """One measure on a sheet to fill by hand, with what it was last time, in mm."""

    number: int
    kind: MeasureKind
    left_mm: Decimal | None
    right_mm: Decimal | None


def sheet_rows(previous: MeasureSet | None) -> list[SheetRow]:
    """Every measure of the list in its order. No query where measures were fetched."""
    left, right = (values_of(previous, side) if previous else {} for side in SIDES)
    return [
        SheetRow(number, kind, left.get(kind.key), right.get(kind.key)) for number, kind in enumerate(MEASURES, start=1)
    ]
