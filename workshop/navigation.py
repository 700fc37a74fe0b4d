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


PLACES: tuple[Place, ...] = (_place("People and roles", "people", "administrator"),)


def places_for(request: HttpRequest) -> list[Link]:
    """The masthead of this request's person; empty for nobody."""
    if not request.user.is_authenticated:
        return []
    links = []
    for place in PLACES:
        if place.roles & request.user.role_kinds:
            address = reverse(place.url_name)
            links.append(Link(words=place.words, address=address, is_here=request.path == address))
    return links
