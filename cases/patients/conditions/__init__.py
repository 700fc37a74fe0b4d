"""The closed list of findings: what can be found on a foot, or about the person on it.

Grouping and wording are common practice of the trade, no citable source. Diabetes, hand function and allergies have
fields of their own in the client's record and are not repeated here.
"""

from cases.patients.conditions.closed_list import ALL
from cases.patients.conditions.entry import Condition, Group

__all__ = [
    "CONDITIONS",
    "Condition",
    "Group",
    "all_places",
    "by_group",
    "label",
    "place_as_suggested",
]


CONDITIONS: dict[str, Condition] = {condition.key: condition for condition in ALL}
"""The whole list by key, in the order in which it is offered."""


def label(key: str) -> str:
    """The clinical word for the screen. Raises `KeyError` for a key that is not in the list."""
    return CONDITIONS[key].label


def by_group(*, on_a_foot: bool) -> list[tuple[str, list[Condition]]]:
    """The conditions of a foot, or those without a side, under their headings in the order of the list."""
    groups: list[tuple[str, list[Condition]]] = []
    for group in Group:
        members = [entry for entry in ALL if entry.group is group and entry.on_a_foot == on_a_foot]
        if members:
            groups.append((group.value, members))
    return groups


def all_places() -> tuple[str, ...]:
    """Every suggested place, each once, in the order in which they first occur."""
    return tuple(dict.fromkeys(place for entry in ALL for place in entry.places))


def place_as_suggested(text: str) -> str:
    """A typed place with single spaces, in the spelling of the suggestion that it equals but for capitals."""
    tidy = " ".join(text.split())
    return next((place for place in all_places() if place.casefold() == tidy.casefold()), tidy)
