"""Shoes built on a last of any size, in the proportions of an ordinary one: for tests that need whole people's shoes.

Reaches are parts of the feather edge from centre back to the joint, puffs and back heights parts of the last: common practice, no source.
"""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from typing import Any

from cases.prescriptions.reaches import Arcs, ReachSettings, ReachWords, worked_out
from cases.prescriptions.shoe import (
    CarbonZone,
    Cushion,
    Form,
    Insole,
    Raise,
    Rocker,
    Shoe,
    Stiffener,
    ToePuff,
    Upper,
)
from shared.sides import Edge, Side
from tests.prescriptions import shoes

Pair = dict[Side, Shoe]
REACHES = ReachSettings(
    short=Decimal("0.45"),
    medium=Decimal("0.65"),
    long=Decimal("0.90"),
    long_behind_joint_mm=Decimal(10),
    source="common practice, no source",
)
BACK_OF_LAST = 0.18
BOOT_BACK_MM, HIGH_BACK_MM = 8, 20
"""More than a low shoe's back height: of an ankle boot, of one with a high back. From memory."""
PUFFS: Mapping[str, tuple[float, float]] = {
    "light": (0.15, 1.2),
    "standard": (0.20, 1.6),
    "wall": (0.20, 1.6),
}
"""Part of the last's length; mm of thickness."""


def a_last(number: int, length_mm: float, *, heel_mm: float, **changes: Any) -> Form:
    """An agreed last in the proportions of an ordinary one. Lengths in mm."""
    part = length_mm / shoes.FORM.length_mm
    sized = {
        name: round(part * getattr(shoes.FORM, name))
        for name in (
            "joint_width_mm",
            "heel_width_mm",
            "heel_to_joint_mm",
            "heel_to_fifth_mm",
            "toe_depth_mm",
            "instep_height_mm",
            "medial_malleolus_mm",
            "lateral_malleolus_mm",
        )
    }
    girths = {name: round(part * girth) for name, girth in shoes.FORM.girths_mm.items()}
    plain = replace(shoes.FORM, length_mm=length_mm, heel_height_mm=heel_mm, girths_mm=girths, **sized)
    return replace(plain, **{"drawn_from": f"last {number}, agreed", **changes})


def upper(style: str, height: str, fastening: str, count: float | None = None, **changes: Any) -> Upper:
    return replace(shoes.UPPER, style=style, height=height, fastening=fastening, fastening_count=count, **changes)


def stiffener(last: Form, medial: str, lateral: str, *, back_mm: float = 0, **changes: Any) -> Stiffener:
    """Reaches by their words, each in mm of its own side; `back_mm` is more than a low shoe's back height."""
    words = ReachWords(medial, lateral)
    arcs = Arcs(Decimal(round(last.arc_mm(Edge.MEDIAL))), Decimal(round(last.arc_mm(Edge.LATERAL))))
    reached = {edge: worked_out(words, edge=edge, arcs=arcs, settings=REACHES) for edge in Edge}
    in_mm = {edge: None if mm is None else float(mm) for edge, mm in reached.items()}
    return replace(
        shoes.STIFFENER,
        medial_reach=medial,
        medial_reach_mm=in_mm[Edge.MEDIAL],
        lateral_reach=lateral,
        lateral_reach_mm=in_mm[Edge.LATERAL],
        back_height_mm=round(BACK_OF_LAST * last.length_mm) + back_mm,
        **changes,
    )


def puff(last: Form, kind: str, **changes: Any) -> ToePuff:
    if kind == "none":
        return replace(shoes.PUFF, kind="none", length_mm=None, thickness_mm=None, toe_depth_mm=None, **changes)
    part, thick = PUFFS[kind]
    return replace(shoes.PUFF, kind=kind, length_mm=round(part * last.length_mm), thickness_mm=thick, **changes)


def insole(**changes: Any) -> Insole:
    return replace(shoes.INSOLE, **changes)


def blocked(**changes: Any) -> Insole:
    """Blocked to the last and carved to the bench's own heights."""
    carved = {"finished_heel_mm": 4.5, "finished_waist_mm": 3.5, "finished_forepart_mm": 3.0}
    return insole(blocked=True, **{"thickness_mm": 5.5, **carved, **changes})


def rocker(apex_percent: float, angle_deg: float) -> Rocker:
    return Rocker(apex_percent=apex_percent, angle_deg=angle_deg, curved=True, apex_angle_deg=95)


def carbon(plies: float, **changes: Any) -> CarbonZone:
    return replace(shoes.CARBON, plies=plies, **changes)


def cushion(place: str, thickness_mm: float) -> Cushion:
    return Cushion(place=place, material="open-cell polyurethane", thickness_mm=thickness_mm)


def lifted(**changes: Any) -> Raise:
    return replace(shoes.RAISE, **changes)


TWO_SHANKS = replace(shoes.SHANK, count=2, width_mm=10, apart_mm=22)


def shoe(last: Form, *, sole: dict[str, Any], heel: dict[str, Any], **parts: Any) -> Shoe:
    """A shoe with one steel shank, on the left until `pair` sides it."""
    return Shoe(
        side=Side.LEFT,
        form=last,
        sole=replace(shoes.SOLE, **sole),
        heel=replace(shoes.HEEL, **heel),
        **{"construction": "cemented", "shank": shoes.SHANK, **parts},
    )


def pair(left: Shoe, right: Shoe) -> Pair:
    return {side: _sided(each, side) for side, each in ((Side.LEFT, left), (Side.RIGHT, right))}


def _sided(one: Shoe, side: Side) -> Shoe:
    number, _, state = one.form.drawn_from.partition(",")
    return replace(one, side=side, form=replace(one.form, drawn_from=f"{number} {side.label},{state}"))
