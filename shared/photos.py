"""A photo as it is kept: what is really a picture, turned upright, made smaller, and without what the camera wrote into it."""

import struct
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from threading import Lock

from PIL import Image, ImageFile, ImageOps

MOST_BYTES = 15 * 1024 * 1024
MOST_PIXELS = {"JPEG": 64_000_000, "PNG": 32_000_000, "WEBP": 20_000_000}
"""By format: what a good camera takes as JPEG. Decoding takes memory by the pixel, whatever the file weighs, and most
of all for WebP; with these bounds it stays below 512 MB."""
LONGEST_SIDE_PX = 1600
THUMBNAIL_PX = 320
QUALITY = 82
PAPER = (255, 255, 255)

NO_PICTURE = "This is no picture that can be read. Choose a photo as JPEG, PNG or WebP."
TOO_LARGE = f"This photo is larger than {MOST_BYTES // 1024 // 1024} MB. Take it at a smaller size."
TOO_MANY_PIXELS = "This photo has more pixels than can be read here. Take it at a smaller size."
UNREADABLE = (OSError, ValueError, SyntaxError, EOFError, IndexError, struct.error)
"""What the library raises for a picture that is broken or none."""


class BadPhoto(ValueError):
    """A file that is not kept as a photo. The message is a sentence for the screen."""


def kept_photo(content: bytes) -> bytes:
    """The photo as a JPEG with its longest side at most 1600 px, encoded anew from its pixels alone.

    The file's name and what it calls itself count for nothing: its content does. Raises `BadPhoto`.
    """
    return _as_jpeg(content, longest_side_px=LONGEST_SIDE_PX)


def thumbnail(jpeg: bytes) -> bytes:
    """A small JPEG of a kept photo. Raises `BadPhoto`."""
    return _as_jpeg(jpeg, longest_side_px=THUMBNAIL_PX)


def _as_jpeg(content: bytes, *, longest_side_px: int) -> bytes:
    if len(content) > MOST_BYTES:
        raise BadPhoto(TOO_LARGE)
    try:
        with _whole_pictures_alone(), warnings.catch_warnings():
            # The library's own bound is not ours: it warns at once and refuses above twice as much.
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            return _encoded(_opened(content), longest_side_px)
    except Image.DecompressionBombError:
        raise BadPhoto(TOO_MANY_PIXELS) from None
    except UNREADABLE as error:
        raise error if isinstance(error, BadPhoto) else BadPhoto(NO_PICTURE) from None


_one_at_a_time = Lock()


@contextmanager
def _whole_pictures_alone() -> Iterator[None]:
    """Let the library refuse a torn picture. What prints the papers tells it, for the whole program, to take any.

    One picture at a time is decoded here, which bounds the memory too.
    """
    with _one_at_a_time:
        takes_any = ImageFile.LOAD_TRUNCATED_IMAGES
        ImageFile.LOAD_TRUNCATED_IMAGES = False
        try:
            yield
        finally:
            ImageFile.LOAD_TRUNCATED_IMAGES = takes_any


def _opened(content: bytes) -> Image.Image:
    """The picture before a pixel of it is decoded."""
    picture = Image.open(BytesIO(content), formats=tuple(MOST_PIXELS))
    if picture.width * picture.height > MOST_PIXELS[str(picture.format)]:
        raise BadPhoto(TOO_MANY_PIXELS)
    return picture


def _encoded(picture: Image.Image, longest_side_px: int) -> bytes:
    picture.thumbnail((longest_side_px, longest_side_px))
    upright = ImageOps.exif_transpose(picture)
    flat = Image.new("RGB", upright.size, PAPER)
    layer = upright.convert("RGBA")
    flat.paste(layer, mask=layer.getchannel("A"))
    out = BytesIO()
    flat.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()
