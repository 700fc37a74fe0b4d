"""Registering the devices at the bench, their lock screen, and changing hands by PIN."""

from uuid import UUID

from django.conf import settings
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from shared.fragments import done
from shared.once import repeatable
from shared.permissions import allowed, open_to_everybody
from shared.refusals import NotAllowed
from workshop.hours.models import Bench
from workshop.staff import actions, queries, session
from workshop.staff.guessing import TooManyTries, has_pin
from workshop.staff.models import Terminal
from workshop.staff.requests import StaffRequest
from workshop.staff.views import shown_and_sent
from workshop.terminals.forms import PinForm, TerminalForm
from workshop.terminals.middleware import COOKIE

NOT_BENCHES = ("any", "clinic")
"""What the stages name like a bench, but where no terminal stands."""

KEY_KEPT_FOR_S = 400 * 24 * 60 * 60
"""As long as browsers keep anything; each change of hands begins it anew."""


@allowed("manager")
@shown_and_sent
def terminals(request: StaffRequest) -> HttpResponse:
    benches = list(Bench.objects.exclude(key__in=NOT_BENCHES))
    form = TerminalForm(request.POST or None, benches=benches)
    if request.method == "POST" and form.is_valid() and request.terminal is None:
        at = timezone.now()
        _, key = actions.register_terminal(**form.cleaned_data, by=request.user, at=at)
        session.touch(request, at=at)
        return _keep_key(done("terminals"), key)
    context = {
        "form": form,
        "terminals": queries.terminals(),
        "bench_names": {bench.key: bench.name for bench in benches},
    }
    return render(request, "terminals/terminals.html", context, status=422 if form.errors else 200)


@allowed("manager")
@require_POST
def terminal_revoke(request: StaffRequest, uuid: UUID) -> HttpResponse:
    actions.revoke_terminal(get_object_or_404(Terminal, uuid=uuid), by=request.user, at=timezone.now())
    return done("terminals")


@open_to_everybody
@repeatable
@require_safe
def lock_screen(request: StaffRequest) -> HttpResponse:
    if request.terminal is None:
        return redirect("sign-in")
    context = {"people": queries.people_of_terminals(), "next": session.page_after(request)}
    return render(request, "terminals/lock_screen.html", context)


@open_to_everybody
@repeatable
@shown_and_sent
def unlock(request: StaffRequest, uuid: UUID) -> HttpResponse:
    if request.terminal is None:
        raise NotAllowed("A PIN opens only a bench terminal that a manager has registered.")
    person = get_object_or_404(queries.people_of_terminals(), uuid=uuid)
    after = session.page_after(request)
    form = PinForm(request.POST or None)
    status = 422 if request.method == "POST" else 200
    if form.is_valid():
        at = timezone.now()
        try:
            is_right = has_pin(person, pin=form.cleaned_data["pin"], address=session.address_of(request), at=at)
        except TooManyTries as refused:
            form.add_error(None, refused.message)
            status = refused.status
        else:
            if is_right:
                session.enter(request, person, at=at, by_pin_at=request.terminal)
                return _keep_key(done(after), request.COOKIES[COOKIE])
            form.add_error("pin", "This PIN is not right.")
    return render(request, "terminals/unlock.html", {"form": form, "person": person, "next": after}, status=status)


def _keep_key(response: HttpResponse, key: str) -> HttpResponse:
    response.set_cookie(
        COOKIE,
        key,
        max_age=KEY_KEPT_FOR_S,
        secure=settings.SESSION_COOKIE_SECURE,
        httponly=True,
        samesite="Strict",
    )
    return response
