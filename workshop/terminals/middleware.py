"""A device at the bench is known by its key, locks when nobody touches it, and lets a PIN open the maker's part alone."""

from collections.abc import Callable
from datetime import timedelta

from django.contrib import messages
from django.contrib.auth import logout
from django.http import HttpRequest, HttpResponse
from django.urls import reverse
from django.utils import timezone

from workshop.figures.queries import figure
from workshop.staff import session
from workshop.staff.models import RoleKind
from workshop.staff.queries import terminal_with_key
from workshop.staff.requests import StaffRequest

COOKIE = "bench_terminal"
OPEN_TO_A_PIN = frozenset({RoleKind.MAKER.value})


class TerminalMiddleware:
    """Sets `request.terminal` and, on a terminal, `request.locks_after`; signs out whoever may not stay."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: StaffRequest) -> HttpResponse:
        request.terminal = terminal_with_key(request.COOKIES.get(COOKIE, ""))
        request.locks_after = None
        by_pin_at = request.session.get(session.BY_PIN_AT)
        # Away from terminals this costs nothing: a sign-in by password is looked at by nobody else.
        if (request.terminal or by_pin_at) and request.user.is_authenticated:
            self._keep_or_sign_out(request, by_pin_at=by_pin_at)
        return self.get_response(request)

    def _keep_or_sign_out(self, request: StaffRequest, *, by_pin_at: str | None) -> None:
        at = timezone.now()
        if by_pin_at and (request.terminal is None or str(request.terminal.uuid) != by_pin_at):
            logout(request)
            return
        locks_after = timedelta(minutes=float(figure("terminal_idle_minutes", on=timezone.localdate(at))))
        if session.is_idle(request, after=locks_after, at=at):
            logout(request)
            if request.method == "POST":
                messages.warning(request, "This terminal had locked itself. What was just sent was not saved.")
            return
        request.locks_after = locks_after
        # A page that goes to the lock screen by itself is no sign of anybody being there.
        if request.path != reverse("terminal-unlock"):
            session.touch(request, at=at)
        if by_pin_at:
            request.user.narrow_to(OPEN_TO_A_PIN)
