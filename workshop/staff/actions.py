"""Every change of people, their roles and secrets, and of the terminals at the bench."""

import re
import secrets
from collections.abc import Collection
from datetime import datetime

from django.contrib.auth.hashers import make_password
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.history import Actor, acting
from shared.refusals import Refused
from shared.versions import save_version
from workshop.staff.guessing import wrong_tries
from workshop.staff.models import Person, Pin, Role, RoleKind, Terminal
from workshop.staff.queries import accounts_of, hash_of_key

RUNS = "01234567890 09876543210"


@transaction.atomic
def make_person(
    *,
    login: str,
    name: str,
    initials: str,
    roles: Collection[str],
    password: str,
    may_prescribe: bool = False,
    by: Actor,
    at: datetime,
) -> Person:
    """Make somebody who can sign in. Raises `Refused` for a taken name, unfit roles or a weak password."""
    login = login.strip().lower()
    _check_entry(login=login, roles=roles, may_prescribe=may_prescribe, besides=None)
    person = Person(login=login, name=name, initials=initials, may_prescribe=may_prescribe, password_changed_at=at)
    _check_password(password, person)
    person.set_password(password)
    with acting(by=by, action="make_person", says=f"Made {name} ({_in_words(roles)}).", at=at):
        person.save()
        Role.objects.bulk_create(Role(person=person, kind=kind) for kind in roles)
    return person


@transaction.atomic
def change_person(
    person: Person,
    *,
    seen_version: int,
    login: str,
    name: str,
    initials: str,
    roles: Collection[str],
    may_prescribe: bool,
    by: Actor,
    at: datetime,
) -> None:
    """Change a person's entry and roles. Without the role Maker the PIN goes: it opens nothing else.

    Raises `Stale`, and `Refused` for a taken name, unfit roles, or the last administrator.
    """
    login = login.strip().lower()
    _check_entry(login=login, roles=roles, may_prescribe=may_prescribe, besides=person)
    if RoleKind.ADMINISTRATOR not in roles:
        _keep_an_administrator(besides=person)
    with acting(by=by, action="change_person", says=f"Changed the entry of {name} ({_in_words(roles)}).", at=at):
        save_version(
            person, seen_version=seen_version, login=login, name=name, initials=initials, may_prescribe=may_prescribe
        )
        held = {role.kind: role for role in Role.objects.filter(person=person)}
        Role.objects.filter(person=person).exclude(kind__in=roles).delete()
        Role.objects.bulk_create(Role(person=person, kind=kind) for kind in roles if kind not in held)
        if RoleKind.MAKER not in roles:
            Pin.objects.filter(person=person).delete()


@transaction.atomic
def set_password(person: Person, *, password: str, by: Actor, at: datetime) -> None:
    """Give a person another password, which signs them out wherever they are. Raises `Refused` for a weak one."""
    _check_password(password, person)
    with acting(by=by, action="set_password", says=f"Gave {person.name} a new password.", at=at):
        person.set_password(password)
        person.password_changed_at = at
        person.save(update_fields=["password", "password_changed_at"])


@transaction.atomic
def set_pin(person: Person, *, pin: str, by: Actor, at: datetime) -> None:
    """Give a maker a PIN for the terminals. Raises `Refused` for a weak one, or for somebody who is no maker."""
    if not Role.objects.filter(person=person, kind=RoleKind.MAKER).exists():
        raise Refused("A PIN opens the maker's part at a bench terminal: it needs the role Maker.")
    if not re.fullmatch(r"[0-9]{4,6}", pin):
        raise Refused("A PIN has 4 to 6 digits.")
    if len(set(pin)) == 1 or pin in RUNS:
        raise Refused("This PIN is guessed first: take digits that are neither all alike nor in a row.")
    with acting(by=by, action="set_pin", says=f"Gave {person.name} a new PIN.", at=at):
        Pin.objects.update_or_create(
            person=person, defaults={"hash": make_password(pin), "failed": 0, "locked_until": None, "set_at": at}
        )


@transaction.atomic
def remove_pin(person: Person, *, by: Actor, at: datetime) -> None:
    """Take a person's PIN away."""
    with acting(by=by, action="remove_pin", says=f"Took the PIN of {person.name} away.", at=at):
        Pin.objects.filter(person=person).delete()


