"""The form of a sitting as its page shows it: two halves, and in each the measures in the order in which they are taken."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.forms import BoundField

from cases.lasts.measures import Group, MeasureKind
from cases.lasts.slips import MeasureAgain
from shared.sides import Side


@dataclass(frozen=True)
class Line:
    """One measure of one foot. `number` is the one it has on the drawing.

    `converted_mm` holds the takes that were not typed in mm; `apart_mm` how far two takes lie apart. The third take has
    a field only where it is asked for, or was typed.
    """

    side: Side
    kind: MeasureKind
    number: int
    first: BoundField
    second: BoundField | None
    third: BoundField | None
    last_time_mm: Decimal | None
    converted_mm: Sequence[Decimal]
    apart_mm: Decimal | None
    questions: Sequence[MeasureAgain]

    @property
    def name(self) -> str:
        return f"{self.side}-{self.kind.key}"

    @property
    def errors(self) -> list[str]:
        fields = [each for each in (self.first, self.second, self.third) if each is not None]
        return [str(error) for each in fields for error in each.errors]

    @property
    def says_something(self) -> bool:
        return bool(self.converted_mm or self.apart_mm is not None or self.questions or self.errors)


@dataclass(frozen=True)
class Half:
    """One foot's half of the page."""

    side: Side
    groups: Sequence[tuple[Group, Sequence[Line]]]
    legs: Sequence[Mapping[str, BoundField]]
    bulges: Sequence[Mapping[str, BoundField]]

    @property
    def lines(self) -> list[Line]:
        return [line for _, lines in self.groups for line in lines]

    @property
    def has_legs(self) -> bool:
        return _is_begun(self.legs)

    @property
    def has_bulges(self) -> bool:
        return _is_begun(self.bulges)


def _is_begun(rows: Sequence[Mapping[str, BoundField]]) -> bool:
    return any(field.value() or field.errors for row in rows for field in row.values())


@dataclass(frozen=True)
class AskedNow:
    """A question about what is typed, and the answer that is chosen for it so far."""

    question: MeasureAgain
    chosen: str

    @property
    def name(self) -> str:
        return f"answer-{self.question.key}"
