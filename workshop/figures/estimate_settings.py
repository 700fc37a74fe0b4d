"""What estimates and notes of a prescription compare with, and what stands in for what nobody prescribed."""

from workshop.figures.setting import Group, Setting, common, memory

WEIGHT = (
    memory("weight_upper_mm", "upper leather, where nobody says", "1.6", "mm"),
    memory("weight_lining_mm", "lining, where nobody says", "1.2", "mm"),
    memory("weight_small_parts_g", "thread, eyelets, straps, paste: a shoe", "45", "g"),
    memory("weight_range_part", "an estimate may be off by", "0.18", "of the weight", highest="1"),
    memory("weight_range_weighed_part", "once weighed here, it may be off by", "0.08", "of the weight", highest="1"),
    common("weight_pairs_to_learn", "weighed pairs from which they correct an estimate", "10", "pairs"),
    memory("weight_difference_g", "left and right differ without a note by up to", "80", "g"),
)
RIGIDITY = (
    memory("rigidity_bends_below", "a forepart bends below", "0.03", "N·m per °", highest="10"),
    memory("rigidity_rigid_above", "a forepart is rigid above", "0.10", "N·m per °", highest="10"),
    memory("rigidity_free_length_mm", "free length of a forepart in bending", "60", "mm"),
)
NOTES: tuple[Setting, ...] = (
    memory("stiffener_left_behind_heel_mm", "stiffener left behind a raised heel: a note below", "40", "mm"),
    memory("shank_behind_joint_least_mm", "shank nearer to the joint than this: a note", "8", "mm"),
)

ESTIMATE_GROUPS = (
    Group("Weight of a shoe, estimated", WEIGHT),
    Group("Stiffness of a forepart", RIGIDITY),
    Group("Notes on a prescription", NOTES),
)
