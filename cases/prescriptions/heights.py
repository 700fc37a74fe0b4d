"""How high a foot stands on the layers under it, and how steep. Lengths in mm, angles in degrees."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from cases.prescriptions.raises import ARITHMETIC, MEASURE_AGAIN
from shared.calculations import check_within
from shared.workings import Status, Workings

MOST_MM = 200.0


@dataclass(frozen=True)
class StackHeights:
    """From the ground to the sole of the foot under heel, joint and toe; the difference of the first two is the pitch."""

    heel_mm: float
    joint_mm: float
    toe_mm: float
    workings: tuple[Workings, ...]


@dataclass(frozen=True)
class Pitch:
    """How much higher the heel stands than the joint, and how steep that is; against the last it was made on."""

    pitch_mm: float
    pitch_deg: float
    against_last_mm: float
    against_last_deg: float
    workings: Workings


def stack_heights(
    *,
    insole_mm: float,
    sole_mm: float,
    heel_mm: float,
    in_shoe_heel_mm: float = 0.0,
    on_sole_heel_mm: float = 0.0,
    on_sole_ball_mm: float = 0.0,
    on_sole_toe_mm: float = 0.0,
) -> StackHeights:
    """The sum of the layers at each place; a rocker's own thickness is told by `rocker_sole`. Raises `BadInput`."""
    given = {
        "insole_mm": insole_mm,
        "sole_mm": sole_mm,
        "heel_mm": heel_mm,
        "in_shoe_heel_mm": in_shoe_heel_mm,
        "on_sole_heel_mm": on_sole_heel_mm,
        "on_sole_ball_mm": on_sole_ball_mm,
        "on_sole_toe_mm": on_sole_toe_mm,
    }
    for name, mm in given.items():
        check_within(name, mm, 0, MOST_MM)
    everywhere = {"Insole": insole_mm, "Sole": sole_mm}
    at = {
        "heel": {
            **everywhere,
            "Raise in the shoe": in_shoe_heel_mm,
            "Raise on the sole": on_sole_heel_mm,
            "Heel": heel_mm,
        },
        "joint": {**everywhere, "Raise on the sole": on_sole_ball_mm},
        "toe": {**everywhere, "Raise on the sole": on_sole_toe_mm},
    }
    heel, joint, toe = (sum(layers.values()) for layers in at.values())
    return StackHeights(heel, joint, toe, tuple(_height_sheet(place, layers) for place, layers in at.items()))


def _height_sheet(place: str, layers: Mapping[str, float]) -> Workings:
    return Workings(
        name=f"height under the {place}",
        result=f"{sum(layers.values()):.0f} mm",
        formula="raise in the shoe + insole + raise on the sole + sole + heel",
        inputs=tuple((words, f"{mm:g} mm") for words, mm in layers.items()),
        source=ARITHMETIC,
        status=Status.GEOMETRY,
        cautions=(MEASURE_AGAIN,),
    )


def pitch_of(
    *,
    heel_mm: float,
    heel_to_joint_mm: float,
    last_heel_mm: float,
    in_shoe_heel_mm: float = 0.0,
    on_sole_heel_mm: float = 0.0,
    on_sole_ball_mm: float = 0.0,
) -> Pitch:
    """The heel, and what a raise adds at the heel over the joint, over the way from heel to joint. Raises `BadInput`."""
    for name, mm in (
        ("heel_mm", heel_mm),
        ("last_heel_mm", last_heel_mm),
        ("in_shoe_heel_mm", in_shoe_heel_mm),
        ("on_sole_heel_mm", on_sole_heel_mm),
        ("on_sole_ball_mm", on_sole_ball_mm),
    ):
        check_within(name, mm, 0, 1000)
    check_within("heel_to_joint_mm", heel_to_joint_mm, 40, 400)
    added = in_shoe_heel_mm + on_sole_heel_mm - on_sole_ball_mm
    pitch = heel_mm + added
    now, last = (math.degrees(math.atan2(mm, heel_to_joint_mm)) for mm in (pitch, last_heel_mm))
    sheet = Workings(
        name="pitch",
        result=f"{pitch:.0f} mm, {now:.0f}° (the last's {last_heel_mm:.0f} mm, {last:.0f}°)",
        formula="arctan((heel + what the raise adds at the heel over the joint) / heel to joint)",
        inputs=(
            ("Heel", f"{heel_mm:g} mm"),
            ("Added by the raise", f"{added:g} mm"),
            ("Heel to joint", f"{heel_to_joint_mm:.0f} mm"),
            ("Against the last", f"{pitch - last_heel_mm:+.0f} mm, {now - last:+.1f}°"),
        ),
        source=ARITHMETIC,
        status=Status.GEOMETRY,
        cautions=(MEASURE_AGAIN,),
    )
    return Pitch(pitch, now, pitch - last_heel_mm, now - last, sheet)
