"""Reading a PDF's lines back: each as it is drawn, in millimetres from the top left corner of its page."""

import ctypes
import io
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pypdfium2
from pypdf import PdfReader
from pypdf.generic import ContentStream

from tests.papers.reading import pages_of

MM_A_POINT = 25.4 / 72

Matrix = tuple[float, ...]


@dataclass(frozen=True)
class DrawnLine:
    """A stroked line: its points (x to the right, y down), whether it is closed, its breadth and its dashes in mm."""

    points: np.ndarray
    closed: bool
    stroke_mm: float
    dashes: tuple[float, ...]


def drawn_lines(pdf: bytes) -> list[list[DrawnLine]]:
    """The stroked lines of each page."""
    reader = PdfReader(io.BytesIO(pdf))
    return [list(_of_page(page, reader)) for page in reader.pages]


def _of_page(page, reader: PdfReader) -> Iterator[DrawnLine]:
    high_mm = float(page.mediabox.height) * MM_A_POINT
    for line in _lines(ContentStream(page.get_contents(), reader), page["/Resources"], reader, (1, 0, 0, 1, 0, 0)):
        yield DrawnLine(
            points=line.points * MM_A_POINT * [1, -1] + [0, high_mm],
            closed=line.closed,
            stroke_mm=line.stroke_mm * MM_A_POINT,
            dashes=tuple(each * MM_A_POINT for each in line.dashes),
        )


def _times(one: Matrix, other: Matrix) -> Matrix:
    a, b, c, d, e, f = one
    p, q, r, s, t, u = other
    return (a * p + b * r, a * q + b * s, c * p + d * r, c * q + d * s, e * p + f * r + t, e * q + f * s + u)


class _Pen:
    """What the drawing goes with at a place of the stream: where it is, how broad and how dashed a line becomes."""

    def __init__(self, matrix: Matrix) -> None:
        self.matrix, self.stroke = matrix, 1.0
        self.dashes: tuple[float, ...] = ()
        self.kept: list[tuple] = []
        self.parts: list[tuple[list[tuple[float, float]], bool]] = []

    def set(self, operands, operator: bytes) -> None:
        match operator:
            case b"q":
                self.kept.append((self.matrix, self.stroke, self.dashes))
            case b"Q":
                self.matrix, self.stroke, self.dashes = self.kept.pop()
            case b"cm":
                self.matrix = _times(tuple(float(each) for each in operands), self.matrix)
            case b"w":
                self.stroke = float(operands[0])
            case b"d":
                self.dashes = tuple(float(each) for each in operands[0])

    def go(self, operands, operator: bytes) -> None:
        match operator:
            case b"m":
                self.parts.append(([_at(operands, self.matrix)], False))
            case b"l":
                self.parts[-1][0].append(_at(operands, self.matrix))
            case b"h":
                self.parts[-1] = (self.parts[-1][0], True)
            case b"n" | b"f" | b"f*":
                self.parts = []

    def stroked(self, operator: bytes) -> Iterator[DrawnLine]:
        """A part without a second point draws nothing: each path is preceded by one."""
        scale = float(np.hypot(self.matrix[0], self.matrix[1]))
        for points, closed in self.parts:
            if len(points) > 1:
                yield DrawnLine(
                    points=np.array(points),
                    closed=closed or operator == b"s",
                    stroke_mm=self.stroke * scale,
                    dashes=tuple(scale * each for each in self.dashes),
                )
        self.parts = []


def _lines(content, resources, reader: PdfReader, matrix: Matrix) -> Iterator[DrawnLine]:
    """In points of the page. Curves are not read: a pattern has none, and one would be missed where lines are counted."""
    pen = _Pen(matrix)
    for operands, operator in content.operations:
        pen.set(operands, operator)
        pen.go(operands, operator)
        if operator in {b"S", b"s"}:
            yield from pen.stroked(operator)
        elif operator == b"Do":
            form = resources["/XObject"][operands[0]].get_object()
            if form["/Subtype"] == "/Form":
                own = tuple(float(each) for each in form.get("/Matrix", (1, 0, 0, 1, 0, 0)))
                inner = form.get("/Resources", resources)
                yield from _lines(ContentStream(form, reader), inner, reader, _times(own, pen.matrix))


def _at(operands, matrix: Matrix) -> tuple[float, float]:
    x, y = (float(each) for each in operands)
    a, b, c, d, e, f = matrix
    return a * x + c * y + e, b * x + d * y + f


@dataclass(frozen=True)
class Letter:
    """A letter on its page: its box in mm from the top left corner, and the height of its type."""

    says: str
    left: float
    top: float
    right: float
    bottom: float
    size_mm: float


def letters(pdf: bytes) -> list[list[Letter]]:
    """The letters of each page, in the order in which they were set."""
    with pages_of(pdf) as pages:
        return [list(_letters(page)) for page in pages]


def _letters(page) -> Iterator[Letter]:
    text = page.get_textpage()
    high = page.get_height()
    for place in range(text.count_chars()):
        says = text.get_text_range(place, 1)
        if not says.strip():
            continue
        left, bottom, right, top = text.get_charbox(place)
        matrix = pypdfium2.raw.FS_MATRIX()
        pypdfium2.raw.FPDFText_GetMatrix(text, place, ctypes.byref(matrix))
        size = pypdfium2.raw.FPDFText_GetFontSize(text, place) * float(np.hypot(matrix.c, matrix.d))
        yield Letter(says, *(MM_A_POINT * each for each in (left, high - top, right, high - bottom, size)))
