"""Reading a paper back: where each word stands, and which way up a QR code is."""

import ctypes
import io
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import pypdfium2
import segno
from pypdf import PdfReader

from cases.prescriptions.described import FootInWords

A4_WIDE_PT = 595.28
MIDDLE_PT = A4_WIDE_PT / 2


@dataclass(frozen=True)
class Word:
    """A word with its left and right edge in points, and the size it is set in."""

    text: str
    left: float
    right: float
    size_pt: float


class ReadPaper:
    """A PDF as a reader sees it."""

    def __init__(self, pdf: bytes | memoryview) -> None:
        self.pdf = bytes(pdf)
        self.reader = PdfReader(io.BytesIO(self.pdf))

    @cached_property
    def text(self) -> str:
        """All words of all pages, single-spaced, without regard to columns."""
        return _single_spaced(" ".join(page.extract_text() for page in self.reader.pages))

    @cached_property
    def left(self) -> str:
        """The words that stand wholly in the left half of their page."""
        return self._half(lambda word: word.right <= MIDDLE_PT)

    @cached_property
    def right(self) -> str:
        return self._half(lambda word: word.left >= MIDDLE_PT)

    def half(self, side: str) -> str:
        return self.left if side == "left" else self.right

    @cached_property
    def words(self) -> list[Word]:
        with pages_of(self.pdf) as pages:
            return [word for page in pages for word in _words(page)]

    def _half(self, is_there: Any) -> str:
        return " ".join(word.text for word in self.words if is_there(word))


def missing(paper: ReadPaper, foot: FootInWords) -> list[str]:
    """Prescribed values of a foot that do not stand, whole, in that foot's half of the paper."""
    half = paper.half(foot.side)
    return [
        f"{part.name}, {label}: {value}"
        for part in foot.parts
        for label, value in part.lines
        if _single_spaced(value) not in half
    ]


def sizes_of(paper: ReadPaper, value: str) -> set[float]:
    """The type sizes, in points to a tenth, of the words of a value wherever they follow one another."""
    wanted = value.split()
    words = paper.words
    return {
        round(word.size_pt, 1)
        for place in range(len(words))
        if [word.text for word in words[place : place + len(wanted)]] == wanted
        for word in words[place : place + len(wanted)]
    }


@contextmanager
def pages_of(pdf: bytes) -> Iterator[list[Any]]:
    document = pypdfium2.PdfDocument(pdf)
    try:
        yield list(document)
    finally:
        document.close()


def _words(page: Any) -> Iterator[Word]:
    """Words in the order in which they were set: that of the rows and, within a row, of its cells."""
    text = page.get_textpage()
    so_far: list[tuple[str, tuple[float, float, float, float], float]] = []
    for place in range(text.count_chars()):
        # A hyphen at the end of a line is reported as a sign of its own.
        character = text.get_text_range(place, 1).replace("\ufffe", "-")
        if not character.strip():
            if so_far:
                yield _word(so_far)
            so_far = []
            continue
        so_far.append((character, text.get_charbox(place, loose=True), _size(text, place)))
    if so_far:
        yield _word(so_far)


def _word(characters: list[tuple[str, tuple[float, float, float, float], float]]) -> Word:
    return Word(
        text="".join(character for character, _, _ in characters),
        left=min(box[0] for _, box, _ in characters),
        right=max(box[2] for _, box, _ in characters),
        size_pt=min(size for _, _, size in characters),
    )


def _size(text: Any, place: int) -> float:
    """The size as printed: what the font is set in, times the scale of the page it is set on."""
    matrix = pypdfium2.raw.FS_MATRIX()
    pypdfium2.raw.FPDFText_GetMatrix(text, place, ctypes.byref(matrix))
    size: float = pypdfium2.raw.FPDFText_GetFontSize(text, place) * abs(matrix.d)
    return size


def _single_spaced(text: str) -> str:
    return re.sub(r"\s+", " ", text).strip()


DOTS_A_POINT = 6


def modules_printed(pdf: bytes, *, address: str) -> tuple[list[list[bool]], list[list[bool]]]:
    """The QR code of an address as segno makes it, and the same modules as they are printed on the first page."""
    expected = [[bool(dark) for dark in row] for row in segno.make(address, error="q", micro=False).matrix]
    with pages_of(pdf) as pages:
        left, bottom, right, top = _smallest_square(pages[0])
        high_pt = pages[0].get_height()
        picture = pages[0].render(scale=DOTS_A_POINT).to_pil().convert("L")
    step_x, step_y = (right - left) / len(expected), (top - bottom) / len(expected)
    printed = [
        [
            picture.getpixel(
                (
                    int((left + (column + 0.5) * step_x) * DOTS_A_POINT),
                    int((high_pt - top + (row + 0.5) * step_y) * DOTS_A_POINT),
                )
            )
            < 128
            for column in range(len(expected))
        ]
        for row in range(len(expected))
    ]
    return expected, printed


def _smallest_square(page: Any) -> tuple[float, float, float, float]:
    """The box of the code's dark modules: the smallest square drawing of more than 40 points on the page."""
    boxes = [drawn.get_bounds() for drawn in page.get_objects(filter=[pypdfium2.raw.FPDF_PAGEOBJ_PATH], max_depth=6)]
    squares = [box for box in boxes if box[2] - box[0] > 40 and abs((box[2] - box[0]) - (box[3] - box[1])) < 0.5]
    smallest: tuple[float, float, float, float] = min(squares, key=lambda box: box[2] - box[0])
    return smallest
