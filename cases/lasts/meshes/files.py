"""Reading the file of a scan: looked at by size and content before anything in it is believed.

STL in binary or as text, and OBJ. The name of a file says nothing. Coordinates come out as they stand in the file.
"""

import io
import struct
from array import array
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

MEGABYTE = 1024 * 1024
MOST_BYTES = 30 * MEGABYTE
MOST_FACES = 500_000
MOST_LINES = 7 * MOST_FACES + 1000
"""A triangle of an STL file written as text takes seven lines."""
LONGEST_LINE = 1000
HEAD_BYTES = 84
FACE_BYTES = 50
LOOKED_AT_BYTES = 4096

Triangles = NDArray[np.float64]
"""Corners of triangles, of shape (triangle, corner, axis)."""

OTHER_KINDS: tuple[tuple[bytes, str], ...] = (
    (b"PK\x03\x04", "a zip archive"),
    (b"PK\x05\x06", "a zip archive"),
    (b"\x1f\x8b", "a gzip archive"),
    (b"BZh", "a bzip2 archive"),
    (b"\xfd7zXZ", "an xz archive"),
    (b"7z\xbc\xaf", "a 7z archive"),
    (b"Rar!", "a rar archive"),
    (b"%PDF", "a PDF"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"ply", "a PLY file"),
    (b"glTF", "a glTF file"),
)
"""How files begin that are no scan of ours, and what they are."""


class BadMesh(Exception):
    """This file is no scan that can be measured. `message` is a sentence for whoever chose it."""

    def __init__(self, message: str) -> None:
        self.message = message
        super().__init__(message)


@dataclass(frozen=True)
class MeshFile:
    """What was read: the format by its content, `stl` or `obj`, and the triangles."""

    format: str
    triangles: Triangles


def read_mesh(file: bytes) -> MeshFile:
    """The triangles of a file in its own unit and axes, all of them finite. Raises `BadMesh`."""
    _check_kind(file)
    if _is_binary_stl(file):
        found = MeshFile("stl", _binary_stl(file))
    elif b"\0" in file[:LOOKED_AT_BYTES]:
        raise BadMesh(_lying_head(file))
    else:
        _check_lines(file)
        is_stl = file[:LOOKED_AT_BYTES].lstrip()[:5].lower() == b"solid"
        found = MeshFile("stl", _text_stl(file)) if is_stl else MeshFile("obj", _obj(file))
    if not len(found.triangles):
        raise BadMesh("This file holds no triangle: there is nothing to measure.")
    astray = int(np.count_nonzero(~np.isfinite(found.triangles).all(axis=(1, 2))))
    if astray:
        raise BadMesh(f"{astray:,} triangles of this file have a corner that is no number: scan again, or mend it.")
    return found


def _check_kind(file: bytes) -> None:
    if not file:
        raise BadMesh("This file is empty.")
    if len(file) > MOST_BYTES:
        raise BadMesh(
            f"This file is {len(file) / MEGABYTE:.1f} MB long; a scan is at most {MOST_BYTES // MEGABYTE} MB. "
            "Save it with fewer triangles: 100,000 are plenty for a foot."
        )
    for beginning, kind in OTHER_KINDS:
        if file.startswith(beginning):
            raise BadMesh(f"This is {kind}, whatever its name says. Choose the STL or OBJ file itself.")


def _check_faces(count: int) -> None:
    if count > MOST_FACES:
        raise BadMesh(
            f"This scan has {count:,} triangles; at most {MOST_FACES:,} are measured. "
            "Save it with fewer: 100,000 are plenty for a foot."
        )


def _is_binary_stl(file: bytes) -> bool:
    return len(file) >= HEAD_BYTES and len(file) == HEAD_BYTES + FACE_BYTES * _faces_said(file)


def _faces_said(file: bytes) -> int:
    return int(struct.unpack_from("<I", file, HEAD_BYTES - 4)[0])


