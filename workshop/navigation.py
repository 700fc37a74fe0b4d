"""The places a person can go from any page, by the roles they hold."""

from dataclasses import dataclass

from django.http import HttpRequest
from django.urls import reverse


@dataclass(frozen=True)
class Place:
    """One entry of the masthead."""

    words: str
    url_name: str
    roles: frozenset[str]


@dataclass(frozen=True)
class Link:
    """A place as it stands on one page."""

    words: str
    address: str
    is_here: bool


def _place(words: str, url_name: str, *roles: str) -> Place:
    return Place(words=words, url_name=url_name, roles=frozenset(roles))


PLACES: tuple[Place, ...] = (
    _place("Desk", "desk", "reception"),
    _place("Clinic", "clinic", "clinician"),
    _place("My bench", "my-bench", "maker"),
    _place("Late pairs", "late", "manager"),
    _place("Bench", "my-bench", "manager"),
    _place("Clients", "clients", "reception", "clinician", "manager"),
    _place("Diary", "diary", "reception", "clinician", "manager"),
    _place("To call", "calls", "reception"),
    _place("Differences", "differences", "clinician", "manager"),
    _place("Last rack", "last-rack", "clinician", "maker"),
    _place("Casts", "casts", "clinician", "maker"),
    _place("Calculators", "calculators", "clinician", "maker", "manager"),
    _place("Notes", "notes", "manager"),
    _place("Figures", "figures", "manager"),
    _place("Rooms and hours", "hours", "manager"),
    _place("Terminals", "terminals", "manager"),
    _place("People", "people", "administrator"),
)
"""In the order of the masthead. Of two names for one place, somebody with both roles sees the first."""


def places_for(request: HttpRequest) -> list[Link]:
    """The masthead of this request's person; empty for nobody."""
    user = getattr(request, "user", None)
    if user is None or not user.is_authenticated:
        return []
    links: dict[str, Link] = {}
    for place in PLACES:
        if place.roles & user.role_kinds:
            address = reverse(place.url_name)
            links.setdefault(address, Link(words=place.words, address=address, is_here=request.path == address))
    return list(links.values())
