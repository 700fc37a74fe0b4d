"""Shoe sizes of a last, and the last a foot needs.

A size number says nothing without the allowance before the toe and without saying whether it was read on the foot
or on the last: both stand in every result. Lengths in mm.

Sources. Units, Paris point 2/3 cm and barleycorn 1/3 in: Williams A, Nester C, Footwear and Foot Orthoses, Elsevier
2010, ch. 6. Base of the UK scale, child 0 at 4 in and adult 0 at 25/3 in: Golding FY, The Manufacture of Boots and
Shoes, London 1902, has the same stick. Formulas: two secondary texts, which agree.
"""

import math
from dataclasses import dataclass
from enum import Enum

from shared.calculations import BadInput
from shared.workings import Status, Workings

INCH_MM = 25.4
PARIS_POINT_MM = 20 / 3
BARLEYCORN_MM = INCH_MM / 3
UK_ADULT_ZERO_MM = 25 * BARLEYCORN_MM
UK_CHILD_ZERO_MM = 12 * BARLEYCORN_MM

SHORTEST_LAST_MM = UK_CHILD_ZERO_MM
LONGEST_LAST_MM = 400.0
LONGEST_FOOT_MM = 400.0
LONGEST_ALLOWANCE_MM = 40.0
SPREAD_MM = (10.0, 20.0)

UNITS = "Williams A, Nester C, Footwear and Foot Orthoses, Elsevier 2010, ch. 6 (units)"
FORMULAS = f"{UNITS}; formula as in two secondary texts"
UK_SOURCE = f"{FORMULAS}; the same stick in Golding FY, The Manufacture of Boots and Shoes, 1902"
ALLOWANCE = "10 to 20 mm before the longest toe, standing: van Netten JJ et al., J Foot Ankle Res 2018;11:2, Table 3"
MONDOPOINT = "ISO 9407:2019 as quoted by its publisher; intervals PD ISO/TS 19407:2015, explanatory notes"


class ReadOn(Enum):
    """What a size number was read on."""

    LAST = "read on the last"
    FOOT = "read on the foot"


class UkScale(Enum):
    ADULT = "adult"
    CHILD = "child"


@dataclass(frozen=True)
class LastLength:
    """The last that a foot needs. `workings` has the sheet to show."""

    foot_length_mm: float
    toe_allowance_mm: float
    last_length_mm: float
    workings: Workings


@dataclass(frozen=True)
class SizesOfLast:
    """The sizes of one last. `uk` is on the `uk_scale`; `toe_allowance_mm` is None where the last itself was measured."""

    last_length_mm: float
    last_length_in: float
    eu: float
    uk: float
    uk_scale: UkScale
    us_men: float
    us_women: float
    toe_allowance_mm: float | None
    workings: tuple[Workings, ...]

    @property
    def read_on(self) -> ReadOn:
        return ReadOn.LAST


@dataclass(frozen=True)
class Spread:
    """The sizes of one foot from the least to the most allowance in use: what a size number alone hides."""

    least: SizesOfLast
    most: SizesOfLast
    workings: Workings


@dataclass(frozen=True)
class Mondopoint:
    """A designation as printed, without unit: foot length, or foot length / foot width."""

    designation: str
    interval_mm: float
    workings: Workings

    @property
    def read_on(self) -> ReadOn:
        return ReadOn.FOOT


def last_length(*, foot_length_mm: float, toe_allowance_mm: float) -> LastLength:
    """The length in mm of the last for a foot: foot length + room before the longest toe. Raises `BadInput`."""
    _within("foot_length_mm", foot_length_mm, 50, LONGEST_FOOT_MM)
    _within("toe_allowance_mm", toe_allowance_mm, 0, LONGEST_ALLOWANCE_MM)
    length = foot_length_mm + toe_allowance_mm
    sheet = Workings(
        name="last length",
        result=f"{_number(length)} mm",
        formula="foot length + toe allowance",
        inputs=(("Foot length", _mm(foot_length_mm)), ("Toe allowance", _mm(toe_allowance_mm))),
        source=ALLOWANCE,
        status=Status.PUBLISHED,
        cautions=_allowance_cautions(toe_allowance_mm),
    )
    return LastLength(foot_length_mm, toe_allowance_mm, length, sheet)


def sizes_of_last(*, last_length_mm: float, toe_allowance_mm: float | None = None) -> SizesOfLast:
    """EU, UK, US men's and women's sizes of a last, and its length in inches. Raises `BadInput`.

    EU = L / (20/3 mm); UK adult = 3·L_in − 25; UK child = 3·L_in − 12; US men 3·L_in − 24; US women 3·L_in − 22.5.
    Below adult 0, which is child 13, UK is the child scale. Give `toe_allowance_mm` where the last's length was
    worked out from a foot.
    """
    _within("last_length_mm", last_length_mm, SHORTEST_LAST_MM, LONGEST_LAST_MM)
    inches = last_length_mm / INCH_MM
    eu = last_length_mm / PARIS_POINT_MM
    scale = UkScale.ADULT if last_length_mm >= UK_ADULT_ZERO_MM else UkScale.CHILD
    uk = 3 * inches - (25 if scale is UkScale.ADULT else 12)
    us_men, us_women = 3 * inches - 24, 3 * inches - 22.5
    inputs = _inputs(last_length_mm, inches, toe_allowance_mm)
    zero = "25" if scale is UkScale.ADULT else "12"
    cautions = () if toe_allowance_mm is None else _allowance_cautions(toe_allowance_mm)
    child = ("Below adult 0, which is child 13: this is the child scale.",) if scale is UkScale.CHILD else ()
    common = ("Women's scale as commonly used; makers differ.",)
    sheets = (
        _size("EU", eu, "last length / (20/3 mm)", inputs=inputs, cautions=cautions),
        _size(
            f"UK {scale.value}",
            uk,
            f"3 × last length in inches − {zero}",
            inputs=inputs,
            source=UK_SOURCE,
            cautions=(*child, *cautions),
        ),
        _size("US men", us_men, "3 × last length in inches − 24", inputs=inputs, cautions=cautions),
        _size("US women", us_women, "3 × last length in inches − 22.5", inputs=inputs, cautions=(*common, *cautions)),
    )
    return SizesOfLast(last_length_mm, inches, eu, uk, scale, us_men, us_women, toe_allowance_mm, sheets)


