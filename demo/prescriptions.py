"""The invented workshop's prescriptions: twelve pairs and an adaptation, foot by foot. The feet are made up."""

from demo.parts import (
    MICROCELLULAR,
    SCOURED,
    STEEL_SHANK,
    TWO_SHANKS,
    Parts,
    Prescribed,
    carbon,
    heel,
    insole,
    puff,
    rocker,
    sole,
    stiffener,
    upper,
)


def _collapsed_arch() -> Prescribed:
    boot = upper(
        "two-strap boot", "ankle boot", "returning strap", fastening_count=2, collar_padding_mm=10, collar_height_mm=28
    )
    return Prescribed(
        client="collapsed-arch",
        purpose="everyday, indoors and out",
        left={
            "upper": boot,
            "stiffener": stiffener("long", "short", 54, lateral_below_malleolus_mm=10),
            "toe_puff": puff("standard"),
            "insole": insole(5.0, blocked=True, turn_up_medial_mm=18, posting_rear_medial_deg=4),
            "shank": STEEL_SHANK,
            "sole": sole(MICROCELLULAR, 6),
            "heel": heel(20, extended_medial_mm=15),
            "flares": [{"edge": "medial", "width_mm": 4}],
        },
        right={
            "upper": boot,
            "stiffener": stiffener("medium", "medium", 54),
            "toe_puff": puff("standard"),
            "insole": insole(5.0, blocked=True, turn_up_medial_mm=8),
            "shank": STEEL_SHANK,
            "sole": sole(MICROCELLULAR, 6),
            "heel": heel(20),
        },
    )


def _hypermobile() -> Prescribed:
    foot: Parts = {
        "upper": upper("laced boot", "ankle boot", "laces", fastening_count=7, tongue="firm front stiffener"),
        "stiffener": stiffener("long", "long", 54, thinned_to_mm=2.0),
        "toe_puff": puff("light"),
        "insole": insole(4.5, blocked=True, turn_up_medial_mm=10),
        "shank": STEEL_SHANK,
        "sole": sole("firm rubber", 6),
        "heel": heel(18),
    }
    return Prescribed(client="hypermobile", purpose="on her feet all day", left=foot, right=foot, weight_limit_g=650)


def _stiff_big_toe() -> Prescribed:
    shoe = upper("Derby", "low", "laces", fastening_count=4)
    left: Parts = {
        "upper": shoe,
        "stiffener": stiffener("medium", "medium", 50),
        "toe_puff": puff("light", 8),
        "insole": insole(4.2),
        "shank": STEEL_SHANK,
        "sole": sole(MICROCELLULAR, 6),
        "heel": heel(22),
        "rocker": rocker(55, 15),
    }
    right = {**left, "insole": insole(4.2, rear_doubled_mm=3), "carbon_zone": carbon(5)}
    return Prescribed(
        client="stiff-big-toe",
        purpose="work and walking",
        left=left,
        right=right,
        foot_fields={"right": {"forepart_asked": "rigid"}},
    )


def _metatarsalgia() -> Prescribed:
    left: Parts = {
        "upper": upper(
            "bar shoe",
            "low",
            "strap",
            fastening_count=1,
            vamp_lining="goat, vegetable-tanned",
            quarter_lining="goat, vegetable-tanned",
            leather="vegetable-tanned bovine, 1.4 mm",
        ),
        "stiffener": stiffener("short", "short", 46),
        "toe_puff": puff("standard"),
        "insole": insole(4.2, **SCOURED, rear_doubled_mm=3),
        "cushions": [{"place": "forepart", "material": "open-cell polyurethane", "thickness_mm": 4}],
        "metatarsal_supports": [{"kind": "bar", "behind_joint_line_mm": 8, "height_mm": 6}],
        "shank": TWO_SHANKS,
        "sole": sole(MICROCELLULAR, 8),
        "heel": heel(22),
        "rocker": rocker(60, 12),
    }
    right = {**left, "metatarsal_supports": [{"kind": "dome", "behind_joint_line_mm": 5, "height_mm": 6}]}
    return Prescribed(
        client="metatarsalgia",
        purpose="town and travel",
        left=left,
        right=right,
        remarks="Bar on the LEFT, dome on the RIGHT: for comparison. Vegetable-tanned leather throughout (allergy).",
    )


