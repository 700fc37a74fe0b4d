"""Who may open what. Every view says for whom it is; a view that says nothing is refused to all."""

from collections.abc import Callable
from typing import Any, TypeVar
from urllib.parse import urlencode

from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse

from shared.kept import KeptForm

View = TypeVar("View", bound=Callable[..., HttpResponse])

EVERYBODY = frozenset({"everybody"})
STAFF = frozenset({"staff"})


def allowed(*roles: str) -> Callable[[View], View]:
    """Open a view to people who hold at least one of these roles."""
    return _mark(frozenset(roles))


def staff_only(view: View) -> View:
    """Open a view to every signed-in person of the workshop."""
    return _mark(STAFF)(view)


def open_to_everybody(view: View) -> View:
    """Open a view to people who have not signed in."""
    return _mark(EVERYBODY)(view)


def _mark(roles: frozenset[str]) -> Callable[[View], View]:
    def mark(view: View) -> View:
        view.open_to = roles  # type: ignore[attr-defined]
        return view

    return mark


class AccessMiddleware:
    """Refuses what is not open to this person, before the view runs."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Callable[..., HttpResponse], args: tuple[Any, ...], kwargs: dict[str, Any]
    ) -> HttpResponse | None:
        roles: frozenset[str] = getattr(view, "open_to", frozenset())
        if roles == EVERYBODY:
            return None
        if not request.user.is_authenticated:
            return to_sign_in(request)
        if roles == STAFF or roles & request.user.role_kinds:
            return None
        from shared.refusals import answer

        return answer(request, PermissionDenied("This page is not open to your role."))


def to_sign_in(request: HttpRequest) -> HttpResponse:
    """Send a person to the door and afterwards back to the page they stood on; never a fragment of it.

    The door is the sign-in, at a bench terminal its lock screen. What a person typed is carried through the sign-in.
    """
    door = reverse("terminal-unlock" if getattr(request, "terminal", None) else "sign-in")
    htmx = getattr(request, "htmx", None)
    if htmx:
        page = htmx.current_url_abs_path or "/"
        response = HttpResponse(status=204)
        response["HX-Redirect"] = f"{door}?{urlencode({'next': page})}"
        return response
    if request.method == "POST" and not getattr(request, "terminal", None):
        return render(request, "signed_out.html", {"kept": KeptForm.of(request)}, status=403)
    page = request.get_full_path() if request.method == "GET" else "/"
    return HttpResponseRedirect(f"{door}?{urlencode({'next': page})}")
