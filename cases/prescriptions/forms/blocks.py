"""The blocks of the page in the order in which a clinician thinks of them, in three sections.

A block shows some values of one part. What is filled in is there, what is emptied is gone.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True)
class Block:
    """`part` is the part's name on a foot, or `foot` itself. `fixed` is the row of a part that a foot has several of."""

    key: str
    title: str
    part: str
    fields: tuple[str, ...]
    fixed: Mapping[str, str] = field(default_factory=dict)
    folded: bool = False
    hint: str = ""


@dataclass(frozen=True)
class Section:
    key: str
    title: str
    says: str
    blocks: tuple[Block, ...]


ONE_ROW_EACH = "One row each. Another empty row comes when this one is saved."

SECTIONS = (
    Section(
        "visible",
        "Visible",
        "What can be seen of the shoe",
        (
            Block("last", "Last", "foot", ("last",)),
            Block(
                "upper",
                "Upper",
                "upper",
                (
                    "style",
                    "height",
                    "opening",
                    "leather",
                    "topline_medial_mm",
                    "topline_lateral_mm",
                    "room_for_bulge",
                ),
            ),
            Block(
                "fastening",
                "Fastening",
                "upper",
                ("fastening", "fastening_count", "fastening_width_mm", "fastening_tab", "fastening_hand"),
            ),
            Block(
                "lining",
                "Lining, collar, tongue",
                "upper",
                (
                    "vamp_lining",
                    "quarter_lining",
                    "tongue_lining",
                    "seam_free_lining",
                    "collar_padding_mm",
                    "collar_height_mm",
                    "tongue",
                ),
            ),
            Block(
                "soft",
                "Soft zones of the upper",
                "soft_zones",
                ("place", "softness", "extent"),
                folded=True,
                hint=ONE_ROW_EACH,
            ),
            Block("orthosis", "Orthosis or caliper worn in the shoe", "foot", ("orthosis_room",), folded=True),
        ),
    ),
    Section(
        "closed-in",
        "Closed in",
        "What nobody can see again once it is covered",
        (
            Block(
                "stiffener",
                "Stiffener",
                "stiffener",
                (
                    "medial_reach",
                    "medial_reach_mm",
                    "lateral_reach",
                    "lateral_reach_mm",
                    "back_height_mm",
                    "thickness_mm",
                    "thinned_to_mm",
                    "material",
                    "adhesive",
                    "remarks",
                ),
                hint="Reaches along the feather edge from centre back. Leave the mm empty to have them worked out. "
                "Short on both sides is cut by the lateral arc on both, so that it serves either foot.",
            ),
            Block(
                "stiffener-edges",
                "Stiffener: ends, top edges, ankle-high",
                "stiffener",
                (
                    "front_height_mm",
                    "medial_below_malleolus_mm",
                    "lateral_below_malleolus_mm",
                    "ankle_high",
                    "above_malleolus_mm",
                ),
                folded=True,
            ),
            Block(
                "relief",
                "Relief in the stiffener",
                "reliefs",
                ("place", "width_mm", "height_mm", "above_seat_mm", "way", "thinned_to_mm"),
                folded=True,
                hint=ONE_ROW_EACH,
            ),
            Block(
                "puff",
                "Toe puff",
                "toe_puff",
                (
                    "kind",
                    "length_mm",
                    "thickness_mm",
                    "wall_height_mm",
                    "toe_depth_mm",
                    "material",
                    "shape",
                    "adhesive",
                    "remarks",
                ),
                hint="A steel toe cap fitted by hand is not certified protection.",
            ),
            Block("filler", "Toe filler", "foot", ("toe_filler",), folded=True),
            Block(
                "insole",
                "Insole",
                "insole",
                (
                    "leather",
                    "thickness_mm",
                    "blocked",
                    "turn_up_medial_mm",
                    "turn_up_lateral_mm",
                    "turn_up_heel_mm",
                    "finished_forepart_mm",
                    "finished_waist_mm",
                    "finished_heel_mm",
                    "rear_doubled_mm",
                    "hollowed_beneath",
                    "sock",
                    "remarks",
                ),
            ),
            Block(
                "scoured",
                "Scoured zone, from the under face",
                "insole",
                ("scoured_to_mm", "scoured_behind_joint_mm", "scoured_before_toe_mm", "scoured_rim_mm"),
                folded=True,
                hint="Leave the other lengths of a new zone empty to have the workshop's own put in.",
            ),
            *(
                Block(
                    f"cushion-{place}",
                    f"Cushion, {words}",
                    "cushions",
                    ("material", "thickness_mm", "extent"),
                    {"place": place},
                    folded=True,
                )
                for place, words in (("forepart", "forepart"), ("heel", "heel"), ("full", "full length"))
            ),
            *(
                Block(
                    f"support-{kind}",
                    f"Metatarsal {kind}",
                    "metatarsal_supports",
                    ("behind_joint_line_mm", "height_mm", "long_mm", "across_mm", "remarks"),
                    {"kind": kind},
                    folded=True,
                )
                for kind in ("bar", "dome")
            ),
            Block("toe-prop", "Toe prop", "toe_prop", ("toes", "material", "height_mm"), folded=True),
            Block(
                "shank",
                "Shank",
                "shank",
                (
                    "count",
                    "material",
                    "width_mm",
                    "thickness_mm",
                    "apart_mm",
                    "front_end_behind_joint_mm",
                    "rear_end_in_seat_mm",
                ),
            ),
            Block(
                "forepart",
                "Forepart across the joint",
                "foot",
                ("forepart_asked",),
                folded=True,
                hint="How stiff it is to be. What it implies then says how many plies that asks.",
            ),
            Block(
                "carbon",
                "Carbon",
                "carbon_zone",
                ("plies", "cloth_g_m2", "direction", "starts", "ends_before_toe_mm", "overlap_on_shank_mm"),
                folded=True,
            ),
            Block(
                "posting",
                "Posting",
                "insole",
                (
                    "posting_rear_medial_deg",
                    "posting_rear_lateral_deg",
                    "posting_fore_medial_deg",
                    "posting_fore_lateral_deg",
                ),
                folded=True,
            ),
            Block("raise-in-shoe", "Raise in the shoe", "height_raise", ("in_shoe_heel_mm",), folded=True),
            Block(
                "inlay",
                "Room for a removable inlay",
                "insole",
                ("inlay_heel_mm", "inlay_forepart_mm"),
                folded=True,
            ),
            Block("remarks", "Remarks for this foot", "foot", ("remarks",)),
        ),
    ),
    Section(
        "underfoot",
        "Underfoot",
        "What touches the ground, and what lifts or tilts the foot above it",
        (
            Block(
                "sole",
                "Sole",
                "sole",
                ("material", "thickness_mm", "tread", "leading_edge", "toe_spring_extra_mm", "remarks"),
            ),
            Block(
                "heel",
                "Heel",
                "heel",
                ("height_mm", "material", "extended_medial_mm", "extended_lateral_mm", "cushion_heel"),
            ),
            Block("rocker", "Rocker", "rocker", ("apex_percent", "angle_deg", "curved", "apex_angle_deg"), folded=True),
            Block(
                "raise",
                "Raise on the sole",
                "height_raise",
                ("on_sole_heel_mm", "on_sole_ball_mm", "on_sole_toe_mm", "material"),
                folded=True,
            ),
            *(
                Block(
                    f"wedge-{place}", f"Wedge, {place}", "wedges", ("edge", "height_mm"), {"place": place}, folded=True
                )
                for place in ("heel", "forefoot")
            ),
            *(
                Block(f"flare-{edge}", f"Flare, {edge}", "flares", ("width_mm",), {"edge": edge}, folded=True)
                for edge in ("medial", "lateral")
            ),
        ),
    ),
)

NEEDED: dict[str, tuple[str, ...]] = {
    "stiffener": ("medial_reach", "lateral_reach"),
    "soft_zones": ("place", "softness"),
    "reliefs": ("place", "width_mm", "height_mm", "way"),
    "toe_puff": ("kind",),
    "cushions": ("material", "thickness_mm"),
    "metatarsal_supports": ("behind_joint_line_mm", "height_mm"),
    "toe_prop": ("toes", "height_mm"),
    "shank": ("material", "width_mm", "thickness_mm", "front_end_behind_joint_mm"),
    "carbon_zone": ("plies", "ends_before_toe_mm", "overlap_on_shank_mm"),
    "rocker": ("apex_percent", "angle_deg"),
    "wedges": ("edge", "height_mm"),
    "flares": ("width_mm",),
}
"""What a part cannot be without."""
