"""What flat pieces are drafted with beyond the prescription, and what is cut from what."""

from workshop.figures.setting import Group, common, memory, published

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
            memory(
                "tolerance_cut_line_mm",
                "a point of a cut line that is trimmed on the last: shifted by at most",
                "5",
                "mm",
                highest="40",
            ),
        ),
    ),
    Group(
        "Waste of cutting",
        (
            memory("waste_leather_percent", "leather: lost beside the pieces", "25", "% of them", highest="200"),
            memory("waste_board_percent", "board, cork and soling in sheets", "15", "% of them", highest="200"),
            memory("waste_foam_percent", "foam", "15", "% of them", highest="200"),
            memory("waste_cloth_percent", "carbon cloth", "20", "% of them", highest="200"),
        ),
    ),
    Group(
        "Soaking and drying of leather",
        (
            published("soak_thin_minutes", "soak thin leather", "10", "min", source="public bespoke diaries"),
            memory("soak_thick_hours_least", "soak thick leather from", "1", "h", highest="48"),
            memory("soak_thick_hours_most", "soak thick leather to", "12", "h", highest="72"),
            memory("soak_thick_from_mm", "leather counts as thick from", "3", "mm", highest="12"),
            published(
                "mellow_minutes",
                "let soaked leather mellow",
                "30",
                "min",
                source="The Art and Mystery of a Cordwainer, 1813, read as excerpt",
            ),
            common("dry_stiffener_hours_least", "a pasted stiffener dries from", "24", "h"),
            common("dry_stiffener_hours_most", "a pasted stiffener dries to", "48", "h"),
            memory("dry_puff_hours_least", "a toe puff dries from", "12", "h"),
            memory("dry_puff_hours_most", "a toe puff dries to", "24", "h"),
            memory("dry_insole_hours_least", "a blocked insole dries from", "24", "h"),
            memory("dry_insole_hours_most", "a blocked insole dries to", "48", "h"),
        ),
    ),
)