def _lying_head(file: bytes) -> str:
    if len(file) < HEAD_BYTES:
        return "This file is neither an STL nor an OBJ file, or was cut off at its very beginning."
    said = _faces_said(file)
    return (
        f"As an STL file this would hold {said:,} triangles and be {HEAD_BYTES + FACE_BYTES * said:,} bytes long, "
        f"but it is {len(file):,}: it was cut off on its way, or is no STL file."
    )


def _binary_stl(file: bytes) -> Triangles:
    _check_faces(_faces_said(file))
    facet = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
    return np.frombuffer(file, dtype=facet, offset=HEAD_BYTES)["corners"].astype(np.float64)


def _check_lines(file: bytes) -> None:
    if file.count(b"\n") > MOST_LINES:
        raise BadMesh(f"This file has more than {MOST_LINES:,} lines: save the scan with fewer triangles.")
    ends = np.flatnonzero(np.frombuffer(file, dtype=np.uint8) == ord("\n"))
    lengths = np.diff(ends, prepend=-1, append=len(file))
    if lengths.max() > LONGEST_LINE:
        line = int(lengths.argmax()) + 1
        raise BadMesh(f"Line {line:,} of this file goes on for {int(lengths.max()):,} characters: it is no scan.")


def _numbers(words: list[bytes], line: int) -> list[float]:
    try:
        x, y, z = (float(word) for word in words[1:4])
    except ValueError:
        raise BadMesh(f"Line {line:,} of this file should hold three numbers and does not.") from None
    return [x, y, z]


IN_A_FACET = frozenset({b"facet", b"outer", b"endloop", b"color"})


def _text_stl(file: bytes) -> Triangles:
    corners, in_this, is_open = array("d"), 0, False
    for line, text in enumerate(io.BytesIO(file), start=1):
        words = text.split()
        key = words[0].lower() if words else b""
        if key == b"vertex":
            corners.extend(_numbers(words, line))
            in_this += 1
        elif key == b"endfacet":
            if in_this != 3:
                raise BadMesh(f"The facet that ends in line {line:,} has {in_this} corners instead of three.")
            in_this = 0
        elif key in {b"solid", b"endsolid"}:
            is_open = key == b"solid"
        elif key and key not in IN_A_FACET:
            raise BadMesh(f"Line {line:,} of this file is not written as in an STL file.")
    if is_open or in_this:
        raise BadMesh("This STL file has no end: it was cut off on its way.")
    triangles = np.frombuffer(corners, dtype=np.float64).reshape(-1, 3, 3)
    _check_faces(len(triangles))
    return triangles


IN_AN_OBJ = frozenset(b"vn vt vp o g s l p mtllib usemtl #".split())


def _obj(file: bytes) -> Triangles:
    corners, faces = array("d"), array("q")
    for line, text in enumerate(io.BytesIO(file), start=1):
        words = text.split()
        if not words or words[0].startswith(b"#") or words[0] in IN_AN_OBJ:
            continue
        if words[0] == b"v":
            corners.extend(_numbers(words, line))
        elif words[0] == b"f":
            faces.extend(_fan(words[1:], line, known=len(corners) // 3))
            _check_faces(len(faces) // 3)
        else:
            raise BadMesh(f"This is neither an STL nor an OBJ file: line {line:,} belongs to neither.")
    points = np.frombuffer(corners, dtype=np.float64).reshape(-1, 3)
    return points[np.frombuffer(faces, dtype=np.int64).reshape(-1, 3)] if len(faces) else np.empty((0, 3, 3))


def _fan(words: list[bytes], line: int, *, known: int) -> list[int]:
    """The triangles of a face of three or more corners, by the places of its corners. Counted from 1, or backwards."""
    try:
        places = [int(word.split(b"/")[0]) for word in words]
    except ValueError:
        raise BadMesh(f"The face in line {line:,} of this file does not name its corners by numbers.") from None
    if len(places) < 3:
        raise BadMesh(f"The face in line {line:,} of this file has fewer than three corners.")
    if any(not 1 <= abs(place) <= known for place in places):
        raise BadMesh(f"The face in line {line:,} of this file names a corner that is not there.")
    found = [place - 1 if place > 0 else known + place for place in places]
    return [corner for i in range(1, len(found) - 1) for corner in (found[0], found[i], found[i + 1])]
