"""Files that are sent: bounded in memory whatever their length, and never half kept."""

import tracemalloc
from collections.abc import Iterator
from typing import Any
from uuid import uuid4

import pytest
from django.http import HttpRequest
from django.http.multipartparser import MultiPartParser

from shared.uploads import MEGABYTE, MOST_BYTES, BoundedUploadHandler, came_whole, length_in_words

BOUNDARY = uuid4().hex


class Body:
    """A request's body that is never in memory as a whole: files of so many bytes, and a field after them.

    The files are called `file`, `file1`, `file2`.
    """

    def __init__(self, *lengths: int) -> None:
        self.parts = self._parts(lengths)
        self.left = b""

    def _parts(self, lengths: tuple[int, ...]) -> Iterator[bytes]:
        for number, length in enumerate(lengths):
            name = f"file{number}" if number else "file"
            head = f'Content-Disposition: form-data; name="{name}"; filename="{number}.stl"'
            yield f"--{BOUNDARY}\r\n{head}\r\nContent-Type: model/stl\r\n\r\n".encode()
            for _ in range(length // MEGABYTE):
                yield bytes(MEGABYTE)
            yield bytes(length % MEGABYTE) + b"\r\n"
        yield f'--{BOUNDARY}\r\nContent-Disposition: form-data; name="side"\r\n\r\nleft\r\n--{BOUNDARY}--\r\n'.encode()

    def read(self, size: int) -> bytes:
        if not self.left:
            self.left = next(self.parts, b"")
        given, self.left = self.left[:size], self.left[size:]
        return given

    readline = read


def received(*lengths: int) -> tuple[Any, Any]:
    meta = {"CONTENT_TYPE": f"multipart/form-data; boundary={BOUNDARY}", "CONTENT_LENGTH": str(sum(lengths) + 1000)}
    request = HttpRequest()
    body: Any = Body(*lengths)
    return MultiPartParser(meta, body, [BoundedUploadHandler(request)]).parse()


def test_a_file_arrives_as_it_was_sent() -> None:
    _, files = received(1234567)
    assert (came_whole(files["file"]), files["file"].read()) == (True, bytes(1234567))


def test_a_file_as_long_as_allowed_arrives() -> None:
    _, files = received(MOST_BYTES)
    assert came_whole(files["file"])


def test_a_file_of_one_byte_more_comes_without_contents_and_with_its_length() -> None:
    _, files = received(MOST_BYTES + 1)
    assert (came_whole(files["file"]), files["file"].size, files["file"].read()) == (False, MOST_BYTES + 1, b"")


def test_what_was_typed_beside_a_file_too_long_is_kept() -> None:
    fields, _ = received(MOST_BYTES + 1)
    assert fields["side"] == "left"


def test_many_files_together_are_not_kept_beyond_the_bound() -> None:
    _, files = received(*[20 * MEGABYTE] * 3)
    assert [came_whole(file) for _, [file] in sorted(files.lists())] == [True, False, False]


def test_a_file_after_one_too_long_arrives() -> None:
    _, files = received(MOST_BYTES + 1, 1000)
    assert [came_whole(file) for _, [file] in sorted(files.lists())] == [False, True]


@pytest.mark.slow
def test_a_file_of_two_gigabytes_takes_no_more_memory_than_is_kept_of_any() -> None:
    tracemalloc.start()
    _, files = received(2048 * MEGABYTE)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert (files["file"].size, came_whole(files["file"]), peak < 100 * MEGABYTE) == (2048 * MEGABYTE, False, True)


@pytest.mark.parametrize(
    ("size", "words"), [(0, "1 kB"), (640 * 1024, "640 kB"), (13107200, "12.5 MB"), (2 * 1024**3, "2.0 GB")]
)
def test_a_length_is_said_in_the_unit_a_person_uses(size: int, words: str) -> None:
    assert length_in_words(size) == words
