"""Who sits at this browser: coming in, going out, and how long nobody has touched it."""

import ipaddress
from datetime import datetime, timedelta

from django.conf import settings
from django.contrib.auth import login
from django.http import HttpRequest
from django.utils.http import url_has_allowed_host_and_scheme

from workshop.staff.models import Person, Terminal

BY_PIN_AT = "by_pin_at_terminal"
TOUCHED_AT = "touched_at"
FIRST_SCREEN = "/"


def enter(request: HttpRequest, person: Person, *, at: datetime, by_pin_at: Terminal | None = None) -> None:
    """Sign a person in. By a PIN the sign-in holds at that terminal alone."""
    login(request, person)
    request.session.pop(BY_PIN_AT, None)
    if by_pin_at is not None:
        request.session[BY_PIN_AT] = str(by_pin_at.uuid)
    touch(request, at=at)


def touch(request: HttpRequest, *, at: datetime) -> None:
    """Note that somebody did something here."""
    request.session[TOUCHED_AT] = at.isoformat()


def is_idle(request: HttpRequest, *, after: timedelta, at: datetime) -> bool:
    """Whether nobody did anything here for that long. A session never touched begins now."""
    touched = request.session.get(TOUCHED_AT)
    return touched is not None and at - datetime.fromisoformat(touched) >= after


def page_after(request: HttpRequest) -> str:
    """Where to go once signed in: the page that `next` names if it is one of ours, else the first screen."""
    wanted = request.POST.get("next") or request.GET.get("next") or FIRST_SCREEN
    is_ours = url_has_allowed_host_and_scheme(
        wanted, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    )
    return wanted if is_ours else FIRST_SCREEN


def address_of(request: HttpRequest) -> str:
    """The network address a request came from; behind our own proxy, the one the proxy saw."""
    given: str = request.META.get("REMOTE_ADDR", "")
    if settings.SERVED_OVER_HTTPS:
        given = request.headers.get("X-Forwarded-For", given).rpartition(",")[2].strip()
    try:
        return str(ipaddress.ip_address(given))
    except ValueError:
        # A socket file has no address: whoever comes through it is counted together.
        return "127.0.0.1"
