"""The two feet of a prescription held side by side, part by part."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from cases.prescriptions.described.differences import labels_that_differ
from cases.prescriptions.described.shape import FootInWords, PartInWords


@dataclass(frozen=True)
class PartRow:
    """One part for LEFT and RIGHT; None where it is not prescribed for that foot. `differ` are labels not alike."""

    name: str
    left: PartInWords | None
    right: PartInWords | None
    differ: tuple[str, ...]


@dataclass(frozen=True)
class Group:
    """Visible, closed in, or underfoot."""

    key: str
    title: str
    rows: tuple[PartRow, ...]


def side_by_side(feet: Sequence[FootInWords]) -> tuple[Group, ...]:
    """The three groups in the order in which they are read. Where the work is on one shoe, nothing can differ."""
    by_side = {foot.side: foot for foot in feet}
    return (
        _group("visible", "Visible", {side: foot.visible for side, foot in by_side.items()}),
        _group("closed-in", "Closed in", {side: foot.closed_in for side, foot in by_side.items()}),
        _group("underfoot", "Underfoot", {side: foot.underfoot for side, foot in by_side.items()}),
    )


def _group(key: str, title: str, parts: Mapping[str, Sequence[PartInWords]]) -> Group:
    of_left = {part.part: part for part in parts.get("left", ())}
    of_right = {part.part: part for part in parts.get("right", ())}
    both = len(parts) == 2
    rows = []
    for part in _in_order(list(of_left), list(of_right)):
        on_left, on_right = of_left.get(part), of_right.get(part)
        differ = labels_that_differ(on_left, on_right) if both and part != "last" else ()
        named = on_left or on_right
        assert named is not None
        rows.append(PartRow(name=named.name, left=on_left, right=on_right, differ=differ))
    return Group(key=key, title=title, rows=tuple(rows))


def _in_order(left: list[str], right: list[str]) -> list[str]:
    """The keys of both, each where it stands in its own list."""
    merged = list(left)
    place = 0
    for key in right:
        if key in merged:
            place = merged.index(key) + 1
        else:
            merged.insert(place, key)
            place += 1
    return merged