@transaction.atomic
def retire_person(person: Person, *, by: Actor, at: datetime) -> None:
    """Somebody leaves: signed out at once wherever they are. Raises `Refused` for the last administrator."""
    _keep_an_administrator(besides=person)
    person = Person.objects.select_for_update().get(pk=person.pk)
    if person.retired_on is not None:
        raise Refused(f"{person.name} has already left.")
    with acting(by=by, action="retire_person", says=f"{person.name} left the workshop.", at=at):
        save_version(person, seen_version=person.version, retired_on=timezone.localdate(at))
        Pin.objects.filter(person=person).delete()


@transaction.atomic
def bring_back_person(person: Person, *, by: Actor, at: datetime) -> None:
    """Somebody works here again, with the roles and password they had. Raises `Refused` if they never left."""
    person = Person.objects.select_for_update().get(pk=person.pk)
    if person.retired_on is None:
        raise Refused(f"{person.name} has not left.")
    with acting(by=by, action="bring_back_person", says=f"{person.name} works here again.", at=at):
        save_version(person, seen_version=person.version, retired_on=None)


@transaction.atomic
def register_terminal(*, name: str, bench_key: str, by: Person, at: datetime) -> tuple[Terminal, str]:
    """Register a device at a bench. Returns it with the key the device must keep: it cannot be shown again."""
    key = secrets.token_urlsafe(32)
    with acting(by=by, action="register_terminal", says=f"Registered the terminal {name}.", at=at):
        terminal = Terminal.objects.create(
            name=name, bench_key=bench_key, key_hash=hash_of_key(key), registered_by=by, registered_at=at
        )
    return terminal, key


@transaction.atomic
def revoke_terminal(terminal: Terminal, *, by: Person, at: datetime) -> None:
    """A device is a terminal no longer; whoever is there by PIN is out. Raises `Refused` if it already is not."""
    terminal = Terminal.objects.select_for_update().get(pk=terminal.pk)
    if terminal.revoked_at is not None:
        raise Refused("This terminal was already revoked.")
    with acting(by=by, action="revoke_terminal", says=f"Revoked the terminal {terminal.name}.", at=at):
        terminal.revoked_at = at
        terminal.save(update_fields=["revoked_at"])


@transaction.atomic
def let_person_try_again(person: Person, *, by: Person, at: datetime) -> None:
    """Forget a person's wrong tries at password and PIN."""
    with acting(by=by, action="let_person_try_again", says=f"Let {person.name} try again to sign in.", at=at):
        wrong_tries(at=at).filter(account__in=accounts_of(person)).delete()
        Pin.objects.filter(person=person).update(failed=0, locked_until=None)


@transaction.atomic
def let_address_try_again(address: str, *, by: Person, at: datetime) -> None:
    """Forget the wrong tries that came from a network address."""
    with acting(by=by, action="let_address_try_again", says=f"Let the device at {address} try again.", at=at):
        wrong_tries(at=at).filter(address=address).delete()


def _check_entry(*, login: str, roles: Collection[str], may_prescribe: bool, besides: Person | None) -> None:
    others = Person.objects.exclude(pk=besides.pk) if besides else Person.objects.all()
    if others.filter(login=login).exists():
        raise Refused("Somebody already has this sign-in name.")
    if not roles:
        raise Refused("Somebody without a role could do nothing here: choose at least one.")
    if may_prescribe and RoleKind.CLINICIAN not in roles:
        raise Refused("Only a clinician may prescribe.")


def _check_password(password: str, person: Person) -> None:
    try:
        validate_password(password, person)
    except ValidationError as error:
        raise Refused(" ".join(error.messages)) from None


def _keep_an_administrator(*, besides: Person) -> None:
    """Lock all administrators, so that two cannot go at once, and only then look who would be left."""
    administrators = Person.objects.holding(RoleKind.ADMINISTRATOR)
    list(administrators.order_by("pk").select_for_update(of=("self",)))
    left = set(administrators.values_list("pk", flat=True))
    if left == {besides.pk}:
        raise Refused("This is the last administrator: make another one first.")


def _in_words(roles: Collection[str]) -> str:
    return ", ".join(RoleKind(kind).label for kind in RoleKind.values if kind in roles)
