"""Slowing down the guessing of passwords and PINs: tries are counted before anything is hashed."""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.contrib.auth import authenticate
from django.contrib.auth.hashers import check_password as matches
from django.db.models import Case, Count, F, Min, Q, QuerySet, Value, When
from django.utils import timezone
from django.utils.crypto import salted_hmac

from shared.refusals import Refused
from workshop.staff.models import Attempt, Person, Pin

WRONG_TRIES_OF_AN_ACCOUNT = 10
WRONG_TRIES_FROM_AN_ADDRESS = 20
COUNTED_FOR = timedelta(hours=1)
KEPT_FOR = timedelta(days=7)
WRONG_PINS = 5
PIN_LOCKED_FOR = timedelta(minutes=15)


class TooManyTries(Refused):
    """Wrong tries came too fast. The sentence is the same whether or not the account exists."""

    status = 429

    def __init__(self, until: datetime) -> None:
        super().__init__(
            f"Too many wrong tries. Try again after {timezone.localtime(until):%H:%M}, "
            "or ask a manager or administrator to let you try at once."
        )


@dataclass(frozen=True)
class _Counted:
    """Wrong tries that still count, and when the first of them ceases to."""

    number: int
    first: datetime

    def refuse_above(self, limit: int) -> None:
        if self.number > limit:
            raise TooManyTries(self.first + COUNTED_FOR)


def account_of_login(login: str) -> str:
    """The name under which tries at a password are counted, whoever may stand behind it."""
    return _account(f"password {login.strip().lower()}")


def account_of_pin(person: Person) -> str:
    """The name under which tries at a person's PIN are counted."""
    return _account(f"PIN {person.uuid}")


def _account(of: str) -> str:
    return salted_hmac("workshop.staff.guessing", of, algorithm="sha256").hexdigest()


def who_has_password(*, login: str, password: str, address: str, at: datetime) -> Person | None:
    """The working person with this sign-in name and password, or None. Raises `TooManyTries`."""
    attempt = _count_try(account_of_login(login), address=address, at=at)
    person = authenticate(username=login.strip().lower(), password=password)
    if not isinstance(person, Person):
        return None
    _was_right(attempt)
    return person


def has_pin(person: Person, *, pin: str, address: str, at: datetime) -> bool:
    """Whether this is the person's PIN. Raises `TooManyTries`, also for the wrong try that is one too many."""
    attempt = _count_try(account_of_pin(person), address=address, at=at)
    not_locked = Q(locked_until__isnull=True) | Q(locked_until__lte=at)
    # One statement claims the try, and the last one already locks: twenty at once get five tries between them.
    claimed = Pin.objects.filter(not_locked, person=person).update(
        failed=Case(When(locked_until__isnull=False, then=Value(1)), default=F("failed") + 1),
        locked_until=Case(
            When(locked_until__isnull=True, failed__gte=WRONG_PINS - 1, then=Value(at + PIN_LOCKED_FOR)),
            default=Value(None),
        ),
    )
    kept = Pin.objects.get(person=person)
    if not claimed:
        attempt.delete()
        raise TooManyTries(kept.locked_until or at + PIN_LOCKED_FOR)
    if matches(pin, kept.hash):
        Pin.objects.filter(person=person).update(failed=0, locked_until=None)
        _was_right(attempt)
        return True
    if kept.locked_until is not None:
        raise TooManyTries(kept.locked_until)
    return False


def _count_try(account: str, *, address: str, at: datetime) -> Attempt:
    """Write the try down, then count: of many at once, no more get through than the limit. Raises `TooManyTries`."""
    attempt = Attempt.objects.create(account=account, address=address, at=at, succeeded=False)
    same_account, same_address = Q(account=account), Q(address=address)
    found = wrong_tries(at=at).aggregate(
        of_account=Count("pk", filter=same_account),
        first_of_account=Min("at", filter=same_account),
        from_address=Count("pk", filter=same_address),
        first_from_address=Min("at", filter=same_address),
    )
    try:
        _Counted(found["of_account"], found["first_of_account"]).refuse_above(WRONG_TRIES_OF_AN_ACCOUNT)
        _Counted(found["from_address"], found["first_from_address"]).refuse_above(WRONG_TRIES_FROM_AN_ADDRESS)
    except TooManyTries:
        # A try that was not looked at must not make the wait longer.
        attempt.delete()
        raise
    return attempt


def wrong_tries(*, at: datetime) -> QuerySet[Attempt]:
    """The wrong tries that count at a moment."""
    return Attempt.objects.filter(succeeded=False, at__gt=at - COUNTED_FOR)


def _was_right(attempt: Attempt) -> None:
    attempt.succeeded = True
    attempt.save(update_fields=["succeeded"])
    Attempt.objects.filter(at__lt=attempt.at - KEPT_FOR).delete()
