"""Lengths as they are typed: in mm, in cm, or in inches and fractions of an inch. The only place that turns one into the other.

A figure that carries its unit is read in it. A fraction without a unit is one of an inch, since nobody reads a fraction
of a mm off a tape. Any other figure without a unit is in the unit that the page says.
"""

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from enum import Enum
from fractions import Fraction

INCH_MM = Decimal("25.4")
"""Exact, by definition of the international inch."""
CM_MM = Decimal(10)
TENTH = Decimal("0.1")
FINEST_FRACTION = 64
"""The smallest part of an inch that a tape is divided into: a 64th, 0.4 mm."""
LONGEST_TYPED = 24
"""Characters of one length; nobody needs more."""


class Unit(Enum):
    """What a figure is in that carries no unit of its own."""

    MM = "mm"
    INCH = "in"


class NotALength(ValueError):
    """What was typed is no length. The message is a sentence for the screen."""


@dataclass(frozen=True)
class Length:
    """A length in mm, and whether it was typed in another unit, so that it had better be shown back in mm.

    Typed in mm it is exactly what was typed; from inches it is rounded to the tenth of a mm, halves up.
    """

    mm: Decimal
    was_converted: bool


_VULGAR = {"¼": "1/4", "½": "1/2", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8", "⅓": "1/3", "⅔": "2/3"}
_UNITS: dict[str, Unit | str] = {
    "mm": Unit.MM,
    "millimetre": Unit.MM,
    "millimetres": Unit.MM,
    "cm": "cm",
    "in": Unit.INCH,
    "inch": Unit.INCH,
    "inches": Unit.INCH,
    '"': Unit.INCH,
    "''": Unit.INCH,
}
_UNIT = re.compile(r"(?:mm|millimetres?|cm|inch(?:es)?|in)(?![a-z])|''|\"")
_DECIMAL = re.compile(r"(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)")
_WITH_FRACTION = re.compile(r"(?:([0-9]+)(?: *- *| +))?([0-9]+) */ *([0-9]+)")

EXAMPLES = "273, 273.5, 10 3/4 in"


def read_length(typed: str, *, bare: Unit = Unit.MM) -> Length:
    """The length that a person typed; `bare` is the unit of a figure without one. Raises `NotALength`."""
    text = _tidied(typed)
    figure, unit = _figure_and_unit(text)
    if re.match(r"[-−–]", figure):
        raise NotALength("A length has no minus before it.")
    fraction = _WITH_FRACTION.fullmatch(figure)
    if fraction is not None:
        return _from_fraction(fraction, unit)
    if not _DECIMAL.fullmatch(figure):
        raise NotALength(f"This is no length that can be read. Type it like one of these: {EXAMPLES}.")
    value = Decimal(figure.replace(",", "."))
    unit = unit or bare
    if unit is Unit.MM:
        return Length(value, was_converted=False)
    if unit is Unit.INCH:
        return Length(_to_tenths(value * INCH_MM), was_converted=True)
    return Length(value * CM_MM, was_converted=True)


def inches_as_mm(inches: Fraction) -> Decimal:
    """A length in inches as mm, to the tenth, halves up."""
    exact = inches * Fraction(INCH_MM)
    return _to_tenths(Decimal(exact.numerator) / Decimal(exact.denominator))


def _tidied(typed: str) -> str:
    if len(typed) > LONGEST_TYPED:
        raise NotALength("This is too long for a length.")
    text = typed.lower().replace("⁄", "/")
    for mark in "″”“„":
        text = text.replace(mark, '"')
    for mark in "′’‘":
        text = text.replace(mark, "'")
    for sign, fraction in _VULGAR.items():
        text = text.replace(sign, f" {fraction}")
    return " ".join(text.split())


def _figure_and_unit(text: str) -> tuple[str, Unit | str | None]:
    """What stands before the one unit, and the unit, or None where there is none."""
    units = _UNIT.findall(text)
    if len(units) > 1:
        raise NotALength("Two units stand in one field. Type the length in one of them.")
    if not units:
        return text, None
    figure, _, after = text.partition(units[0])
    if after.strip(" ."):
        raise NotALength("Something stands behind the unit. Type the figure first and its unit last.")
    return figure.strip(), _UNITS[units[0]]


def _from_fraction(match: re.Match[str], unit: Unit | str | None) -> Length:
    whole, over, under = (int(part or 0) for part in match.groups())
    if unit is not None and unit is not Unit.INCH:
        raise NotALength("Parts of a mm or cm are typed with a decimal point: 273.5.")
    if not 2 <= under <= FINEST_FRACTION:
        raise NotALength(f"A tape divides an inch into 2 to {FINEST_FRACTION} parts.")
    if not 0 < over < under:
        raise NotALength("The fraction is not a part of an inch: type the whole inches before it.")
    return Length(inches_as_mm(whole + Fraction(over, under)), was_converted=True)


def _to_tenths(mm: Decimal) -> Decimal:
    return mm.quantize(TENTH, rounding=ROUND_HALF_UP)