def _haglund() -> Prescribed:
    shoe = upper("Derby", "low", "laces", fastening_count=4, collar_padding_mm=6)
    left: Parts = {
        "upper": shoe,
        "stiffener": stiffener("medium", "medium", 49),
        "toe_puff": puff("standard"),
        "insole": insole(4.2),
        "shank": STEEL_SHANK,
        "sole": sole("leather bend", 5, tread="smooth"),
        "heel": heel(22),
        "height_raise": {"in_shoe_heel_mm": 6, "material": "cork"},
    }
    right = {
        **left,
        "reliefs": [
            {
                "place": "over the bump at the back of the heel",
                "width_mm": 34,
                "height_mm": 26,
                "above_seat_mm": 30,
                "way": "thinned",
                "thinned_to_mm": 0.8,
            }
        ],
    }
    return Prescribed(client="haglund", purpose="office", left=left, right=right)


def _hammer_toes() -> Prescribed:
    foot: Parts = {
        "upper": upper("laced shoe, seam-free vamp", "low", "laces", fastening_count=5),
        "soft_zones": [{"place": "toes", "softness": "stretch"}],
        "stiffener": stiffener("medium", "medium", 45),
        "toe_puff": puff("wall", 10),
        "insole": insole(3.5),
        "cushions": [{"place": "full", "material": "closed-cell polyethylene foam", "thickness_mm": 3}],
        "toe_prop": {"toes": "2-4", "material": "open-cell polyurethane", "height_mm": 6},
        "shank": STEEL_SHANK,
        "sole": sole(MICROCELLULAR, 7, toe_spring_extra_mm=2),
        "heel": heel(22),
    }
    return Prescribed(client="hammer-toes", purpose="everyday", left=foot, right=foot)


def _healed_ulcer() -> Prescribed:
    foot: Parts = {
        "upper": upper("wide-strap boot", "ankle boot", "strap", fastening_count=2, seam_free_lining=True),
        "stiffener": stiffener("medium", "medium", 57),
        "toe_puff": puff("light", 8),
        "insole": insole(4.0, inlay_heel_mm=8, inlay_forepart_mm=8),
        "carbon_zone": carbon(4),
        "shank": STEEL_SHANK,
        "sole": sole("firm rubber", 6),
        "heel": heel(18),
        "rocker": rocker(55, 15),
    }
    return Prescribed(
        client="healed-ulcer",
        purpose="all walking",
        left=foot,
        right=foot,
        remarks="Lining smooth by hand: no seam, no tack.",
    )


def _charcot() -> Prescribed:
    boot = upper(
        "strapped boot", "high boot", "strap", fastening_count=3, opening="wide, to the toe", seam_free_lining=True
    )
    left: Parts = {
        "upper": boot,
        "stiffener": stiffener("long", "long", 62),
        "toe_puff": puff("light", 8),
        "insole": insole(5.0, inlay_heel_mm=8, inlay_forepart_mm=8),
        "shank": STEEL_SHANK,
        "sole": sole("firm rubber", 8),
        "heel": heel(18),
        "rocker": rocker(55, 15),
    }
    right = {
        **left,
        "stiffener": stiffener("long", "long", 62, ankle_high="both", above_malleolus_mm=30),
        "toe_puff": puff("none", 8),
        "insole": insole(5.5, blocked=True, hollowed_beneath="under the cuboid", inlay_heel_mm=6, inlay_forepart_mm=6),
        "carbon_zone": carbon(6),
        "flares": [{"edge": "medial", "width_mm": 5}, {"edge": "lateral", "width_mm": 5}],
    }
    return Prescribed(client="charcot", purpose="all walking", left=left, right=right)


def _leg_length() -> Prescribed:
    boot = upper("laced boot", "ankle boot", "laces", fastening_count=7)
    right: Parts = {
        "upper": boot,
        "stiffener": stiffener("medium", "medium", 56),
        "toe_puff": puff("standard"),
        "insole": insole(4.2),
        "shank": STEEL_SHANK,
        "sole": sole("firm rubber", 5),
        "heel": heel(15),
    }
    left = {
        **right,
        "stiffener": stiffener("medium", "medium", 66, remarks="high back: heel stands 8 mm up"),
        "height_raise": {
            "in_shoe_heel_mm": 8,
            "on_sole_heel_mm": 22,
            "on_sole_ball_mm": 18,
            "on_sole_toe_mm": 8,
            "material": "light EVA",
        },
        "rocker": rocker(55, 12),
    }
    return Prescribed(client="leg-length", purpose="everyday", left=left, right=right)


