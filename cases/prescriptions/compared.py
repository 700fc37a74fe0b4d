"""A version beside the one it follows, foot by foot: both drawings, and what changed in words. Pure."""

from collections.abc import Iterable
from dataclasses import dataclass

from cases.prescriptions.cut_away import CutAway
from cases.prescriptions.described.differences import PartDifference
from shared.sides import SIDES, Side


@dataclass(frozen=True)
class FootCompared:
    """One foot of two versions. A version that has no work on it has no drawing of it."""

    side: Side
    before: CutAway | None
    now: CutAway | None
    changes: tuple[PartDifference, ...]


def feet_compared(
    before: Iterable[CutAway], now: Iterable[CutAway], changes: Iterable[PartDifference]
) -> tuple[FootCompared, ...]:
    """The feet that either version works on, LEFT first."""
    was, are, changed = {each.side: each for each in before}, {each.side: each for each in now}, tuple(changes)
    return tuple(
        FootCompared(side, was.get(side), are.get(side), tuple(each for each in changed if each.side == side))
        for side in SIDES
        if side in was or side in are
    )
