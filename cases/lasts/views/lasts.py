"""One last: how it is, what is altered on it, who agreed it."""

from typing import Any
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from cases.lasts import actions, permissions, queries
from cases.lasts.forms import AlterForm
from cases.lasts.models import Last
from shared.fragments import done
from shared.permissions import allowed
from shared.refusals import Refused
from shared.versions import Stale, stale_rows
from workshop.staff.requests import StaffRequest


@allowed(*permissions.READS)
@require_safe
def last(request: StaffRequest, uuid: UUID) -> HttpResponse:
    return render(request, "lasts/last.html", _page_of(request, permissions.last(uuid)))


def _page_of(request: StaffRequest, found: Last) -> dict[str, Any]:
    agreements = sorted(found.agreements.all(), key=lambda each: each.last_version, reverse=True)
    return {
        "last": found,
        "agreements": agreements,
        "is_agreed": any(each.last_version == found.version for each in agreements),
        "sizes": queries.sizes_of_a_last(found),
        "fellow": queries.fellow_of(found),
        "may_handle": permissions.may_handle_lasts(request.user),
    }


@allowed(*permissions.HANDLES_LASTS)
@require_POST
def last_agree(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = permissions.last(uuid)
    actions.agree_last(found, seen_version=_seen_version(request), by=request.user, at=timezone.now())
    return done("last", found.uuid)


@allowed(*permissions.HANDLES_LASTS)
@require_http_methods(["GET", "HEAD", "POST"])
def last_alter(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = permissions.last(uuid)
    form = AlterForm(request.POST if request.method == "POST" else None, initial=AlterForm.as_it_is(found))
    context: dict[str, Any] = {"form": form, "last": found, "seen_version": found.version}
    status = 200
    if request.method == "POST":
        status, seen_version = 422, _seen_version(request)
        context["seen_version"] = seen_version
        if form.is_valid():
            try:
                actions.alter_last(
                    found, seen_version=seen_version, **form.cleaned_data, by=request.user, at=timezone.now()
                )
            except Stale as stale:
                status = stale.status
                context |= {
                    "stale": stale,
                    "stale_rows": stale_rows(stale, form),
                    "seen_version": stale.current.version,
                }
            except Refused as refused:
                form.add_error(None, refused.message)
                status = refused.status
            else:
                return done("last", found.uuid)
    return render(request, "lasts/last_alter.html", context, status=status)


def _seen_version(request: StaffRequest) -> int:
    """The state of the last that the form showed."""
    typed = request.POST.get("seen_version", "")
    if not (typed.isascii() and typed.isdigit() and len(typed) < 10):
        raise Refused("This form does not say which state of the last it shows. Load the page again.")
    return int(typed)
