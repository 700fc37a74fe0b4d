"""Raises for a leg that is shorter, and wedges: how much where, and what that does to the pitch.

Lengths in mm, angles in degrees. The limits are conventions of the trade; no guideline gives them.
"""

import math
from dataclasses import dataclass

from shared.calculations import check_within
from shared.workings import Status, Workings

CONVENTION = "practitioner texts agree, none is a guideline: a convention of the workshop"
ARITHMETIC = "arithmetic of the parts; right-angled triangle"
CONFIRM = "A first raise is tried and reviewed. Apparent length may be pelvic: say how it was measured."
MEASURE_AGAIN = "Heights are measured on the finished shoe."


@dataclass(frozen=True)
class RaisePlan:
    """What of a raise goes into the shoe and what on its sole, in mm; what the pitch changes by, in mm and degrees.

    `heel_out_of_stiffener_mm`: so much higher stands the heel in its stiffener.
    """

    corrected_mm: float
    in_shoe_heel_mm: float
    on_sole_heel_mm: float
    on_sole_ball_mm: float
    on_sole_toe_mm: float
    pitch_change_mm: float
    pitch_change_deg: float
    heel_out_of_stiffener_mm: float
    workings: tuple[Workings, ...]


@dataclass(frozen=True)
class PitchChange:
    change_mm: float
    change_deg: float
    workings: Workings


@dataclass(frozen=True)
class WedgeHeight:
    height_mm: float
    workings: Workings


def raise_plan(
    *,
    difference_mm: float,
    corrected_part: float,
    in_shoe_limit_mm: float,
    ball_part: float,
    toe_part: float,
    heel_to_ball_mm: float,
) -> RaisePlan:
    """Share a measured difference between shoe and sole. Raises `BadInput`.

    In the shoe up to its limit, under the heel alone; the rest on the sole, with `ball_part` and `toe_part` of its heel
    at joint and toe.
    """
    check_within("difference_mm", difference_mm, 0, 150)
    for name, part in (("corrected_part", corrected_part), ("ball_part", ball_part), ("toe_part", toe_part)):
        check_within(name, part, 0, 1, unit="")
    check_within("in_shoe_limit_mm", in_shoe_limit_mm, 0, 40)
    check_within("heel_to_ball_mm", heel_to_ball_mm, 60, 320)
    corrected = difference_mm * corrected_part
    in_shoe = min(corrected, in_shoe_limit_mm)
    on_sole = corrected - in_shoe
    ball, toe = ball_part * on_sole, toe_part * on_sole
    pitch = change_of_pitch(
        in_shoe_heel_mm=in_shoe, on_sole_heel_mm=on_sole, on_sole_ball_mm=ball, heel_to_ball_mm=heel_to_ball_mm
    )
    return RaisePlan(
        corrected_mm=corrected,
        in_shoe_heel_mm=in_shoe,
        on_sole_heel_mm=on_sole,
        on_sole_ball_mm=ball,
        on_sole_toe_mm=toe,
        pitch_change_mm=pitch.change_mm,
        pitch_change_deg=pitch.change_deg,
        heel_out_of_stiffener_mm=in_shoe,
        workings=(
            _shares(difference_mm, corrected_part, in_shoe_limit_mm, shared=(in_shoe, on_sole, ball, toe)),
            pitch.workings,
        ),
    )


def _shares(
    difference_mm: float, corrected_part: float, in_shoe_limit_mm: float, *, shared: tuple[float, float, float, float]
) -> Workings:
    in_shoe, on_sole, ball, toe = shared
    return Workings(
        name="raise",
        result=f"{_mm(in_shoe)} in the shoe; on the sole {_mm(on_sole)} heel, {_mm(ball)} joint, {_mm(toe)} toe",
        formula="difference × part corrected; in the shoe up to its limit, the rest on the sole",
        inputs=(
            ("Measured difference", _mm(difference_mm)),
            ("Part corrected", f"{corrected_part:g}"),
            ("In the shoe at most", _mm(in_shoe_limit_mm)),
        ),
        source=CONVENTION,
        status=Status.WORKSHOP_SETTING,
        cautions=(CONFIRM, MEASURE_AGAIN),
    )


def wedge_height(*, width_mm: float, angle_deg: float) -> WedgeHeight:
    """How high a wedge stands at its edge: width × tan(angle). Raises `BadInput`."""
    check_within("width_mm", width_mm, 20, 200)
    check_within("angle_deg", angle_deg, 0, 20, unit="°")
    height = width_mm * math.tan(math.radians(angle_deg))
    sheet = Workings(
        name="height of a wedge at its edge",
        result=f"{height:.1f} mm",
        formula="width × tan(angle)",
        inputs=(("Width", f"{width_mm:g} mm"), ("Angle", f"{angle_deg:g}°")),
        source=ARITHMETIC,
        status=Status.GEOMETRY,
        cautions=(MEASURE_AGAIN,),
    )
    return WedgeHeight(height, sheet)


def change_of_pitch(
    *, in_shoe_heel_mm: float, on_sole_heel_mm: float, on_sole_ball_mm: float, heel_to_ball_mm: float
) -> PitchChange:
    """How much steeper the foot stands, in mm of heel over joint and in degrees. Raises `BadInput`."""
    check_within("heel_to_ball_mm", heel_to_ball_mm, 60, 320)
    change = in_shoe_heel_mm + on_sole_heel_mm - on_sole_ball_mm
    degrees = math.degrees(math.atan2(change, heel_to_ball_mm))
    sheet = Workings(
        name="change of pitch",
        result=f"{_mm(change)}, {degrees:.1f}°",
        formula="in the shoe + (on the sole at heel − at joint), over heel to joint",
        inputs=(
            ("In the shoe, heel", _mm(in_shoe_heel_mm)),
            ("On the sole, heel", _mm(on_sole_heel_mm)),
            ("On the sole, joint", _mm(on_sole_ball_mm)),
            ("Heel to joint", _mm(heel_to_ball_mm)),
        ),
        source=ARITHMETIC,
        status=Status.GEOMETRY,
    )
    return PitchChange(change, degrees, sheet)


def _mm(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0") + " mm"
