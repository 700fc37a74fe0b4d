"""Answering the notes of a draft, and the notes of the workshop."""

from uuid import UUID

from django.http import HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from cases.prescriptions import actions, permissions
from cases.prescriptions.answers import rules_seen
from shared.fragments import done
from shared.permissions import allowed
from workshop.staff.requests import StaffRequest


@allowed(*permissions.WRITERS)
@require_POST
def note_answer(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """Keep something against a note, and say why; or ask the note anew."""
    version = permissions.prescription_for(request.user, uuid, write=True)
    asked = {name: request.POST.get(name, "") for name in ("rule", "side", "sentence")}
    at = timezone.now()
    if "anew" in request.POST:
        actions.take_back_answer(version, **asked, by=request.user, at=at)
    else:
        actions.answer_note(version, **asked, because=request.POST.get("because", ""), by=request.user, at=at)
    return HttpResponseRedirect(f"{reverse('prescription', args=[version.uuid])}#notes", status=303)


@allowed(*permissions.READERS)
@require_safe
def notes(request: StaffRequest) -> HttpResponse:
    """Every note this workshop asks, with its reason and source, and which are switched off."""
    context = {"rules": rules_seen(), "may_switch": request.user.holds_any_of(("manager",))}
    return render(request, "prescriptions/notes.html", context)


@allowed("manager")
@require_POST
def note_switch(request: StaffRequest) -> HttpResponse:
    actions.switch_note(
        request.POST.get("rule", ""),
        is_off=request.POST.get("switch") == "off",
        reason=request.POST.get("reason", ""),
        by=request.user,
        at=timezone.now(),
    )
    return done("notes")
