"""The checks of one pair as the bench sees them: what is asked, what is still to be measured, what was found."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from cases.bench.checks_asked import part_words
from cases.bench.measured import AskedFigure
from cases.bench.models import CheckMoment, CoverCheck, CoverRequirement, Difference, DifferenceState, Outcome
from shared.drawing.stitches import Knot
from shared.sides import SIDES


@dataclass(frozen=True)
class FigureSeen:
    """A figure that is measured blind, and what was measured: None before it was keyed. `name` is that of its field."""

    asked: AskedFigure
    name: str
    measured: Decimal | None

    @property
    def says(self) -> str:
        return "" if self.measured is None else self.asked.says(self.measured)

    @property
    def holds(self) -> bool:
        return self.measured is not None and self.asked.holds(self.measured)


@dataclass(frozen=True)
class CheckSeen:
    """One check that is asked for on one foot, and what was found."""

    asked: CoverRequirement
    made: CoverCheck | None
    difference: Difference | None

    @cached_property
    def figures(self) -> tuple[FigureSeen, ...]:
        """What is measured blind at this check, with what was measured."""
        measured = self.made.measured if self.made else {}
        rows = [AskedFigure.of(row) for row in self.asked.measured]
        return tuple(
            FigureSeen(
                asked=row,
                name=figure_field(self.asked, number),
                measured=Decimal(measured[row.label]) if row.label in measured else None,
            )
            for number, row in enumerate(rows)
        )

    @property
    def is_blind(self) -> bool:
        """True while figures are to be keyed that nobody may read before."""
        return self.made is None and bool(self.figures)

    @property
    def differs_name(self) -> str:
        return differs_field(self.asked)

    @property
    def lines(self) -> Sequence[tuple[str, str]]:
        """The prescribed lines, without those that are measured first."""
        return open_lines(self.asked) if self.is_blind else self.asked.prescribed

    @property
    def is_settled(self) -> bool:
        """True where the stage may be ticked as far as this check goes."""
        if self.made is None:
            return False
        if self.made.outcome == Outcome.AS_PRESCRIBED:
            return True
        if self.difference is None or self.difference.state == DifferenceState.UNDONE:
            return False
        accepted = self.difference.state == DifferenceState.ACCEPTED
        return accepted or self.asked.moment != CheckMoment.PART

    @property
    def knot(self) -> Knot:
        if self.made is None:
            return Knot.ASKED
        accepted = self.difference is not None and self.difference.state == DifferenceState.ACCEPTED
        return Knot.PASSED if self.made.outcome == Outcome.AS_PRESCRIBED or accepted else Knot.DIFFERS


@dataclass(frozen=True)
class PartChecks:
    """The check of one part at one moment, LEFT and RIGHT side by side."""

    part: str
    moment: str
    left: CheckSeen | None
    right: CheckSeen | None
    no_left: str
    no_right: str
    """What is said where a foot has no such check to make now."""

    @property
    def name(self) -> str:
        words = part_words(self.part)
        return words[:1].upper() + words[1:]

    @property
    def feet(self) -> tuple[tuple[str, CheckSeen | None, str], ...]:
        return (("left", self.left, self.no_left), ("right", self.right, self.no_right))

    @property
    def is_blind(self) -> bool:
        """True where a foot of it waits for figures that nobody may read before."""
        return any(check.is_blind for check in (self.left, self.right) if check is not None)

    @property
    def to_make(self) -> tuple[CheckSeen, ...]:
        return tuple(check for check in (self.left, self.right) if check is not None and check.made is None)


@dataclass(frozen=True)
class CheckedPart:
    """What is closed in on each foot: the prescribed lines of one part."""

    name: str
    left: Sequence[tuple[str, str]]
    right: Sequence[tuple[str, str]]


def figure_field(asked: CoverRequirement, number: int) -> str:
    """The name of a form's field for a figure of this check."""
    return f"measured-{asked.uuid}-{number}"


def differs_field(asked: CoverRequirement) -> str:
    """The name of the field for what else differs, where a check is measured."""
    return f"differs-{asked.uuid}"


def labels_of(asked: CoverRequirement) -> list[str]:
    """What is measured at a check before it is shown."""
    return [row["label"] for row in asked.measured]


def open_lines(asked: CoverRequirement) -> list[tuple[str, str]]:
    """The prescribed lines of a check without those that are measured before they are shown."""
    blind = labels_of(asked)
    return [(label, value) for label, value in asked.prescribed if label not in blind]


def checked_parts(requirements: Iterable[CoverRequirement]) -> tuple[CheckedPart, ...]:
    """Without what is still to be measured, whatever check of the part tells it."""
    lines: dict[str, dict[str, list[tuple[str, str]]]] = {}
    for asked in requirements:
        of_part = lines.setdefault(asked.part, {})
        if asked.measured and not asked.standing:  # type: ignore[attr-defined]  # prefetched
            of_part[asked.side] = [*open_lines(asked), ("is measured first", ", ".join(labels_of(asked)))]
        of_part.setdefault(asked.side, asked.prescribed)
    return tuple(
        CheckedPart(part_words(part)[:1].upper() + part_words(part)[1:], *(sides.get(side, ()) for side in SIDES))
        for part, sides in lines.items()
    )
