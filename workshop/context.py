"""What every page knows: where its person can go, when it locks, and whether the workshop is an invented one."""

from functools import partial
from typing import Any
from urllib.parse import urlencode

from django.conf import settings
from django.http import HttpRequest
from django.urls import reverse

from workshop.navigation import places_for


def workshop(request: HttpRequest) -> dict[str, Any]:
    """The words that stand around every page; the places are looked up where a page shows them, which a part does not."""
    return {
        "is_demonstration": settings.IS_DEMONSTRATION,
        "places": partial(places_for, request),
        "terminal": getattr(request, "terminal", None),
        "locks": _locks(request),
    }


def _locks(request: HttpRequest) -> dict[str, Any] | None:
    """After how many seconds a page at a terminal goes to the lock screen, and how it is found again from there."""
    after = getattr(request, "locks_after", None)
    if after is None or not request.user.is_authenticated:
        return None
    lock_screen = reverse("terminal-unlock")
    came_from = f"?{urlencode({'next': request.path})}" if request.method == "GET" else ""
    if request.path == lock_screen:
        came_from = ""
    return {"after_s": int(after.total_seconds()) + 1, "address": f"{lock_screen}{came_from}"}
