"""Photos that are sent and given out: taken in as a form's field, and answered from the row that keeps them."""

import hashlib
from typing import Any

from django import forms
from django.http import HttpResponse

from shared import photos
from shared.uploads import came_whole


class PhotoDamaged(RuntimeError):
    """A kept photo is not what was kept."""


class PhotoField(forms.FileField):
    """A photo, straight from a camera where there is one. Cleaned it is the JPEG to keep, as `photos.kept_photo` makes it."""

    widget = forms.FileInput

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(error_messages={"required": "Take or choose a photo first."}, **kwargs)
        self.widget.attrs |= {"accept": "image/*", "capture": "environment"}

    def clean(self, data: Any, initial: Any = None) -> Any:
        sent = super().clean(data, initial)
        if not sent:
            return None
        if sent.size > photos.MOST_BYTES or not came_whole(sent):
            raise forms.ValidationError(photos.TOO_LARGE)
        try:
            return photos.kept_photo(sent.read())
        except photos.BadPhoto as error:
            raise forms.ValidationError(str(error)) from error


def sha256_of(jpeg: bytes) -> str:
    return hashlib.sha256(jpeg).hexdigest()


def photo_answer(kept: bytes | memoryview, *, sha256: str, name: str, small: bool = False) -> HttpResponse:
    """A kept photo, or a small one made of it. Raises `PhotoDamaged` where it is not what was kept."""
    jpeg = bytes(kept)
    if sha256_of(jpeg) != sha256:
        raise PhotoDamaged
    return HttpResponse(
        photos.thumbnail(jpeg) if small else jpeg,
        content_type="image/jpeg",
        headers={"Content-Disposition": f'inline; filename="{name}.jpg"'},
    )
