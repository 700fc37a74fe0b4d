"""Many at once. The race is first shown to exist, with a guard that looks before it writes."""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import datetime
from threading import Barrier

import pytest
from django.db import connection

from shared.refusals import Refused
from tests.factories.staff import make_person
from tests.factories.terminals import give_pin
from workshop.staff import actions, guessing
from workshop.staff.models import Attempt, Person, Role, RoleKind

pytestmark = pytest.mark.django_db(transaction=True)

AT_ONCE = 15


def all_at_once(act: Callable[[int], object], times: int = AT_ONCE) -> list[object]:
    """What each of many acts, begun together, answers; a refusal as its class."""
    together = Barrier(times)

    def begin(number: int) -> object:
        try:
            together.wait()
            return act(number)
        except Refused as refused:
            return type(refused)
        finally:
            connection.close()

    with ThreadPoolExecutor(times) as pool:
        return list(pool.map(begin, range(times)))


@pytest.fixture
def looked() -> Barrier:
    return Barrier(AT_ONCE)


def test_counting_first_and_writing_then_lets_everybody_through(looked: Barrier, now: datetime) -> None:
    account = guessing.account_of_login("somebody")

    def try_naively(_: int) -> str:
        tried = Attempt.objects.filter(account=account).count()
        looked.wait()
        if tried >= guessing.WRONG_TRIES_OF_AN_ACCOUNT:
            raise guessing.TooManyTries(now)
        Attempt.objects.create(account=account, address="192.0.2.1", at=now, succeeded=False)
        return "looked at"

    assert all_at_once(try_naively) == ["looked at"] * AT_ONCE


def test_of_many_wrong_passwords_at_once_no_more_than_ten_are_looked_at(now: datetime) -> None:
    person = make_person(password="a long enough password")

    def guess(number: int) -> object:
        return guessing.who_has_password(login=person.login, password="wrong", address=f"192.0.2.{number}", at=now)

    assert all_at_once(guess).count(None) <= guessing.WRONG_TRIES_OF_AN_ACCOUNT


def test_of_many_wrong_pins_at_once_no_more_than_five_are_looked_at(now: datetime) -> None:
    person = make_person(roles=["maker"])
    give_pin(person)

    def guess(number: int) -> object:
        return guessing.has_pin(person, pin="0000", address=f"192.0.2.{number}", at=now)

    # The fifth is looked at too, and answered with the lock that it closed.
    assert all_at_once(guess).count(False) <= guessing.WRONG_PINS - 1


def test_two_administrators_cannot_send_each_other_away_at_once(now: datetime) -> None:
    pair = [make_person(roles=["administrator"]) for _ in range(2)]
    answers = all_at_once(lambda number: actions.retire_person(pair[number], by=pair[1 - number], at=now), times=2)
    assert (sorted(map(str, answers)), Person.objects.holding(RoleKind.ADMINISTRATOR).count()) == (
        sorted(map(str, [None, Refused])),
        1,
    )


def test_two_administrators_cannot_take_the_role_from_each_other_at_once(now: datetime) -> None:
    pair = [make_person(roles=["administrator"]) for _ in range(2)]

    def take_role(number: int) -> None:
        other = pair[1 - number]
        actions.change_person(
            other,
            seen_version=1,
            login=other.login,
            name=other.name,
            initials=other.initials,
            roles=["maker"],
            may_prescribe=False,
            by=pair[number],
            at=now,
        )

    answers = all_at_once(take_role, times=2)
    assert (sorted(map(str, answers)), Role.objects.filter(kind=RoleKind.ADMINISTRATOR).count()) == (
        sorted(map(str, [None, Refused])),
        1,
    )
