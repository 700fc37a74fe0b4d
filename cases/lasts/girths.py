"""How a layer changes a girth, and what girths to expect of a foot and of a stock last. Lengths in mm.

Sources. Layer: a curve at distance t outside a convex arc that turns by θ is longer by t·θ (Steiner's formula for
parallel curves). Heel girth and the male scale: Golding FY, The Manufacture of Boots and Shoes, London 1902, "Heel
Measures" and "Classed Standard Measures".
"""

import math
from dataclasses import dataclass

from shared.calculations import BadInput
from shared.workings import Status, Workings

INCH_MM = 25.4
LEAST_TURNING_DEG, MOST_TURNING_DEG = 10.0, 360.0
MOST_LAYER_MM = 60.0
MOST_GIRTH_CHANGE_MM = 700.0

PARALLEL_CURVES = "length of a curve parallel to a convex arc (Steiner's formula)"
CONVEX = "Holds for a convex stretch only: over a hollow the tape bridges the layer, or leaves it."
ALL_ROUND = "Holds for a layer of one thickness over the whole arc: a feathered patch gives less. The tape decides."
GOLDING = "Golding FY, The Manufacture of Boots and Shoes, London 1902"

JOINT_AT_SIZE_1_MM = 7.25 * INCH_MM
JOINT_STEP_MM = 0.25 * INCH_MM
INSTEP_OVER_JOINT_MM = 9 / 32 * INCH_MM
SIZES_OF_THE_SCALE = (1.0, 12.0)


@dataclass(frozen=True)
class LayerGirth:
    """A layer over an arc and what it does to the girth; negative where it is taken down."""

    thickness_mm: float
    turning_deg: float
    girth_change_mm: float
    workings: Workings


@dataclass(frozen=True)
class HeelGirth:
    """The heel girth that goes with an instep and a heel."""

    heel_girth_mm: float
    workings: Workings


@dataclass(frozen=True)
class ScaleGirths:
    """The girths of a last of one size on Golding's male scale, his 3 fitting (medium)."""

    joint_girth_mm: float
    instep_girth_mm: float
    workings: Workings


def layer_girth(*, thickness_mm: float, turning_deg: float) -> LayerGirth:
    """The change of girth in mm by a layer over an arc that turns by so many degrees. Raises `BadInput`."""
    _within("thickness_mm", thickness_mm, -MOST_LAYER_MM, MOST_LAYER_MM)
    _within("turning_deg", turning_deg, LEAST_TURNING_DEG, MOST_TURNING_DEG, unit="°")
    change = thickness_mm * math.radians(turning_deg)
    sheet = _sheet(
        name="girth by a layer",
        result=change,
        formula="thickness × turning in radians",
        given=("Thickness", thickness_mm),
        turning_deg=turning_deg,
    )
    return LayerGirth(thickness_mm, turning_deg, change, sheet)


def girth_build_up(*, girth_change_mm: float, turning_deg: float) -> LayerGirth:
    """The layer in mm that changes a girth by so much over an arc of so many degrees. Raises `BadInput`."""
    _within("girth_change_mm", girth_change_mm, -MOST_GIRTH_CHANGE_MM, MOST_GIRTH_CHANGE_MM)
    _within("turning_deg", turning_deg, LEAST_TURNING_DEG, MOST_TURNING_DEG, unit="°")
    thickness = girth_change_mm / math.radians(turning_deg)
    sheet = _sheet(
        name="layer for a girth",
        result=thickness,
        formula="girth change / turning in radians",
        given=("Girth change", girth_change_mm),
        turning_deg=turning_deg,
    )
    return LayerGirth(thickness, turning_deg, girth_change_mm, sheet)


def heel_girth_expected(*, instep_girth_mm: float, heel_height_mm: float) -> HeelGirth:
    """Golding's heel girth of an adult: a + a/3 + r/2, a the instep girth, r the rise of the heel. Raises `BadInput`.

    A question to the tape, not a measure: it says nothing about a swollen or deformed foot.
    """
    _within("instep_girth_mm", instep_girth_mm, 90, 480)
    _within("heel_height_mm", heel_height_mm, 0, 120)
    girth = instep_girth_mm + instep_girth_mm / 3 + heel_height_mm / 2
    sheet = Workings(
        name="heel girth to expect",
        result=f"{girth:.0f} mm",
        formula="instep girth + instep girth / 3 + heel height / 2",
        inputs=(("Instep girth", f"{instep_girth_mm:g} mm"), ("Heel height", f"{heel_height_mm:g} mm")),
        source=f"{GOLDING}, “Heel Measures”",
        status=Status.PUBLISHED,
        cautions=("Adults, heel raised as in the shoe. Not for a swollen, deformed or part foot.",),
    )
    return HeelGirth(girth, sheet)


def male_girth_scale(*, uk_size: float) -> ScaleGirths:
    """Joint and instep girth in mm of a man's last by Golding's scale, from size 1 to 12. Raises `BadInput`.

    Joint 7¼ in at size 1, ¼ in more for each size; instep 9/32 in more than the joint. Compare a stock last with it.
    """
    least, most = SIZES_OF_THE_SCALE
    _within("uk_size", uk_size, least, most, unit="UK")
    joint = JOINT_AT_SIZE_1_MM + (uk_size - 1) * JOINT_STEP_MM
    instep = joint + INSTEP_OVER_JOINT_MM
    sheet = Workings(
        name="girths by the male scale",
        result=f"joint {joint:.0f} mm, instep {instep:.0f} mm",
        formula="joint: 7¼ in + ¼ in × (size − 1); instep: joint + 9/32 in",
        inputs=(
            ("UK size", f"{uk_size:g}"),
            ("Joint", f"{joint / INCH_MM:.3f} in"),
            ("Instep", f"{instep / INCH_MM:.3f} in"),
        ),
        source=f"{GOLDING}, “Classed Standard Measures”, 3 fitting",
        status=Status.PUBLISHED,
        cautions=("A scale of 1902 for stock lasts: it says nothing about one foot.",),
    )
    return ScaleGirths(joint, instep, sheet)


def _sheet(*, name: str, result: float, formula: str, given: tuple[str, float], turning_deg: float) -> Workings:
    words, value = given
    return Workings(
        name=name,
        result=f"{_signed(result)} mm",
        formula=formula,
        inputs=((words, f"{_signed(value)} mm"), ("Turning", f"{turning_deg:g}°")),
        source=PARALLEL_CURVES,
        status=Status.GEOMETRY,
        cautions=(CONVEX, ALL_ROUND),
    )


def _within(name: str, value: float, least: float, most: float, *, unit: str = "mm") -> None:
    if not (math.isfinite(value) and least <= value <= most):
        raise BadInput(name, value, least=least, most=most, unit=unit)


def _signed(value: float) -> str:
    """To the tenth with its sign, +4.2 or −1.5: a true minus."""
    return f"{value:+.1f}".replace("-", "\u2212")
