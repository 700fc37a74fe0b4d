"""Rocker soles: how far the toe lifts, how the apex line lies, and how thick the sole stands where.

Lengths in mm, angles in degrees. The sole length is measured on the sole, the apex from its heel end.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from cases.lasts.profile import SideShape
from cases.prescriptions.shoe import profile_once
from shared.calculations import check_within
from shared.workings import Status, Workings

CHORD = "a straight chord from apex to toe: right-angled triangle"
PAPERS_56 = "Preece SJ et al., J Foot Ankle Res 2017;10:27 (52 % best for most, 15 and 20 degrees tried)"
PAPERS_60 = "Chapman JD et al., Clin Biomech 2013;28:679-685 (apex not beyond 60 %, angle not under 20 degrees)"
BANDS = f"{PAPERS_56}; {PAPERS_60}: the papers disagree, and their angles are for their own curved shoes"
CHORD_CAUTION = "A curved rocker with the same lift begins flatter and ends steeper than its chord."
TRIED = "A rocker can unsettle: it is tried on the flat first, and stairs with a hand on the rail."

APEX_PERCENT = (50.0, 60.0)
ANGLE_DEGREES = (15.0, 20.0)
"""The bands between which the papers' advice lies."""

BREAST_AT = 0.25
"""Of the length: the front of the heel. From memory."""
PLACES = ("heel", "breast", "apex", "joint", "toe")
"""Where the thickness of a sole is said, from the back on."""
SHAPE_DEPTHS_MM = (30.0, 70.0)
"""Toe and instep depth of a last do not touch its bottom: any plausible ones serve."""


@dataclass(frozen=True)
class RockerLift:
    lift_mm: float
    lever_mm: float
    workings: Workings


@dataclass(frozen=True)
class ApexSkew:
    skew_mm: float
    workings: Workings


@dataclass(frozen=True)
class RockerSole:
    """Thickness in mm under the last at five places, and `profile`: x, ground side, last side in mm."""

    heel_mm: float
    breast_mm: float
    apex_mm: float
    joint_mm: float
    toe_mm: float
    profile: NDArray[np.float64]
    workings: Workings


def rocker_lift(*, sole_length_mm: float, apex_fraction: float, rocker_angle_deg: float) -> RockerLift:
    """How far the tip of the sole clears the ground: (1 − apex) × length × tan(angle). Raises `BadInput`."""
    _check_rocker(sole_length_mm, apex_fraction, rocker_angle_deg)
    lever = (1 - apex_fraction) * sole_length_mm
    lift = lever * math.tan(math.radians(rocker_angle_deg))
    sheet = Workings(
        name="toe lift of a rocker",
        result=f"{lift:.0f} mm",
        formula="(1 − apex) × sole length × tan(angle)",
        inputs=(
            ("Sole length", f"{sole_length_mm:g} mm"),
            ("Apex from the heel", f"{100 * apex_fraction:g} %"),
            ("Angle", f"{rocker_angle_deg:g}°"),
            ("Lever from apex to toe", f"{lever:.0f} mm"),
        ),
        source=CHORD,
        status=Status.GEOMETRY,
        cautions=(*_band_cautions(apex_fraction, rocker_angle_deg), CHORD_CAUTION, TRIED),
    )
    return RockerLift(lift, lever, sheet)


def apex_skew(*, width_mm: float, apex_angle_deg: float) -> ApexSkew:
    """How far further forward the apex line lies at one edge than at the other: width × tan(angle − 90°)."""
    check_within("width_mm", width_mm, 20, 200)
    check_within("apex_angle_deg", apex_angle_deg, 70, 120, unit="°")
    skew = width_mm * math.tan(math.radians(apex_angle_deg - 90))
    sheet = Workings(
        name="skew of the apex line",
        result=f"{skew:.1f} mm",
        formula="width × tan(apex angle − 90°)",
        inputs=(("Width", f"{width_mm:g} mm"), ("Apex line to the long axis", f"{apex_angle_deg:g}°")),
        source="right-angled triangle; 95° as in Chapman JD et al., Clin Biomech 2013;28:679-685",
        status=Status.GEOMETRY,
    )
    return ApexSkew(skew, sheet)


