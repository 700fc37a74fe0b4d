"""What somebody looks for on the rack by size, length or heel, as it is typed. All ranges in mm.

A last is found by its own length on the scale that is named, and by what is marked on it: the two may differ, since
marks are read on the last or on the foot.
"""

import re
from dataclasses import dataclass
from decimal import Decimal

from cases.lasts.sizes import BARLEYCORN_MM, PARIS_POINT_MM, UK_ADULT_ZERO_MM, UK_CHILD_ZERO_MM
from shared.units import NotALength, read_length

ABOUT_MM = 2.5
"""A length or a heel typed as one figure finds what is within this; from memory."""
SHORTEST_MM, LONGEST_MM, HIGHEST_HEEL_MM = 80.0, 400.0, 120.0
EXAMPLES = "EU 42, UK 8, UK child 10, 285 or 280-290"

_SCALES = {"eu": (0.0, PARIS_POINT_MM), "uk": (UK_ADULT_ZERO_MM, BARLEYCORN_MM)}
_CHILD = (UK_CHILD_ZERO_MM, BARLEYCORN_MM)
_SIZE = re.compile(r"(eu|uk)( ?child)? ?([0-9]{1,2})(?:[.,]([05]))?( ?child)?")
_BETWEEN = re.compile(r"(.+?) ?(?:-|–|to) ?(.+)")


class NotASize(ValueError):
    """What was typed is neither a size nor a length. The message is a sentence for the screen."""


@dataclass(frozen=True)
class RangeAsked:
    """Lengths or heels from `least_mm` to `most_mm`. `marked` matches a size so marked; empty where none was named."""

    least_mm: float
    most_mm: float
    words: str
    marked: str = ""


def read_size(typed: str) -> RangeAsked:
    """The lengths of last that a size or a length stands for. Raises `NotASize`.

    A whole size reaches half a size to either side, a half size a quarter.
    """
    text = " ".join(typed.lower().split())
    if match := _SIZE.fullmatch(text):
        return _of_a_scale(match)
    if match := _BETWEEN.fullmatch(text):
        least, most = sorted((_length(match[1]), _length(match[2])))
        return RangeAsked(least, most, f"{least:g} to {most:g} mm long")
    length = _length(text)
    return RangeAsked(length - ABOUT_MM, length + ABOUT_MM, f"about {length:g} mm long")


def read_heel(typed: str) -> RangeAsked:
    """The heel heights that one typed stands for. Raises `NotASize`."""
    try:
        heel = float(read_length(typed).mm)
    except NotALength:
        raise NotASize("This is no heel height: type it in mm, such as 22.") from None
    if heel > HIGHEST_HEEL_MM:
        raise NotASize(f"The heel height of a last is at most {HIGHEST_HEEL_MM:g} mm.")
    return RangeAsked(heel - ABOUT_MM, heel + ABOUT_MM, f"heel about {heel:g} mm")


def _of_a_scale(match: re.Match[str]) -> RangeAsked:
    scale, is_child = match[1], bool(match[2] or match[5])
    if is_child and scale == "eu":
        raise NotASize("The EU scale is one for children and adults: type the size alone.")
    zero_mm, step_mm = _CHILD if is_child else _SCALES[scale]
    is_half = match[4] == "5"
    size = int(match[3]) + (0.5 if is_half else 0.0)
    middle, reach = zero_mm + size * step_mm, step_mm * (0.25 if is_half else 0.5)
    name = f"{scale.upper()}{' child' if is_child else ''} {size:g}"
    number = re.escape(f"{size:g}") + ("" if is_half else "([.,]0)?")
    child = r" *child" if is_child else ""
    return RangeAsked(
        least_mm=middle - reach,
        most_mm=middle + reach,
        words=f"{name}: {middle - reach:.1f} to {middle + reach:.1f} mm long on the last, or so marked",
        marked=rf"^ *({scale}{child} *)?{number} *$",
    )


def _length(text: str) -> float:
    try:
        length = read_length(text).mm
    except NotALength:
        raise NotASize(f"This is neither a size nor a length: type {EXAMPLES}.") from None
    if not Decimal(str(SHORTEST_MM)) <= length <= Decimal(str(LONGEST_MM)):
        raise NotASize(f"A last is {SHORTEST_MM:g} to {LONGEST_MM:g} mm long. For a size say which: {EXAMPLES}.")
    return float(length)
