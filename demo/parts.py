"""The parts that the invented prescriptions are put together from.

A foot is a mapping from part to the values of that part's fields. Reaches in mm are worked out by the loader from
the client's own heel-to-joint measures, as the prescription page does.
"""

from dataclasses import dataclass, field
from typing import Any

Parts = dict[str, Any]

BELLY = "vegetable-tanned belly"
SHOULDER = "vegetable-tanned shoulder"
MICROCELLULAR = "microcellular rubber"
STEEL_SHANK = {
    "count": 1,
    "material": "steel",
    "width_mm": 15,
    "thickness_mm": 1.2,
    "front_end_behind_joint_mm": 12,
}
TWO_SHANKS = {**STEEL_SHANK, "count": 2, "width_mm": 10, "apart_mm": 12}
SCOURED: Parts = {
    "scoured_to_mm": 0.5,
    "scoured_behind_joint_mm": 12,
    "scoured_before_toe_mm": 15,
    "scoured_rim_mm": 11,
}


@dataclass(frozen=True)
class Prescribed:
    """One invented prescription: what holds for the pair, and each foot's parts."""

    client: str
    purpose: str
    left: Parts
    right: Parts
    construction: str = "cemented"
    work: str = "new"
    feet: str = "both"
    weight_limit_g: int | None = None
    remarks: str = ""
    own_shoe: str = ""
    foot_fields: dict[str, dict[str, Any]] = field(default_factory=dict)

    def foot_part(self, side: str) -> Parts:
        """What stands on the foot itself, in the shape of a part; empty where nothing does."""
        return {"foot": self.foot_fields[side]} if side in self.foot_fields else {}


def upper(style: str, height: str, fastening: str, **more: Any) -> Parts:
    """The visible part, lined in calf unless said otherwise."""
    return {
        "style": style,
        "height": height,
        "fastening": fastening,
        "leather": "bovine, 1.4 mm",
        "vamp_lining": "calf",
        "quarter_lining": "calf",
        **more,
    }


def stiffener(medial: str, lateral: str, back_height_mm: float, **more: Any) -> Parts:
    """A leather stiffener of 2.8 mm with these reaches."""
    return {
        "medial_reach": medial,
        "lateral_reach": lateral,
        "back_height_mm": back_height_mm,
        "material": BELLY,
        "thickness_mm": 2.8,
        **more,
    }


PUFFS: dict[str, Parts] = {
    "none": {"kind": "none"},
    "light": {"kind": "light", "thickness_mm": 1.2},
    "standard": {"kind": "standard", "thickness_mm": 1.6},
    "wall": {"kind": "wall", "thickness_mm": 1.6, "wall_height_mm": 14},
}
PUFF_LENGTH_OF_LAST = {"light": 0.15, "standard": 0.20, "wall": 0.20}
"""Common practice, no source."""


def puff(kind: str, depth_mm: float = 6) -> Parts:
    """A toe puff. How long it is follows from the last, and the loader works it out."""
    return {**PUFFS[kind], "toe_depth_mm": depth_mm}


def insole(thickness_mm: float, *, blocked: bool = False, **more: Any) -> Parts:
    return {
        "leather": SHOULDER,
        "thickness_mm": thickness_mm,
        "blocked": blocked,
        "sock": "0.9 mm leather, full",
        **more,
    }


def sole(material: str, thickness_mm: float, **more: Any) -> Parts:
    return {"material": material, "thickness_mm": thickness_mm, "tread": "fine", **more}


def heel(height_mm: float, **more: Any) -> Parts:
    return {"height_mm": height_mm, "material": MICROCELLULAR, **more}


def carbon(plies: int, ends_before_toe_mm: float = 12) -> Parts:
    return {
        "plies": plies,
        "cloth_g_m2": 200,
        "starts": "seat front",
        "ends_before_toe_mm": ends_before_toe_mm,
        "overlap_on_shank_mm": 30,
    }


def rocker(apex_percent: float, angle_deg: float) -> Parts:
    return {"apex_percent": apex_percent, "angle_deg": angle_deg, "curved": True}
