"""What flat pieces are drafted with beyond the prescription, and what is cut from what."""

from workshop.figures.setting import Group, common, memory

PATTERN_GROUPS = (
    Group(
        "Flat pieces",
        (
            common("stiffener_skive_margin_mm", "stiffener: skive of the margin, to 1 mm", "10", "mm"),
            memory("stiffener_end_round_mm", "stiffener: front ends rounded by", "12", "mm", highest="40"),
            memory("stiffener_relief_skive_mm", "stiffener: edge of a relief skived over", "10", "mm", highest="40"),
            memory(
                "stiffener_topline_part",
                "stiffener: its line 50 mm up the heel, of the feather edge under it",
                "0.94",
                "of the feather edge",
                lowest="0.5",
                highest="1.3",
            ),
            memory("rear_doubled_skive_mm", "rear doubled: front edge skived over", "25", "mm", highest="80"),
            memory("raise_layer_mm", "raise: thickness of one layer", "6", "mm", lowest="1", highest="40"),
            memory("raise_layer_edge_mm", "raise: layers cut beyond the feather edge by", "4", "mm", highest="20"),
        ),
    ),
)
