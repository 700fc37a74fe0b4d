"""How a prescription reads: parts with their lines, in three groups, foot by foot."""

from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True)
class PartInWords:
    """One part of one foot's shoe. `lines` are (label, value with unit); `part` is its key for checks."""

    part: str
    name: str
    lines: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class FootInWords:
    """What one foot's shoe must be, in the three parts of a prescription."""

    side: str
    visible: tuple[PartInWords, ...]
    closed_in: tuple[PartInWords, ...]
    underfoot: tuple[PartInWords, ...]

    @property
    def parts(self) -> tuple[PartInWords, ...]:
        """All parts in the order a maker reads them."""
        return self.visible + self.closed_in + self.underfoot

    def part(self, key: str) -> PartInWords | None:
        """The part with this key, or None where it is not prescribed."""
        return next((part for part in self.parts if part.part == key), None)


Figure = Decimal | int | None


def part_of(key: str, name: str, *lines: tuple[str, str]) -> list[PartInWords]:
    """The part with the lines that say something; no part where none does."""
    said = tuple((label, value) for label, value in lines if value)
    return [PartInWords(part=key, name=name, lines=said)] if said else []


def plain(value: Decimal | int) -> str:
    """A figure without the noughts that its column adds: 180.0 is said 180."""
    return f"{Decimal(value).normalize():f}"


def mm(value: Figure, after: str = "") -> str:
    """Millimetres with their unit, or nothing where nothing is prescribed."""
    return "" if value is None else f"{plain(value)} mm{after and ' ' + after}"


def degrees(value: Figure) -> str:
    return "" if value is None else f"{plain(value)}°"


def yes(value: bool, sentence: str) -> str:  # noqa: FBT001  # the field is the flag
    return sentence if value else ""
