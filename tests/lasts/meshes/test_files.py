"""Files that nobody vouches for: read, or refused in a sentence that says why."""

import gzip
import io
import struct
import zipfile

import numpy as np
import pytest

from cases.lasts.meshes.files import MEGABYTE, BadMesh, read_mesh
from tests.lasts.meshes.shapes import ROUND, binary_stl, obj, text_stl


@pytest.mark.parametrize(
    ("file", "kind"), [(binary_stl(ROUND), "stl"), (text_stl(ROUND), "stl"), (obj(ROUND), "obj")], ids=str
)
def test_each_format_gives_the_same_triangles(file: bytes, kind: str) -> None:
    read = read_mesh(file)
    assert read.format == kind
    np.testing.assert_allclose(read.triangles, ROUND, atol=1e-5)


def test_a_binary_file_may_call_itself_solid_as_text_files_do() -> None:
    assert len(read_mesh(binary_stl(ROUND, head=b"solid scan")).triangles) == len(ROUND)


def test_lines_may_end_as_on_another_system() -> None:
    assert len(read_mesh(text_stl(ROUND).replace(b"\n", b"\r\n")).triangles) == len(ROUND)


def test_a_face_of_four_corners_is_two_triangles_and_may_count_backwards() -> None:
    file = b"v 0 0 0\nv 1 0 0 0.5 0.5 0.5\nv 1 1 0\nv 0 1 0\nvn 0 0 1\nf -4//1 -3//1 -2//1 -1//1\n"
    corners = [[0, 0, 0], [1, 0, 0], [1, 1, 0]], [[0, 0, 0], [1, 1, 0], [0, 1, 0]]
    np.testing.assert_array_equal(read_mesh(file).triangles, corners)


def zipped(contents: bytes) -> bytes:
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("scan.stl", contents)
    return packed.getvalue()


def with_no_number() -> bytes:
    mesh = ROUND.copy()
    mesh[[3, 5], 1, 2] = np.nan, np.inf
    return binary_stl(mesh)


TRUNCATED = binary_stl(ROUND)[:-25]
FLAT = "facet normal 0 0 0\nouter loop\nvertex 0 0 0\nvertex 1 0 0\nvertex 0 1 0\nendloop\nendfacet\n"

REFUSED = {
    "empty": (b"", "This file is empty."),
    "too long": (bytes(30 * MEGABYTE + 1), "This file is 30.0 MB long; a scan is at most 30 MB."),
    "1.3 million triangles": (bytes(84 + 50 * 1_300_000), "This file is 62.0 MB long; a scan is at most 30 MB."),
    "600,000 triangles": (
        bytes(80) + struct.pack("<I", 600_000) + bytes(50 * 600_000),
        "This scan has 600,000 triangles; at most 500,000 are measured.",
    ),
    "truncated": (TRUNCATED, "it was cut off on its way"),
    "lying head": (binary_stl(ROUND, says=4_000_000_000), "As an STL file this would hold 4,000,000,000 triangles"),
    "no triangle": (binary_stl(ROUND[:0]), "This file holds no triangle"),
    "zip bomb": (zipped(bytes(20 * MEGABYTE)), "This is a zip archive, whatever its name says."),
    "gzip": (gzip.compress(binary_stl(ROUND)), "This is a gzip archive, whatever its name says."),
    "picture": (b"\x89PNG\r\n\x1a\n" + bytes(100), "This is a picture, whatever its name says."),
    "short and binary": (b"\x00\x01\x02", "This file is neither an STL nor an OBJ file"),
    "not a number": (with_no_number(), "2 triangles of this file have a corner that is no number"),
    "not a number in words": (b"v nan 0 0\nv 1 0 0\nv 0 1 0\nf 1 2 3\n", "1 triangles of this file have a corner"),
    "a letter": (b"hello, here is my scan\n", "This is neither an STL nor an OBJ file: line 1 belongs to neither."),
    "endless line": (b"solid" + b" x" * 1000, "Line 1 of this file goes on for 2,006 characters"),
    "endless lines": (b"solid\n" + b"\n" * 3_600_000, "This file has more than 3,501,000 lines"),
    "endless text": (f"solid\n{FLAT * 9}".encode(), "This STL file has no end"),
    "facet cut short": (b"solid\nfacet\nvertex 0 0 0\nendfacet\nendsolid\n", "ends in line 4 has 1 corners"),
    "facet with four": (
        b"solid\nfacet\n" + b"vertex 0 0 0\n" * 4 + b"endfacet\nendsolid\n",
        "ends in line 7 has 4 corners",
    ),
    "words for numbers": (b"solid\nfacet\nvertex a b c\n", "Line 3 of this file should hold three numbers"),
    "two numbers": (b"v 1 2\n", "Line 1 of this file should hold three numbers"),
    "other words in an STL": (b"solid\nsphere 3\n", "Line 2 of this file is not written as in an STL file."),
    "corner that is not there": (b"v 0 0 0\nf 1 2 3\n", "line 2 of this file names a corner that is not there"),
    "corner nought": (b"v 0 0 0\nf 0 1 1\n", "line 2 of this file names a corner that is not there"),
    "corner before the first": (b"v 0 0 0\nf -2 1 1\n", "line 2 of this file names a corner that is not there"),
    "face of two": (b"v 0 0 0\nv 1 0 0\nf 1 2\n", "line 3 of this file has fewer than three corners"),
    "face of words": (b"v 0 0 0\nf a b c\n", "line 2 of this file does not name its corners by numbers"),
    "corners alone": (b"v 0 0 0\nv 1 0 0\n", "This file holds no triangle"),
    "too many faces": (
        b"v 0 0 0\nv 1 0 0\nv 0 1 0\n" + b"f 1 2 3\n" * 500_001,
        "This scan has 500,001 triangles; at most 500,000",
    ),
}


@pytest.mark.parametrize("case", REFUSED)
def test_a_bad_file_is_refused_in_a_sentence(case: str) -> None:
    file, sentence = REFUSED[case]
    with pytest.raises(BadMesh) as refused:
        read_mesh(file)
    assert sentence in refused.value.message
