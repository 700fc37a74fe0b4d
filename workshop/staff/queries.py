"""People, terminals, and who is locked out."""

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Count, QuerySet

from workshop.staff import guessing
from workshop.staff.models import Person, Pin, RoleKind, Terminal


def people() -> QuerySet[Person]:
    """Everybody with their roles and PIN, those who work here first."""
    return Person.objects.select_related("pin").prefetch_related("roles").order_by("-retired_on", "name")


def people_of_terminals() -> QuerySet[Person]:
    """The working makers who have a PIN, by name."""
    return Person.objects.holding(RoleKind.MAKER).filter(pin__isnull=False).order_by("name")


def hash_of_key(key: str) -> str:
    """What is kept of a terminal's key. The key is long and random, so a plain hash is enough."""
    return hashlib.sha256(key.encode()).hexdigest()


def terminal_with_key(key: str) -> Terminal | None:
    """The terminal that holds this key and was not revoked."""
    return Terminal.objects.filter(key_hash=hash_of_key(key), revoked_at__isnull=True).first() if key else None


def terminals() -> QuerySet[Terminal]:
    """Terminals with who registered them, those in use first, then by name."""
    return Terminal.objects.select_related("registered_by").order_by("-revoked_at", "name")


@dataclass(frozen=True)
class LockedOut:
    """Who has to wait after wrong tries: people by password or PIN, and network addresses."""

    people: list[Person]
    addresses: list[str]


def locked_out(*, at: datetime) -> LockedOut:
    """Everybody and every address that may not try now."""
    tries = guessing.wrong_tries(at=at)
    accounts = {
        row["account"]
        for row in tries.values("account").annotate(n=Count("pk")).filter(n__gte=guessing.WRONG_TRIES_OF_AN_ACCOUNT)
    }
    addresses = tries.values("address").annotate(n=Count("pk")).filter(n__gte=guessing.WRONG_TRIES_FROM_AN_ADDRESS)
    by_pin = set(Pin.objects.filter(locked_until__gt=at).values_list("person_id", flat=True))
    waiting = [
        person
        for person in Person.objects.working().order_by("name")
        if person.pk in by_pin or not accounts.isdisjoint(accounts_of(person))
    ]
    return LockedOut(people=waiting, addresses=sorted(row["address"] for row in addresses))


def accounts_of(person: Person) -> Iterable[str]:
    """The names under which a person's tries are counted."""
    return (guessing.account_of_login(person.login), guessing.account_of_pin(person))
