"""Photos of a last."""

import hashlib
from collections.abc import Callable
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from cases.lasts import actions, permissions, photos
from cases.lasts.forms.rack import PhotoForm
from cases.lasts.models import LastPhoto
from shared.fragments import done
from shared.permissions import allowed
from workshop.staff.requests import StaffRequest


class PhotoDamaged(RuntimeError):
    """A kept photo is not what was kept."""


@allowed(*permissions.HANDLES_LASTS)
@require_POST
def last_photo_add(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = permissions.last(uuid)
    form = PhotoForm(request.POST, request.FILES)
    if not form.is_valid():
        return render(request, "lasts/last_photo.html", {"last": found, "form": form}, status=422)
    actions.keep_photo(found, jpeg=form.jpeg, words=form.cleaned_data["words"], by=request.user, at=timezone.now())
    return done("last", found.uuid)


@allowed(*permissions.READS)
@require_safe
def last_photo(request: StaffRequest, uuid: UUID) -> HttpResponse:
    return _given_out(uuid, bytes)


@allowed(*permissions.READS)
@require_safe
def last_photo_small(request: StaffRequest, uuid: UUID) -> HttpResponse:
    return _given_out(uuid, photos.thumbnail)


def _given_out(uuid: UUID, made: Callable[[bytes], bytes]) -> HttpResponse:
    kept: LastPhoto = permissions.photo(uuid)
    jpeg = bytes(kept.jpeg)
    if hashlib.sha256(jpeg).hexdigest() != kept.sha256:
        raise PhotoDamaged
    return HttpResponse(
        made(jpeg), content_type="image/jpeg", headers={"Content-Disposition": 'inline; filename="last.jpg"'}
    )
