"""How much of a draft's page was sent: all of it with a button, and no more than what changed at every change."""

from dataclasses import dataclass

from cases.prescriptions.forms.blocks import SECTIONS
from shared.sides import SIDES, Side

PAIR = "pair"
PARTS = frozenset(block.part for section in SECTIONS for block in section.blocks)


@dataclass(frozen=True)
class Extent:
    """What is said of the pair, and parts of a foot, each whole: a part is not half sent."""

    has_pair: bool
    parts: frozenset[tuple[Side, str]]

    @classmethod
    def read(cls, words: str) -> "Extent":
        """From a page's own words for it, `pair left:heel right:heel`. Raises `ValueError` for any other word."""
        told = words.split()
        return cls(PAIR in told, frozenset(_part(word) for word in told if word != PAIR))

    def holds(self, side: Side, part: str) -> bool:
        return (side, part) in self.parts

    def on_both_feet(self) -> "Extent":
        """The same parts of either foot: what one line of the page says of both."""
        return Extent(self.has_pair, frozenset((side, part) for _, part in self.parts for side in SIDES))


def _part(word: str) -> tuple[Side, str]:
    side, _, part = word.partition(":")
    if part not in PARTS:
        raise ValueError(f"{word} is no part of a foot.")
    return Side(side), part