def sizes_of_foot(*, foot_length_mm: float, toe_allowance_mm: float) -> SizesOfLast:
    """The sizes of the last that a foot needs with this allowance in mm. Raises `BadInput`."""
    last = last_length(foot_length_mm=foot_length_mm, toe_allowance_mm=toe_allowance_mm)
    return sizes_of_last(last_length_mm=last.last_length_mm, toe_allowance_mm=toe_allowance_mm)


def spread(*, foot_length_mm: float, allowances_mm: tuple[float, float] = SPREAD_MM) -> Spread:
    """The sizes in which one foot may find itself, from the least to the most allowance in mm. Raises `BadInput`."""
    least, most = (
        sizes_of_foot(foot_length_mm=foot_length_mm, toe_allowance_mm=allowance) for allowance in allowances_mm
    )
    lowest, highest = allowances_mm
    sheet = Workings(
        name="spread of sizes",
        result=f"EU {_number(least.eu)} to {_number(most.eu)}, {_uk(least)} to {_uk(most)}",
        formula=f"the sizes with {_number(lowest)} mm and with {_number(highest)} mm before the longest toe",
        inputs=(
            ("Foot length", _mm(foot_length_mm)),
            ("Last", f"{_number(least.last_length_mm)} to {_number(most.last_length_mm)} mm"),
            ("US men", f"{_number(least.us_men)} to {_number(most.us_men)}"),
            ("US women", f"{_number(least.us_women)} to {_number(most.us_women)}"),
            ("Size", ReadOn.LAST.value),
        ),
        source=f"{ALLOWANCE}; {FORMULAS}",
        status=Status.PUBLISHED,
        cautions=("A size number says nothing without its allowance.",),
    )
    return Spread(least, most, sheet)


def mondopoint(*, foot_length_mm: float, foot_width_mm: float | None = None, interval_mm: float = 5.0) -> Mondopoint:
    """Foot length in mm to the nearest interval, halves up, and the width where given. Raises `BadInput`.

    The interval is 5 mm, or 7.5 mm for specialised footwear alone; both start at zero.
    """
    _within("foot_length_mm", foot_length_mm, 50, LONGEST_FOOT_MM)
    if interval_mm not in {5.0, 7.5}:
        raise BadInput("interval_mm", interval_mm, least=5, most=7.5)
    length = math.floor(foot_length_mm / interval_mm + 0.5) * interval_mm
    designation, inputs = f"{length:g}", [("Foot length", _mm(foot_length_mm)), ("Interval", _mm(interval_mm))]
    if foot_width_mm is not None:
        _within("foot_width_mm", foot_width_mm, 20, 200)
        designation += f"/{math.floor(foot_width_mm + 0.5)}"
        inputs.append(("Foot width", _mm(foot_width_mm)))
    sheet = Workings(
        name="mondopoint",
        result=designation,
        formula="foot length to the nearest interval / foot width to the nearest mm",
        inputs=(*inputs, ("Size", ReadOn.FOOT.value)),
        source=MONDOPOINT,
        status=Status.PUBLISHED,
        cautions=("No toe allowance enters: this names the foot. Rounding to the nearest is from memory.",),
    )
    return Mondopoint(designation, interval_mm, sheet)


def _inputs(last_length_mm: float, inches: float, toe_allowance_mm: float | None) -> tuple[tuple[str, str], ...]:
    allowance = "none used: the last itself was measured" if toe_allowance_mm is None else _mm(toe_allowance_mm)
    return (
        ("Last length", f"{_number(last_length_mm)} mm, {inches:.2f} in"),
        ("Toe allowance", allowance),
        ("Size", ReadOn.LAST.value),
    )


def _size(
    name: str,
    size: float,
    formula: str,
    *,
    inputs: tuple[tuple[str, str], ...],
    source: str = FORMULAS,
    cautions: tuple[str, ...],
) -> Workings:
    allowance = dict(inputs)["Toe allowance"]
    with_it = ReadOn.LAST.value if allowance.startswith("none") else f"{ReadOn.LAST.value}, allowance {allowance}"
    return Workings(
        name=f"{name} size",
        result=f"{name} {_number(size)} ({with_it})",
        formula=formula,
        inputs=inputs,
        source=source,
        status=Status.PUBLISHED,
        cautions=cautions,
    )


def _allowance_cautions(toe_allowance_mm: float) -> tuple[str, ...]:
    least, most = SPREAD_MM
    if least <= toe_allowance_mm <= most:
        return ()
    return (f"The allowance is not within the {least:g} to {most:g} mm of the guideline.",)


def _uk(sizes: SizesOfLast) -> str:
    return f"UK {sizes.uk_scale.value} {_number(sizes.uk)}"


def _within(name: str, value: float, least: float, most: float) -> None:
    if not (math.isfinite(value) and least <= value <= most):
        raise BadInput(name, value, least=least, most=most)


def _number(value: float) -> str:
    """To one decimal, without an idle nought: 42.8, 280. The figure behind it is not rounded."""
    text = f"{value:.1f}".removesuffix(".0")
    return "0" if text == "-0" else text


def _mm(value: float) -> str:
    return f"{_number(value)} mm"
