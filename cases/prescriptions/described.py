"""A prescription in words: every prescribed value of a foot, part by part, in the order a maker reads it."""

from dataclasses import dataclass


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

    def part(self, key: str) -> PartInWords | None:
        """The part with this key, or None where it is not prescribed."""
        for group in (self.visible, self.closed_in, self.underfoot):
            for part in group:
                if part.part == key:
                    return part
        return None
