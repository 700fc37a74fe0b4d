"""One template, whole or in part: a fragment is chosen by its target, never by the mere presence of a header."""

from collections.abc import Collection
from typing import Any

from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme


def fragment_requested(request: HttpRequest, target: str) -> bool:
    """True where the page asks only for the part with this id. A restored history page wants the whole."""
    htmx = getattr(request, "htmx", None)
    if not htmx:
        return False
    return bool(htmx.target == target and not htmx.history_restore_request)


def page(
    request: HttpRequest,
    template: str,
    context: dict[str, Any] | None = None,
    *,
    fragments: Collection[str] = (),
    status: int = 200,
) -> HttpResponse:
    """Render a template, or the one partial of it whose name is the id of the requested target."""
    for name in fragments:
        if fragment_requested(request, name):
            return render(request, f"{template}#{name}", context, status=status)
    return render(request, template, context, status=status)


def done(to: str, *args: Any, **kwargs: Any) -> HttpResponse:
    """The answer to a form that did something: 303 to a page that shows it."""
    response: HttpResponse = redirect(to, *args, **kwargs)
    response.status_code = 303
    return response


def back(given: QueryDict, default: str) -> HttpResponse:
    """To the page on which the button stood, where `given` names one as `next` and it is a page of ours."""
    to = given.get("next", "")
    is_ours = to.startswith("/") and url_has_allowed_host_and_scheme(to, allowed_hosts=None)
    return done(to if is_ours else default)
