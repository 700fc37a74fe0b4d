"""What this workshop's own scale teaches its estimates of weight. Weights in g.

From ten weighed pairs on, an estimate is corrected by the median of what the last ones weighed against what their parts
add up to; the number is common practice, no source.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median

LAST_PAIRS = 20
"""So many of the latest pairs count: stock and hands change. From memory."""


@dataclass(frozen=True)
class Weighing:
    """One finished shoe on the scale. `estimated_g` is the sum of its parts, uncorrected."""

    pair: str
    side: str
    estimated_g: float
    weighed_g: float


@dataclass(frozen=True)
class WeighedHere:
    """How many pairs were weighed here, and their median ratio of weighed to estimated; its spread over these pairs."""

    pairs: int = 0
    ratio: float = 1.0
    lowest: float = 1.0
    highest: float = 1.0


def weighed_here(weighings: Iterable[Weighing]) -> WeighedHere:
    """What the latest pairs teach; `weighings` the latest first. Of a side that was weighed again the latest counts."""
    pairs: dict[str, dict[str, Weighing]] = {}
    for each in weighings:
        if each.pair in pairs or len(pairs) < LAST_PAIRS:
            pairs.setdefault(each.pair, {}).setdefault(each.side, each)
    if not pairs:
        return WeighedHere()
    ratios = [
        sum(shoe.weighed_g for shoe in shoes.values()) / sum(shoe.estimated_g for shoe in shoes.values())
        for shoes in pairs.values()
    ]
    return WeighedHere(len(ratios), median(ratios), min(ratios), max(ratios))
