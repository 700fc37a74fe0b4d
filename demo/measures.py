"""Measures of invented feet, worked out from each foot's length as plain proportions, so that they hang together.

The proportions of ball length, ball girth and heel-to-ankle girth to foot length are means of an open survey
(NATICK/TR-15/007, men); the others are from memory. They are for the invented workshop alone.
"""

import random
from decimal import Decimal

from cases.lasts.actions import BulgeValue, LegValue
from demo.clients import BOTH, LEFT, RIGHT, Client
from shared.sides import Edge, Side

OF_FOOT_LENGTH = {"foot_length": 1.0, "heel_to_joint": 0.741, "heel_to_fifth": 0.645}
OF_WHOLE_FOOT_LENGTH = {
    "joint_width": 0.376,
    "heel_width": 0.267,
    "toe_depth": 0.085,
    "instep_height": 0.245,
    "medial_malleolus_height": 0.300,
    "lateral_malleolus_height": 0.269,
}
GIRTHS_OF_FOOT_LENGTH = {
    "joint_girth": 0.930,
    "waist_girth": 0.905,
    "instep_girth": 0.945,
    "short_heel_girth": 1.267,
    "long_heel_girth": 1.330,
}
NEEDS_JOINTS = {"heel_to_joint", "heel_to_fifth", "joint_width", "joint_girth", "toe_depth"}
"""What cannot be measured where the front of the foot is gone."""
ANKLE_GIRTH_OF_FOOT_LENGTH = 0.845
WITH_ITS_ORTHOSIS_ON_MM = {"short_heel_girth": 38, "long_heel_girth": 38, "ankle_girth": 31}
"""By how much a splint of plastic on the leg makes these girths greater."""
TAKEN_TWICE = ("joint_girth", "instep_girth", "short_heel_girth")


def measures_of(client: Client, side: str, *, seed: int) -> list[tuple[str, int, Decimal]]:
    """(name, take, mm) of one foot. The same seed gives the same foot."""
    chance = random.Random(f"{seed} {client.key} {side}")
    feet = client.feet
    is_left = side == LEFT
    length_mm = feet.left_length_mm if is_left else feet.right_length_mm
    girths_off_mm = feet.girths_off_left_mm if is_left else feet.girths_off_right_mm
    ankle_off_mm = feet.ankle_off_left_mm if is_left else feet.ankle_off_right_mm
    # A shortened foot keeps the girths, widths and heights of the whole one.
    girth_length_mm = max(feet.left_length_mm, feet.right_length_mm)
    values = {name: length_mm * part for name, part in OF_FOOT_LENGTH.items()}
    values |= {name: girth_length_mm * part for name, part in OF_WHOLE_FOOT_LENGTH.items()}
    values |= {name: girth_length_mm * part + girths_off_mm for name, part in GIRTHS_OF_FOOT_LENGTH.items()}
    if any(found.condition == "partial_foot_amputation" and side in found.sides for found in client.findings):
        values = {name: mm for name, mm in values.items() if name not in NEEDS_JOINTS}
    values["ankle_girth"] = girth_length_mm * ANKLE_GIRTH_OF_FOOT_LENGTH + ankle_off_mm
    if any(found.condition == "orthosis_worn" and side in found.sides for found in client.findings):
        values = {name: mm + WITH_ITS_ORTHOSIS_ON_MM.get(name, 0) for name, mm in values.items()}
    taken = []
    for name, mm in values.items():
        first = round(mm + (0 if name == "foot_length" else chance.choice((-1, 0, 0, 1))))
        taken.append((name, 1, Decimal(first)))
        if name in TAKEN_TWICE:
            taken.append((name, 2, Decimal(first + chance.choice((-1, 0, 1, 2)))))
    return taken


LEGS_FOR_A_HIGH_BOOT = {LEFT: ((160, 232), (240, 301)), RIGHT: ((160, 247), (240, 309))}
"""Height above the floor and girth there, mm."""


def legs_of(client: Client) -> list[LegValue]:
    """The girths up the leg of the client who gets a high boot."""
    if client.key != "charcot":
        return []
    return [
        LegValue(side=Side(side), words=words, height_mm=Decimal(height_mm), girth_mm=Decimal(girth_mm))
        for side in BOTH
        for words, (height_mm, girth_mm) in zip(
            ("top of the ankle padding", "top of the boot"), LEGS_FOR_A_HIGH_BOOT[side], strict=True
        )
    ]


def bulges_of(client: Client) -> list[BulgeValue]:
    """What stands out beyond a regular outline: the big-toe joint that leans over."""
    if client.key != "part-foot":
        return []
    joint_mm = round(Decimal(client.feet.right_length_mm) * Decimal(str(OF_FOOT_LENGTH["heel_to_joint"])))
    return [
        BulgeValue(
            side=Side(RIGHT),
            edge=Edge.MEDIAL,
            from_heel_mm=Decimal(joint_mm),
            extent_mm=Decimal(60),
            beyond_mm=Decimal(18),
            words="big-toe joint, fixed",
        )
    ]
