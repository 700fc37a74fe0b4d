"""A prescription as pages and papers show it: part by part, LEFT beside RIGHT."""

from collections.abc import Sequence
from dataclasses import dataclass

from cases.prescriptions.described import FootInWords, PartInWords

GROUPS = (
    ("closed_in", "Closed in"),
    ("underfoot", "Underfoot"),
    ("visible", "Visible"),
)
"""What nobody can see again comes first."""


@dataclass(frozen=True)
class PartRow:
    """One part of both shoes. None where this part is not prescribed for that foot."""

    key: str
    name: str
    left: PartInWords | None
    right: PartInWords | None


@dataclass(frozen=True)
class PartGroup:
    key: str
    name: str
    rows: tuple[PartRow, ...]


def side_by_side(feet: Sequence[FootInWords], *, leave_out: frozenset[str] = frozenset()) -> tuple[PartGroup, ...]:
    """The three groups of a prescription with the parts of both feet in rows, in the order a maker reads them.

    `leave_out` names parts that a page shows elsewhere. A group of which nothing is prescribed is not there.
    """
    by_side = {foot.side: foot for foot in feet}
    groups = []
    for key, name in GROUPS:
        left, right = (_parts(by_side.get(side), key, leave_out) for side in ("left", "right"))
        rows = tuple(
            PartRow(part, (left.get(part) or right[part]).name, left.get(part), right.get(part))
            for part in _in_one_order(list(left), list(right))
        )
        if rows:
            groups.append(PartGroup(key, name, rows))
    return tuple(groups)


def _parts(foot: FootInWords | None, group: str, leave_out: frozenset[str]) -> dict[str, PartInWords]:
    if foot is None:
        return {}
    return {part.part: part for part in getattr(foot, group) if part.part not in leave_out}


def _in_one_order(left: list[str], right: list[str]) -> list[str]:
    """Both lists in one, each in its own order: what only the RIGHT has follows what precedes it there."""
    merged = list(left)
    for place, key in enumerate(right):
        if key not in merged:
            before = [merged.index(earlier) for earlier in right[:place]]
            merged.insert(max(before, default=-1) + 1, key)
    return merged
