"""Every setting of the workshop with the value it starts with.

Each says how far it may be trusted. None is advice: the prescriber decides, and the manager may change any of them.
"""

from workshop.figures.check_settings import CHECK_GROUPS
from workshop.figures.estimate_settings import ESTIMATE_GROUPS
from workshop.figures.last_settings import LAST_GROUPS
from workshop.figures.nearest_settings import NEAREST_GROUP
from workshop.figures.pattern_settings import PATTERN_GROUPS
from workshop.figures.setting import SWITCH_UNIT, Group, Setting, common, memory, published

FOOTWEAR_GUIDELINE = "van Netten JJ et al., J Foot Ankle Res 2018;11:2"
HIGH_RISK_GUIDELINE = "Bergin SM et al., J Foot Ankle Res 2013;6:6"
ROCKER_BAND = "a value within the band of 50 to 60 % and 15 to 20 degrees; the papers disagree: "
ROCKER_PAPERS = "Preece SJ et al., J Foot Ankle Res 2017;10:27 and Chapman JD et al., Clin Biomech 2013;28:679-685"
APEX_ANGLE_PAPERS = "Chapman JD et al., Clin Biomech 2013;28:679-685 and J Foot Ankle Res 2014;7(S1):A66"

GROUPS: tuple[Group, ...] = (
    Group(
        "The workshop's days",
        (
            memory("terminal_idle_minutes", "a bench terminal locks after", "5", "min", lowest="1", highest="60"),
            memory("second_eyes_for_a_last", "a last is agreed by somebody other than its maker", "0", SWITCH_UNIT),
            memory(
                "drying_season_factor", "drying hours are multiplied by", "1.0", "factor", lowest="0.3", highest="3"
            ),
            common("days_on_last_least", "days on the last at least", "7", "days", highest="60"),
            memory("client_wait_days", "wait for the client at a rough fitting", "10", "days", highest="90"),
            memory("review_after_days_least", "review after hand-over: not before", "14", "days", highest="90"),
            memory("review_after_days_most", "review after hand-over: not after", "21", "days", highest="180"),
            memory("wear_in_start_hours", "wearing in by figures: on the first day", "0.5", "h", highest="8"),
            memory("wear_in_growth_hours", "wearing in by figures: more on each day after it", "0.5", "h", highest="4"),
            memory("wear_in_days", "wearing in by figures: for", "14", "days", lowest="1", highest="28"),
        ),
    ),
    Group(
        "Measures and lasts",
        (
            memory("third_take_above_mm", "a third take is asked for above", "3", "mm", highest="20"),
            memory(
                "third_take_above_swollen_mm", "with swelling, a third take is asked for above", "5", "mm", highest="20"
            ),
            memory("agreed_last_girth_tolerance_mm", "an agreed last measured again: girth within", "2", "mm"),
            memory("agreed_last_length_tolerance_mm", "an agreed last measured again: length within", "1", "mm"),
            common("heel_to_pitch_difference_mm", "prescribed heel may differ from the last's by", "5", "mm"),
            published(
                "toe_allowance_mm",
                "length before the longest toe",
                "12",
                "mm",
                source=f"a value within the 10 to 20 mm of {FOOTWEAR_GUIDELINE}",
            ),
            memory("toe_depth_over_mm", "toe depth over the highest toe", "6", "mm"),
            memory("toe_depth_over_deformed_mm", "toe depth with hammer or claw toes", "8", "mm"),
            memory("toe_spring_mm", "toe spring of a new last", "12", "mm"),
        ),
    ),
    *LAST_GROUPS,
    NEAREST_GROUP,
    Group(
        "Stiffener",
        (
            common(
                "stiffener_reach_short",
                "short reach, part of the side's heel-to-joint arc",
                "0.45",
                "of the arc",
                highest="1",
            ),
            common("stiffener_reach_medium", "medium reach", "0.65", "of the arc", highest="1"),
            common("stiffener_reach_long", "long reach", "0.90", "of the arc", highest="1"),
            common("stiffener_long_behind_joint_mm", "a long one stops behind the joint line by at least", "10", "mm"),
            common(
                "stiffener_back_height_of_last",
                "back height of a low shoe, part of the last's length",
                "0.18",
                "of the length",
                highest="1",
            ),
            common("stiffener_under_topline_mm", "below the topline by at least", "8", "mm"),
            memory("stiffener_boot_higher_mm", "ankle boot: back height more by", "8", "mm"),
            memory("stiffener_boot_high_back_higher_mm", "ankle boot with a high back: more by", "20", "mm"),
            memory("stiffener_boot_under_topline_mm", "boot: below the topline by at least", "15", "mm"),
            memory("stiffener_ankle_high_least_mm", "ankle-high: above the malleolus from", "20", "mm"),
            memory("stiffener_ankle_high_most_mm", "ankle-high: above the malleolus to", "40", "mm"),
            memory("stiffener_malleolus_relief_mm", "ankle-high: pocket for the malleolus", "3", "mm"),
            memory("stiffener_long_end_height_least_mm", "front height of a long one from", "22", "mm"),
            memory("stiffener_long_end_height_most_mm", "front height of a long one to", "26", "mm"),
            common("stiffener_light_mm", "light, before skiving", "2.0", "mm"),
            published(
                "stiffener_standard_mm",
                "standard, before skiving",
                "2.8",
                "mm",
                source="public diary of a bespoke making course",
            ),
            common("stiffener_strong_mm", "strong, before skiving", "3.5", "mm"),
            memory(
                "stiffener_thinned_part", "thinned: part of the nominal thickness", "0.60", "of nominal", highest="1"
            ),
            memory("stiffener_thinned_least_mm", "thinned: never less at the back than", "1.6", "mm"),
            common("stiffener_skive_top_mm", "skive at the top", "15", "mm"),
            common("stiffener_skive_ends_mm", "skive at the front ends", "25", "mm"),
            common("stiffener_skive_long_ends_mm", "skive at the front ends of a long one", "30", "mm"),
            common("stiffener_margin_mm", "lasting margin", "13", "mm"),
            common("upper_margin_mm", "upper below the feather edge", "18", "mm"),
            common("lining_margin_mm", "lining below the feather edge", "16", "mm"),
            common("boot_margin_mm", "boot or heavy upper below the feather edge", "20", "mm"),
            memory("stiffener_relief_round_mm", "relief over a bump: more than its size all round", "6", "mm"),
            memory("stiffener_relief_thickness_mm", "relief over a bump: thinned to", "0.8", "mm"),
            memory(
                "stiffener_under_malleolus_mm", "relief for lateral swelling: top edge below the malleolus", "10", "mm"
            ),
        ),
    ),
    Group(
        "Toe puff",
        (
            common(
                "puff_length_light", "light: length, part of the last's length", "0.15", "of the length", highest="1"
            ),
            common("puff_length_standard", "standard", "0.20", "of the length", highest="1"),
            common("puff_length_long", "long", "0.23", "of the length", highest="1"),
            common("puff_ahead_of_joint_mm", "ends ahead of the joint crease by at least", "15", "mm"),
            memory("puff_light_mm", "light, thickness", "1.2", "mm"),
            published("puff_standard_mm", "standard, thickness", "1.6", "mm", source="public bench diaries"),
            published("puff_strong_mm", "strong, thickness", "2.1", "mm", source="public bench diaries: 3 to 4 iron"),
            common("puff_skive_mm", "skive of the back edge, to nothing", "15", "mm"),
            common("puff_margin_mm", "lasting margin", "12", "mm"),
            memory("puff_wall_height_mm", "wall: full height over the feather edge", "14", "mm"),
            memory("puff_wall_fade_mm", "wall: then to nothing over", "12", "mm"),
        ),
    ),
    Group(
        "Insole, cushions, shank",
        (
            published("insole_women_mm", "insole, women", "3.2", "mm", source="public bench discussion: 6 iron"),
            published("insole_men_mm", "insole, men", "4.2", "mm", source="public bench discussion: 8 iron"),
            common("insole_boot_mm", "insole, boot or heavy", "5.0", "mm"),
            memory("insole_blocked_start_mm", "blocked: starting thickness", "5.5", "mm"),
            memory("insole_blocked_heel_mm", "blocked and carved: heel", "4.5", "mm"),
            memory("insole_blocked_waist_mm", "blocked and carved: waist", "3.5", "mm"),
            memory("insole_blocked_forepart_mm", "blocked and carved: forepart", "3.0", "mm"),
            common("insole_cut_oversize_mm", "cut oversize by", "9", "mm"),
            memory("insole_turn_up_medial_mm", "turn-up at the medial arch", "12", "mm", highest="25"),
            memory("feather_width_mm", "feather, welted: width", "5", "mm"),
            memory("feather_depth_mm", "feather, welted: depth", "2.5", "mm"),
            common("scoured_left_mm", "scoured forepart: thickness left", "0.5", "mm"),
            common("scoured_behind_joint_mm", "scoured from behind the joint line", "12", "mm"),
            common("scoured_short_of_toe_mm", "scoured to short of the toe", "15", "mm"),
            common("scoured_rim_mm", "rim left round the scoured zone", "11", "mm"),
            common("cushion_forepart_mm", "forepart cushion", "4", "mm"),
            published(
                "cushion_forepart_at_risk_least_mm",
                "forepart cushion at risk, from",
                "5",
                "mm",
                source=HIGH_RISK_GUIDELINE,
            ),
            published(
                "cushion_forepart_at_risk_most_mm",
                "forepart cushion at risk, to",
                "10",
                "mm",
                source=HIGH_RISK_GUIDELINE,
            ),
            memory("cushion_heel_mm", "heel cushion", "4", "mm"),
            memory("cushion_heel_diameter_mm", "heel cushion: diameter", "60", "mm"),
            memory("dome_length_mm", "dome: length", "55", "mm"),
            memory("dome_width_mm", "dome: width", "40", "mm"),
            memory("dome_height_mm", "dome: height", "6", "mm"),
            memory(
                "dome_behind_joints_mm",
                "dome: leading edge behind the 2nd and 3rd joints (sources conflict)",
                "5",
                "mm",
            ),
            memory("bar_width_mm", "bar: width", "15", "mm"),
            memory("bar_height_mm", "bar: height", "6", "mm"),
            memory("bar_behind_joint_mm", "bar: crest behind the joint line", "8", "mm"),
            common("shank_width_mm", "shank, single: width", "15", "mm"),
            common("shank_thickness_mm", "shank: thickness", "1.2", "mm"),
            common("shank_in_seat_mm", "shank: starts ahead of the back of the seat by", "25", "mm"),
            common("shank_behind_joint_mm", "shank: ends behind the joint line by", "12", "mm"),
            memory("shank_double_width_mm", "two shanks: width of each", "10", "mm"),
            memory("shank_double_apart_mm", "two shanks: apart by", "12", "mm"),
            memory("rear_doubled_mm", "rear doubled: leather added", "3.0", "mm"),
            memory("rear_doubled_behind_joint_mm", "rear doubled: to behind the joint line", "20", "mm"),
            common("sock_mm", "sock", "0.9", "mm"),
            memory("inlay_room_heel_mm", "room for a removable inlay: heel", "5", "mm"),
            memory("inlay_room_forepart_mm", "room for a removable inlay: forepart", "4", "mm"),
            memory("inlay_room_at_risk_mm", "room for a removable inlay at risk", "8", "mm"),
        ),
    ),
    Group(
        "Carbon",
        (
            memory("carbon_cloth_g_m2", "cloth, twill", "200", "g/m²"),
            common(
                "carbon_plies_least",
                "a rigid forepart: never fewer, whatever the stiffness asks",
                "4",
                "plies",
                highest="20",
            ),
            common("carbon_plies_firm", "firm", "3", "plies", highest="20"),
            common("carbon_plies_rigid", "rigid", "5", "plies", highest="20"),
            common("carbon_plies_rigid_heavy", "rigid above 95 kg", "6", "plies", highest="20"),
            memory("carbon_ply_mm", "one ply by hand, fibre volume 0.40", "0.28", "mm"),
            memory("carbon_modulus_gpa", "modulus after knock-down", "40", "GPa"),
            memory("carbon_edge_in_mm", "edge short of the feather edge by", "9", "mm"),
            common("carbon_step_mm", "step of each ply", "8", "mm"),
            common("carbon_overlap_shank_mm", "overlap on the shank", "30", "mm"),
            memory("carbon_from_toe_mm", "ends short of the toe by", "12", "mm"),
            memory("carbon_cure_hours", "cure at 20 °C before grinding", "24", "h"),
        ),
    ),
    Group(
        "Underfoot",
        (
            published(
                "rocker_apex_percent",
                "rocker: apex from the heel",
                "55",
                "% of length",
                source=ROCKER_BAND + ROCKER_PAPERS,
                highest="100",
            ),
            published(
                "rocker_angle_degrees", "rocker: angle", "15", "°", source=ROCKER_BAND + ROCKER_PAPERS, highest="45"
            ),
            published(
                "rocker_apex_angle_degrees",
                "rocker: apex line to the long axis",
                "95",
                "°",
                source=APEX_ANGLE_PAPERS,
                highest="135",
            ),
            memory("rocker_sole_note_above_mm", "rocker: sole thickness that clients refuse, above", "30", "mm"),
            common("raise_in_shoe_most_mm", "raise in a low shoe at most", "10", "mm"),
            common("raise_in_boot_most_mm", "raise in a boot at most", "15", "mm"),
            common("raise_ball_least", "raise at the ball, part of the heel: from", "0.5", "of the heel", highest="1"),
            common("raise_toe", "raise at the toe, part of the heel", "0.3", "of the heel", highest="1"),
            common("raise_start", "a first raise starts with", "0.60", "of the difference", highest="1"),
            memory("wedge_mm", "wedge", "4", "mm"),
            memory("flare_mm", "flare", "5", "mm"),
            memory("cushion_heel_wedge_mm", "soft wedge in the heel", "12", "mm"),
            memory("heel_extension_mm", "extended medial heel", "15", "mm"),
            memory("heel_height_men_mm", "heel height, men", "22", "mm"),
            memory("heel_height_women_mm", "heel height, women", "25", "mm"),
            published(
                "heel_height_at_risk_most_mm",
                "heel height at high risk at most",
                "20",
                "mm",
                source=HIGH_RISK_GUIDELINE,
            ),
            memory("weight_limit_low_g", "weight limit of one low shoe", "700", "g", highest="5000"),
            memory("weight_limit_boot_g", "weight limit of one boot", "900", "g", highest="5000"),
        ),
    ),
    Group(
        "Tolerances of part checks",
        (
            memory("tolerance_stiffener_reach_mm", "stiffener: reach within", "3", "mm"),
            memory(
                "tolerance_stiffener_to_joint_least_mm", "stiffener, long: never nearer to the joint than", "8", "mm"
            ),
            memory("tolerance_stiffener_height_mm", "stiffener: back height within", "2", "mm"),
            memory("tolerance_stiffener_thickness_mm", "stiffener: thickness within", "0.3", "mm"),
            memory("tolerance_relief_more_mm", "relief: larger by at most, never smaller", "4", "mm"),
            memory("tolerance_relief_centre_mm", "relief: centre within", "3", "mm"),
            memory("tolerance_puff_length_mm", "toe puff: length within", "3", "mm"),
            memory("tolerance_puff_depth_more_mm", "toe puff: depth more by at most, never less", "3", "mm"),
            memory("tolerance_insole_thickness_mm", "insole: thickness within", "0.5", "mm"),
            memory("tolerance_turn_up_mm", "insole: turn-up within", "2", "mm"),
            memory("tolerance_insole_gap_mm", "insole against the cast: gaps under", "2", "mm"),
            memory("tolerance_scoured_thinner_mm", "scoured zone: thinner by at most", "0.1", "mm"),
            memory("tolerance_scoured_thicker_mm", "scoured zone: thicker by at most", "0.3", "mm"),
            memory("tolerance_scoured_line_mm", "scoured zone: back line within", "3", "mm"),
            memory("tolerance_scoured_rim_least_mm", "scoured zone: rim at least", "9", "mm"),
            memory("tolerance_cushion_mm", "cushion: thickness within", "0.5", "mm"),
            memory("tolerance_shank_length_mm", "shank: length within", "5", "mm"),
            memory("tolerance_shank_behind_joint_least_mm", "shank: behind the joint from", "8", "mm"),
            memory("tolerance_shank_behind_joint_most_mm", "shank: behind the joint to", "18", "mm"),
            memory("tolerance_carbon_overlap_least_mm", "carbon: overlap on the shank at least", "25", "mm"),
            memory("tolerance_support_place_mm", "dome or bar: distance from the joint line within", "3", "mm"),
            memory("tolerance_support_height_mm", "dome or bar: height within", "1", "mm"),
            memory("tolerance_raise_mm", "raise layers: heights within", "1.5", "mm"),
            memory("tolerance_wedge_mm", "wedge or posting: height at the edge within", "1", "mm"),
        ),
    ),
    *CHECK_GROUPS,
    Group(
        "Tolerances of the final check",
        (
            memory("final_weight_scale_g", "weight: the scale reads to", "10", "g"),
            memory("final_weight_difference_g", "weight: left and right differ by at most", "80", "g"),
            memory("final_height_mm", "sole, heel and raise heights within", "2", "mm"),
            memory("final_pitch_degrees", "pitch within", "1", "°"),
            memory("final_apex_mm", "rocker apex within", "4", "mm"),
            memory("final_toe_lift_mm", "rocker toe lift within", "3", "mm"),
            memory("final_length_mm", "length against the last within", "3", "mm"),
            memory("final_topline_mm", "topline height within", "2", "mm"),
            memory("final_malleolus_clear_mm", "topline clears the malleolus by at least", "5", "mm"),
            memory("final_strap_spare_mm", "straps reach with a spare of", "15", "mm"),
        ),
    ),
    *ESTIMATE_GROUPS,
    *PATTERN_GROUPS,
)

SETTINGS: dict[str, Setting] = {setting.name: setting for group in GROUPS for setting in group.settings}
GROUP_WORDS: dict[str, str] = {setting.name: group.words for group in GROUPS for setting in group.settings}
