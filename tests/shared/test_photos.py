"""A photo as it is kept: what its content says counts, and nothing of the camera stays in it."""

import struct
import subprocess
import sys
import zlib
from io import BytesIO
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageFile

from shared import photos
from shared.photos import BadPhoto, kept_photo, thumbnail
from tests.architecture.walk import ROOT

MADE_WITH = 0x010F
ORIENTATION = 0x0112
GPS = 0x8825


def picture(*, size: tuple[int, int] = (60, 30), kind: str = "JPEG", mode: str = "RGB", **saved: Any) -> bytes:
    out = BytesIO()
    Image.new(mode, size, "red" if mode.startswith("RGB") else 0).save(out, kind, **saved)
    return out.getvalue()


def opened(jpeg: bytes) -> Image.Image:
    found = Image.open(BytesIO(jpeg))
    found.load()
    return found


def png_that_says(width: int, height: int) -> bytes:
    """A small file that claims so many pixels."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))

    head = struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"")) + chunk(b"IEND", b"")


def refusal_of(content: bytes) -> str:
    with pytest.raises(BadPhoto) as refused:
        kept_photo(content)
    return str(refused.value)


@pytest.mark.parametrize("kind", ["JPEG", "PNG", "WEBP"])
def test_a_photo_is_kept_as_jpeg_whatever_it_came_as(kind: str) -> None:
    assert opened(kept_photo(picture(kind=kind))).format == "JPEG"


@pytest.mark.parametrize(
    ("size", "kept"), [((3200, 1600), (1600, 800)), ((1000, 4000), (400, 1600)), ((1600, 900), (1600, 900))]
)
def test_the_longest_side_is_1600_pixels_at_most(size: tuple[int, int], kept: tuple[int, int]) -> None:
    assert opened(kept_photo(picture(size=size))).size == kept


def test_a_thumbnail_is_small() -> None:
    assert opened(thumbnail(kept_photo(picture(size=(3200, 1600))))).size == (320, 160)


def test_a_photo_that_was_taken_upright_stands_upright() -> None:
    exif = Image.Exif()
    exif[ORIENTATION] = 6
    assert opened(kept_photo(picture(size=(60, 30), exif=exif))).size == (30, 60)


def test_nothing_that_the_camera_wrote_stays() -> None:
    exif = Image.Exif()
    exif[MADE_WITH] = "a camera of somebody"
    exif.get_ifd(GPS)[1] = "N"
    kept = kept_photo(picture(exif=exif, comment=b"taken at home", icc_profile=b"a profile of somebody"))
    found = opened(kept)
    assert (dict(found.getexif()), "comment" in found.info, "icc_profile" in found.info, b"somebody" in kept) == (
        {},
        False,
        False,
        False,
    )


def test_what_hangs_behind_a_picture_is_not_kept() -> None:
    assert b"<script>" not in kept_photo(picture() + b"<script>alert(1)</script>")


def test_a_clear_picture_stands_on_paper() -> None:
    clear = BytesIO()
    Image.new("RGBA", (20, 20), (0, 0, 0, 0)).save(clear, "PNG")
    assert opened(kept_photo(clear.getvalue())).getpixel((10, 10)) == (255, 255, 255)


@pytest.mark.parametrize("mode", ["L", "P", "1", "CMYK", "I;16", "LA"])
def test_every_kind_of_colour_is_read(mode: str) -> None:
    kind = "JPEG" if mode == "CMYK" else "PNG"
    assert opened(kept_photo(picture(kind=kind, mode=mode))).mode == "RGB"


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"not a picture",
        b"%PDF-1.7 and so on",
        b"<svg xmlns='http://www.w3.org/2000/svg'/>",
        picture(kind="GIF"),
        picture(kind="TIFF"),
        picture(size=(600, 600))[:300],
        png_that_says(10, 10),
    ],
    ids=["nothing", "words", "pdf", "svg", "gif", "tiff", "torn", "no pixels"],
)
def test_what_is_no_photo_is_refused_by_its_content(content: bytes) -> None:
    assert refusal_of(content) == photos.NO_PICTURE


def test_a_torn_photo_is_refused_though_the_program_prints_torn_pictures(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", True)
    whole = picture(size=(600, 600))
    refused = refusal_of(whole[: len(whole) // 2])
    assert (refused, ImageFile.LOAD_TRUNCATED_IMAGES) == (photos.NO_PICTURE, True)


@pytest.mark.parametrize("size", [(8001, 4000), (60_000, 60_000), (2_000_000_000, 1)], ids=str)
def test_a_small_file_of_very_many_pixels_is_refused_before_it_is_decoded(size: tuple[int, int]) -> None:
    assert refusal_of(png_that_says(*size)) == photos.TOO_MANY_PIXELS


WITHIN_512_MB = """
import sys
from io import BytesIO
from PIL import Image, ImageFile
kind, mode, side = sys.argv[1], sys.argv[2], int(sys.argv[3])
out = BytesIO()
Image.new(mode, (side, side), "red").save(out, kind, **({"progressive": True} if kind == "JPEG" else {}))
content = out.getvalue()
from shared.photos import kept_photo
open("/proc/self/clear_refs", "w").write("5")
kept_photo(content)
peak = next(line for line in open("/proc/self/status") if line.startswith("VmHWM"))
print(int(peak.split()[1]) // 1024)
"""


@pytest.mark.slow
@pytest.mark.parametrize(
    ("kind", "mode", "side"), [("JPEG", "RGB", 8000), ("PNG", "RGBA", 5656), ("WEBP", "RGBA", 4472)]
)
def test_the_largest_photo_of_each_kind_is_kept_in_less_than_512_mb(kind: str, mode: str, side: int) -> None:
    called = [sys.executable, "-c", WITHIN_512_MB, kind, mode, str(side)]
    done = subprocess.run(called, cwd=ROOT, capture_output=True, text=True, check=True)
    assert 0 < int(done.stdout) < 512


def test_a_file_that_is_too_large_is_refused_unread() -> None:
    assert refusal_of(b"\xff" * (photos.MOST_BYTES + 1)) == photos.TOO_LARGE


@settings(max_examples=200, deadline=None)
@given(st.integers(0, 400), st.binary(min_size=1, max_size=8))
def test_a_damaged_photo_is_kept_or_refused_with_a_sentence(place: int, damage: bytes) -> None:
    whole = picture(size=(64, 64), kind="PNG")
    content = whole[:place] + damage + whole[place + len(damage) :]
    try:
        answer = opened(kept_photo(content)).format
    except BadPhoto as refused:
        answer = str(refused)
    assert answer in {"JPEG", photos.NO_PICTURE, photos.TOO_MANY_PIXELS}
