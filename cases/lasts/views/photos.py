"""Photos of a last."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from cases.lasts import actions, permissions
from cases.lasts.forms.rack import PhotoForm
from cases.lasts.models import LastPhoto
from shared.fragments import done
from shared.permissions import allowed
from shared.photo_files import photo_answer
from workshop.staff.requests import StaffRequest


@allowed(*permissions.HANDLES_LASTS)
@require_POST
def last_photo_add(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = permissions.last(uuid)
    form = PhotoForm(request.POST, request.FILES)
    if not form.is_valid():
        return render(request, "lasts/last_photo.html", {"last": found, "form": form}, status=422)
    actions.keep_photo(
        found, jpeg=form.cleaned_data["photo"], words=form.cleaned_data["words"], by=request.user, at=timezone.now()
    )
    return done("last", found.uuid)


@allowed(*permissions.READS)
@require_safe
def last_photo(request: StaffRequest, uuid: UUID) -> HttpResponse:
    return _given_out(uuid)


@allowed(*permissions.READS)
@require_safe
def last_photo_small(request: StaffRequest, uuid: UUID) -> HttpResponse:
    return _given_out(uuid, small=True)


def _given_out(uuid: UUID, *, small: bool = False) -> HttpResponse:
    kept: LastPhoto = permissions.photo(uuid)
    return photo_answer(kept.jpeg, sha256=kept.sha256, name="last", small=small)
