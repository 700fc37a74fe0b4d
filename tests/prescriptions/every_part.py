"""One foot with every part that a prescription knows."""

from typing import Any

EVERYTHING: dict[str, Any] = {
    "reliefs": [
        {
            "place": "back of the heel",
            "width_mm": 34,
            "height_mm": 26,
            "above_seat_mm": 30,
            "way": "thinned",
            "thinned_to_mm": "0.8",
        },
        {"place": "lateral malleolus", "width_mm": 20, "height_mm": 20, "way": "cut out"},
    ],
    "soft_zones": [
        {"place": "toes", "softness": "stretch"},
        {"place": "lateral ankle", "softness": "padded", "extent": "45 × 40 mm"},
    ],
    "toe_prop": {"toes": "2-4", "material": "soft silicone", "height_mm": "6.5"},
    "cushions": [{"place": "forepart", "material": "closed-cell foam", "thickness_mm": 4}],
    "metatarsal_supports": [{"kind": "bar", "behind_joint_line_mm": 8, "height_mm": 6, "long_mm": 15}],
    "shank": {
        "count": 2,
        "material": "steel",
        "width_mm": 10,
        "thickness_mm": "1.2",
        "front_end_behind_joint_mm": 12,
        "apart_mm": 12,
    },
    "carbon_zone": {"plies": 5, "ends_before_toe_mm": 12, "overlap_on_shank_mm": 30},
    "rocker": {"apex_percent": 55, "angle_deg": 15},
    "height_raise": {"in_shoe_heel_mm": 8, "on_sole_heel_mm": 22, "on_sole_ball_mm": 18, "on_sole_toe_mm": 8},
    "wedges": [{"place": "heel", "edge": "medial", "height_mm": 4}],
    "flares": [{"edge": "lateral", "width_mm": 5}],
}
