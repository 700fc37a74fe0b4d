"""What the work on a last counts when a rack is ranked for a foot. A mm of girth built up counts as one."""

from workshop.figures.setting import Group, memory

NEAREST_GROUP = Group(
    "Nearest lasts",
    (
        memory("nearest_build_up_per_mm", "girth built up: each mm counts", "1", "of a mm built up", highest="100"),
        memory("nearest_take_down_per_mm", "girth taken down: each mm counts", "4", "of a mm built up", highest="100"),
        memory("nearest_depth_per_mm", "toe depth: each mm is worth", "3", "mm of girth", highest="100"),
        memory("nearest_long_per_mm", "too long: each mm counts", "2", "of a mm built up", highest="100"),
        memory("nearest_short_per_mm", "too short: each mm counts", "8", "of a mm built up", highest="100"),
        memory("nearest_heel_per_mm", "heel apart: each mm counts", "3", "of a mm built up", highest="100"),
        memory(
            "nearest_short_at_most_mm", "too short by more than this: no last for this foot", "1", "mm", highest="20"
        ),
        memory("nearest_leave_within_mm", "girth is left alone within", "2", "mm", highest="10"),
    ),
)
