"""Shoes for tests of figures, notes and drawings: an ordinary one, and what a test changes about it."""

from dataclasses import replace
from typing import Any

from cases.prescriptions.shoe import (
    CarbonZone,
    Cushion,
    Flare,
    Form,
    Heel,
    Insole,
    MetatarsalSupport,
    Raise,
    Relief,
    Rocker,
    Shank,
    Shoe,
    SoftZone,
    Sole,
    Stiffener,
    ToeProp,
    ToePuff,
    Upper,
    Wedge,
)
from shared.sides import Side

FORM = Form(
    drawn_from="last 77 LEFT, agreed",
    is_agreed=True,
    length_mm=285,
    joint_width_mm=100,
    heel_width_mm=70,
    heel_to_joint_mm=205,
    heel_to_fifth_mm=178,
    heel_height_mm=22,
    toe_spring_mm=12,
    toe_depth_mm=28,
    instep_height_mm=68,
    girths_mm={"joint": 253, "waist": 250, "instep": 258, "short_heel": 329, "ankle": 232},
    medial_malleolus_mm=80,
    lateral_malleolus_mm=72,
)
UPPER = Upper(
    style="Derby",
    height="low",
    fastening="laces",
    fastening_count=4,
    fastening_hand="",
    leather="calf, chrome-free",
    vamp_lining="calf, vegetable-tanned",
    quarter_lining="calf, vegetable-tanned",
    seam_free_lining=False,
    collar_padding_mm=None,
    topline_medial_mm=None,
    topline_lateral_mm=None,
    tongue="",
)
STIFFENER = Stiffener(
    medial_reach="medium",
    medial_reach_mm=133,
    lateral_reach="medium",
    lateral_reach_mm=116,
    back_height_mm=52,
    material="vegetable-tanned belly",
    thickness_mm=2.8,
    thinned_to_mm=None,
    front_height_mm=None,
    medial_below_malleolus_mm=None,
    lateral_below_malleolus_mm=None,
    ankle_high="no",
    above_malleolus_mm=None,
    adhesive="paste",
)
PUFF = ToePuff(
    kind="standard", length_mm=57, thickness_mm=1.6, wall_height_mm=None, toe_depth_mm=6, material="", adhesive="paste"
)
INSOLE = Insole(
    leather="vegetable-tanned shoulder",
    thickness_mm=4.2,
    blocked=False,
    finished_forepart_mm=None,
    finished_waist_mm=None,
    finished_heel_mm=None,
    turn_up_medial_mm=None,
    turn_up_lateral_mm=None,
    turn_up_heel_mm=None,
    scoured_to_mm=None,
    scoured_behind_joint_mm=None,
    scoured_before_toe_mm=None,
    scoured_rim_mm=None,
    rear_doubled_mm=None,
    posting_rear_medial_deg=None,
    posting_rear_lateral_deg=None,
    posting_fore_medial_deg=None,
    posting_fore_lateral_deg=None,
    inlay_heel_mm=None,
    inlay_forepart_mm=None,
    sock="calf, vegetable-tanned",
    hollowed_beneath="",
)
SHANK = Shank(
    count=1,
    material="steel",
    width_mm=15,
    thickness_mm=1.2,
    front_end_behind_joint_mm=12,
    rear_end_in_seat_mm=25,
    apart_mm=None,
)
CARBON = CarbonZone(plies=5, cloth_g_m2=200, starts="seat front", ends_before_toe_mm=12, overlap_on_shank_mm=30)
SOLE = Sole(material="polyurethane", thickness_mm=6, tread="plain", toe_spring_extra_mm=None, leading_edge="")
HEEL = Heel(
    height_mm=22, material="polyurethane", extended_medial_mm=None, extended_lateral_mm=None, cushion_heel=False
)
ROCKER = Rocker(apex_percent=55, angle_deg=15, curved=True, apex_angle_deg=None)
RAISE = Raise(
    in_shoe_heel_mm=None, on_sole_heel_mm=None, on_sole_ball_mm=None, on_sole_toe_mm=None, material="EVA light"
)

ORDINARY = Shoe(
    side=Side.LEFT,
    construction="cemented",
    form=FORM,
    upper=UPPER,
    stiffener=STIFFENER,
    toe_puff=PUFF,
    insole=INSOLE,
    shank=SHANK,
    sole=SOLE,
    heel=HEEL,
)

_STARTS: dict[str, Any] = {"rocker": ROCKER, "height_raise": RAISE, "carbon_zone": CARBON}


def a_shoe(**changes: Any) -> Shoe:
    """The ordinary shoe with changes: a mapping changes figures of a part, None takes it away, anything else is set.

    `a_shoe(stiffener={"lateral_reach": "long"}, rocker={})`
    """
    changed: dict[str, Any] = {}
    for name, change in changes.items():
        part: Any = getattr(ORDINARY, name) or _STARTS.get(name)
        changed[name] = replace(part, **change) if isinstance(change, dict) else change
    return replace(ORDINARY, **changed)


def a_relief(**changes: Any) -> Relief:
    relief = Relief(
        place="back of the heel", width_mm=34, height_mm=26, above_seat_mm=30, way="thinned", thinned_to_mm=0.8
    )
    return replace(relief, **changes)


def a_cushion(place: str = "forepart", thickness_mm: float = 4) -> Cushion:
    return Cushion(place=place, material="open-cell polyurethane", thickness_mm=thickness_mm)


def a_bar() -> MetatarsalSupport:
    return MetatarsalSupport(kind="bar", behind_joint_line_mm=8, height_mm=6, long_mm=15, across_mm=None)


def a_toe_prop(toes: str = "2-4", height_mm: float = 6) -> ToeProp:
    return ToeProp(toes=toes, material="open-cell polyurethane", height_mm=height_mm)


def a_flare(edge: str = "medial", width_mm: float = 4) -> Flare:
    return Flare(edge=edge, width_mm=width_mm)


def a_wedge(edge: str = "medial", place: str = "heel") -> Wedge:
    return Wedge(place=place, edge=edge, height_mm=4)


def a_soft_zone(place: str = "toes") -> SoftZone:
    return SoftZone(place=place, softness="softer")