def rocker_sole(
    *,
    sole_length_mm: float,
    apex_fraction: float,
    rocker_angle_deg: float,
    heel_to_joint_mm: float,
    heel_height_mm: float,
    toe_spring_mm: float,
    least_mm: float,
    curved: bool,
) -> RockerSole:
    """How thick a rocker sole stands under a last, least where `least_mm` is left. Raises `BadInput`.

    The ground side is flat to the apex and rises from there to the lift of the chord: straight, or along a parabola
    that leaves the ground without a corner. The last's own toe spring is taken off.
    """
    lift = rocker_lift(
        sole_length_mm=sole_length_mm, apex_fraction=apex_fraction, rocker_angle_deg=rocker_angle_deg
    ).lift_mm
    check_within("least_mm", least_mm, 0, 40)
    last = profile_once(SideShape(sole_length_mm, heel_to_joint_mm, heel_height_mm, toe_spring_mm, *SHAPE_DEPTHS_MM))
    apex = apex_fraction * sole_length_mm
    places = (0.0, BREAST_AT * sole_length_mm, apex, heel_to_joint_mm, sole_length_mm)
    x = np.unique(np.concatenate([np.linspace(0, sole_length_mm, 141), places]))
    ahead = np.clip((x - apex) / (sole_length_mm - apex), 0, 1)
    ground = lift * (ahead**2 if curved else ahead)
    bottom = np.interp(x, last.bottom[:, 0], last.bottom[:, 1])
    raised = least_mm - float((bottom - ground).min())
    thick = tuple(float(each) for each in np.interp(places, x, bottom + raised - ground))
    given = (
        ("Lift at the toe", f"{lift:.0f} mm"),
        ("Toe spring of the last", f"{toe_spring_mm:g} mm"),
        ("Heel of the last", f"{heel_height_mm:g} mm"),
        ("Least thickness", f"{least_mm:g} mm"),
        ("Form", "curved" if curved else "straight"),
    )
    sheet = _sole_sheet(thick, given, cautions=(*_band_cautions(apex_fraction, rocker_angle_deg), TRIED))
    heel, breast, at_apex, joint, toe = thick
    return RockerSole(heel, breast, at_apex, joint, toe, np.column_stack([x, ground, bottom + raised]), sheet)


def _sole_sheet(thick: Sequence[float], given: tuple[tuple[str, str], ...], *, cautions: tuple[str, ...]) -> Workings:
    return Workings(
        name="sole of a rocker",
        result=f"{thick[PLACES.index('apex')]:.0f} mm thick at the apex",
        formula="line of the last − line of the ground, set so that the least thickness is left",
        inputs=(*given, *((f"At the {place}", f"{value:.0f} mm") for place, value in zip(PLACES, thick, strict=True))),
        source=f"{CHORD}; line of the last from memory",
        status=Status.GEOMETRY,
        cautions=cautions,
    )


def _band_cautions(apex_fraction: float, rocker_angle_deg: float) -> tuple[str, ...]:
    apex = 100 * apex_fraction
    said = []
    if not APEX_PERCENT[0] <= apex <= APEX_PERCENT[1]:
        said.append(f"The apex at {apex:g} % lies beyond the papers' 50 to 60 %. {BANDS}.")
    if not ANGLE_DEGREES[0] <= rocker_angle_deg <= ANGLE_DEGREES[1]:
        said.append(f"The angle of {rocker_angle_deg:g}° lies beyond the papers' 15 to 20 degrees. {BANDS}.")
    return tuple(said)


def _check_rocker(sole_length_mm: float, apex_fraction: float, rocker_angle_deg: float) -> None:
    check_within("sole_length_mm", sole_length_mm, 100, 420)
    check_within("apex_fraction", apex_fraction, 0.3, 0.9, unit="")
    check_within("rocker_angle_deg", rocker_angle_deg, 0, 45, unit="°")
