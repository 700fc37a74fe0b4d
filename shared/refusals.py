"""Saying no in a sentence: every refusal reaches the person as words, with the right status."""

from collections.abc import Callable
from typing import Any
from urllib.parse import urlencode

from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, OperationalError
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render


class Refused(Exception):
    """Something a person asked for cannot be done now. The message is fit for the screen."""

    status = 409
    leads_to = ""
    """The address of a page on which the person can put right what stood in the way, if there is one."""

    def __init__(self, message: str) -> None:
        self.message = message
        super().__init__(message)


class NotAllowed(Refused):
    """This person may not do this."""

    status = 403


_sentences: dict[str, str] = {
    "change_names_who_what_why": "The change was not saved: it did not say who made it and why.",
}


def explain_constraint(name: str, sentence: str) -> None:
    """Give the sentence that a person reads when the database refuses by the constraint `name`."""
    _sentences[name] = sentence


def sentence_for(error: IntegrityError) -> str | None:
    """The sentence of a refused constraint, or None where the database's own words must be looked into."""
    diagnostic = getattr(error.__cause__, "diag", None)
    return _sentences.get(getattr(diagnostic, "constraint_name", None) or "")


def answer(request: HttpRequest, error: Exception) -> HttpResponse | None:
    """The response to an error that a person can understand, or None for one that is a defect."""
    if isinstance(error, Refused) and error.leads_to and request.method == "GET" and not _is_fragment(request):
        return HttpResponseRedirect(f"{error.leads_to}?{urlencode({'next': request.get_full_path()})}")
    if isinstance(error, Refused):
        return refusal(request, error.message, status=error.status, leads_to=error.leads_to)
    if isinstance(error, PermissionDenied):
        return refusal(request, str(error) or "This is not open to your role.", status=403)
    if isinstance(error, IntegrityError):
        sentence = sentence_for(error)
        return refusal(request, sentence, status=409) if sentence else None
    if isinstance(error, OperationalError) and getattr(error.__cause__, "sqlstate", "") in {
        "40001",
        "40P01",
        "55P03",
    }:
        return refusal(
            request, "Somebody else was changing the same thing. Nothing was saved: please try again.", status=409
        )
    return None


def refusal(request: HttpRequest, sentence: str, *, status: int, leads_to: str = "") -> HttpResponse:
    """A refusal as a page, or as a fragment for a page that stays where it is."""
    template = "refused.html#refusal" if _is_fragment(request) else "refused.html"
    return render(request, template, {"sentence": sentence, "status": status, "leads_to": leads_to}, status=status)


def _is_fragment(request: HttpRequest) -> bool:
    return bool(getattr(request, "htmx", False))


def csrf_failure(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form came without its sign: most often a page left open over a sign-in."""
    return refusal(
        request, "This page was open too long or in another sign-in. Load it again and send once more.", status=403
    )


class RefusalMiddleware:
    """Turns refusals raised while a page is read into words."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_exception(self, request: HttpRequest, error: Exception, **_: Any) -> HttpResponse | None:
        return answer(request, error)