def _foot_drop() -> Prescribed:
    left: Parts = {
        "upper": upper(
            "boot open to the toes",
            "ankle boot",
            "returning strap",
            fastening_count=2,
            opening="to the toe",
            fastening_hand="left hand; straps pull leftward",
        ),
        "stiffener": stiffener("medium", "medium", 57),
        "toe_puff": puff("light"),
        "insole": insole(4.2),
        "shank": STEEL_SHANK,
        "sole": sole(MICROCELLULAR, 7),
        "heel": heel(16),
    }
    right = {
        **left,
        "stiffener": stiffener("short", "short", 57),
        "sole": sole(MICROCELLULAR, 7, tread="smooth leading edge, rounded toe", toe_spring_extra_mm=4),
    }
    return Prescribed(
        client="foot-drop",
        purpose="everyday",
        left=left,
        right=right,
        weight_limit_g=600,
        foot_fields={"right": {"orthosis_room": "ankle-foot orthosis, worn when measured"}},
    )


def _part_foot() -> Prescribed:
    boot = upper("Derby boot", "high boot", "laces", fastening_count=8)
    left: Parts = {
        "upper": boot,
        # The joints are gone, so nothing can be worked out: as far as on the other foot, a long one.
        "stiffener": stiffener("long", "long", 60, medial_reach_mm=159, lateral_reach_mm=139),
        "toe_puff": {
            "kind": "standard",
            "length_mm": 60,
            "thickness_mm": 2.1,
            "toe_depth_mm": 6,
            "remarks": "firm over the filler; edge nowhere near the cut end",
        },
        "insole": insole(5.0, blocked=True, turn_up_medial_mm=12),
        "carbon_zone": carbon(5),
        "shank": STEEL_SHANK,
        "sole": sole("firm rubber", 6),
        "heel": heel(20),
        "rocker": rocker(50, 15),
    }
    right: Parts = {
        "upper": boot,
        "soft_zones": [{"place": "1st joint", "softness": "softer"}],
        "stiffener": stiffener("medium", "medium", 60),
        "toe_puff": puff("standard"),
        "insole": insole(5.0, blocked=True),
        "shank": STEEL_SHANK,
        "sole": sole("firm rubber", 24),
        "heel": heel(20),
    }
    return Prescribed(
        client="part-foot",
        purpose="everyday",
        left=left,
        right=right,
        foot_fields={
            "left": {"toe_filler": "to full shoe length, soft at the cut end"},
            "right": {"remarks": "outline bulges 18 mm at the big toe joint, medial"},
        },
    )


def _rheumatoid() -> Prescribed:
    foot: Parts = {
        "upper": upper(
            "hand-sewn plug",
            "low",
            "strap",
            fastening_count=1,
            fastening_tab="big tab, 30 mm",
            leather="soft sheep, 1.1 mm",
            seam_free_lining=True,
        ),
        "stiffener": stiffener("short", "short", 42, material="soft belly", thickness_mm=2.0),
        "toe_puff": puff("none", 8),
        "insole": insole(3.0),
        "cushions": [{"place": "full", "material": "open-cell polyurethane", "thickness_mm": 5}],
        "sole": sole("light non-slip rubber", 8),
        "heel": heel(10),
    }
    return Prescribed(
        client="rheumatoid",
        purpose="indoors",
        left=foot,
        right=foot,
        construction="moccasin",
        weight_limit_g=350,
    )


def _adaptation() -> Prescribed:
    lift: Parts = {"in_shoe_heel_mm": 6, "material": "cork"}
    cut_out: Parts = {
        "place": "behind the bump, back of the heel",
        "width_mm": 32,
        "height_mm": 26,
        "above_seat_mm": 28,
        "way": "cut out",
    }
    return Prescribed(
        client="adaptation",
        purpose="everyday walking",
        left={"height_raise": lift},
        right={"height_raise": lift, "reliefs": [cut_out]},
        work="adaptation",
        own_shoe="brown laced walking shoes, his own, two years worn",
    )


PRESCRIPTIONS = (
    _collapsed_arch(),
    _hypermobile(),
    _stiff_big_toe(),
    _metatarsalgia(),
    _haglund(),
    _hammer_toes(),
    _healed_ulcer(),
    _charcot(),
    _leg_length(),
    _foot_drop(),
    _part_foot(),
    _rheumatoid(),
    _adaptation(),
)
