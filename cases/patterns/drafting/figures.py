"""The workshop's figures that pieces are drafted with: each a dated setting of the same name."""

from dataclasses import dataclass


@dataclass(frozen=True)
class PatternFigures:
    """In mm, but for names that say otherwise."""

    stiffener_margin_mm: float
    stiffener_skive_top_mm: float
    stiffener_skive_ends_mm: float
    stiffener_skive_long_ends_mm: float
    stiffener_skive_margin_mm: float
    stiffener_end_round_mm: float
    stiffener_relief_thickness_mm: float
    stiffener_relief_skive_mm: float
    stiffener_topline_part: float
    stiffener_malleolus_relief_mm: float
    puff_margin_mm: float
    puff_skive_mm: float
    puff_wall_fade_mm: float
    puff_ahead_of_joint_mm: float
    insole_cut_oversize_mm: float
    feather_width_mm: float
    feather_depth_mm: float
    sock_mm: float
    cushion_heel_diameter_mm: float
    dome_length_mm: float
    dome_width_mm: float
    bar_width_mm: float
    rear_doubled_behind_joint_mm: float
    rear_doubled_skive_mm: float
    carbon_edge_in_mm: float
    carbon_step_mm: float
    raise_layer_mm: float
    raise_layer_edge_mm: float
