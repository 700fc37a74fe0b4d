"""A form sent twice has one effect: every state-changing request carries a key, and a repeat gives the first answer."""

import hashlib
from collections.abc import Callable
from typing import Any
from uuid import UUID

from django.db import connection, transaction
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.utils import timezone

from shared.models import Submission
from shared.refusals import answer, refusal

View = Callable[..., HttpResponse]
FIELD = "submission"
HEADER = "X-Submission"
UNHASHED_FIELDS = {FIELD, "csrfmiddlewaretoken", "password", "pin"}
"""What differs at each loading, and secrets: a quick hash of a short PIN is as good as the PIN."""


def repeatable(view: View) -> View:
    """Mark a view whose repetition does no harm (signing in and out), so that it needs no key."""
    view.repeatable = True  # type: ignore[attr-defined]
    return view


class OncePerSubmission:
    """Runs each POST in one transaction with its key. Anything but success rolls back, and frees the key."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponse]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponse:
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: View, args: tuple[Any, ...], kwargs: dict[str, Any]
    ) -> HttpResponse | None:
        if request.method != "POST" or getattr(view, "repeatable", False):
            return None
        try:
            key = UUID(request.POST.get(FIELD) or request.headers.get(HEADER, ""))
        except ValueError:
            return refusal(
                request, "This form carries no number of its own. Load the page again, then send it.", status=400
            )
        try:
            with transaction.atomic():
                return self._first_or_repeat(request, key, lambda: view(request, *args, **kwargs))
        except Exception as error:
            response = answer(request, error)
            if response is None:
                raise
            return response

    def _first_or_repeat(self, request: HttpRequest, key: UUID, act: Callable[[], HttpResponse]) -> HttpResponse:
        body_hash = hash_of_form(request)
        if not _claim(request, key, body_hash):
            return _first_answer(request, key, body_hash)
        response = act()
        if response.status_code >= 400:
            transaction.set_rollback(True)
        else:
            Submission.objects.filter(key=key).update(
                status=response.status_code, location=response.headers.get("Location", "")
            )
        return response


def hash_of_form(request: HttpRequest) -> str:
    """A hash of what a person put into the form, without the parts that differ at each loading of the page."""
    digest = hashlib.sha256()
    for name in sorted(set(request.POST) - UNHASHED_FIELDS):
        digest.update(repr((name, request.POST.getlist(name))).encode())
    for name in sorted(request.FILES):
        for file in request.FILES.getlist(name):
            digest.update(repr((name, file.name, file.size)).encode())
    return digest.hexdigest()


def _claim(request: HttpRequest, key: UUID, body_hash: str) -> bool:
    """True for the first use of a key. A rival waits here, on the unique index, until the first is through."""
    with connection.cursor() as cursor:
        cursor.execute(
            "INSERT INTO shared_submission (key, user_id, path, body_hash, location, at)"
            " VALUES (%s, %s, %s, %s, '', %s) ON CONFLICT (key) DO NOTHING",
            [key, request.user.pk, request.path[:300], body_hash, timezone.now()],
        )
        return bool(cursor.rowcount == 1)


def _first_answer(request: HttpRequest, key: UUID, body_hash: str) -> HttpResponse:
    first = Submission.objects.get(key=key)
    if (first.user_id, first.path, first.body_hash) != (request.user.pk, request.path[:300], body_hash):
        return refusal(
            request, "This form was already sent with other contents. Load the page again to see them.", status=422
        )
    if first.location:
        return HttpResponseRedirect(first.location, status=first.status)
    return HttpResponse(status=first.status)
