"""Twelve prescriptions of twelve people, all invented: each foot's whole shoe, from collapsed arch to indoor moccasin.

And two of other kinds: a moccasin for outdoors, the adaptation of a client's own shoe.
"""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from cases.lasts.outline import Bulge
from cases.prescriptions.shoe import (
    Flare,
    MetatarsalSupport,
    Relief,
    Shoe,
    Wedge,
)
from shared.sides import Side
from tests.prescriptions.on_a_last import (
    BOOT_BACK_MM,
    HIGH_BACK_MM,
    TWO_SHANKS,
    Pair,
    a_last,
    blocked,
    carbon,
    cushion,
    insole,
    lifted,
    pair,
    puff,
    rocker,
    shoe,
    stiffener,
    upper,
)

# The twelve ----------------------------------------------------------------------------------------------------------


def collapsed_arch() -> Pair:
    last = a_last(101, 270, heel_mm=20)
    boot = upper("strapped boot", "ankle boot", "returning strap", 2, collar_padding_mm=10)
    sole = {"material": "microcellular rubber soling"}
    common = {"upper": boot, "toe_puff": puff(last, "standard")}
    left = shoe(
        last,
        stiffener=stiffener(last, "long", "short", back_mm=BOOT_BACK_MM, lateral_below_malleolus_mm=10),
        insole=blocked(turn_up_medial_mm=18, posting_rear_medial_deg=4),
        flares=(Flare("medial", 4),),
        sole=sole,
        heel={"height_mm": 20, "extended_medial_mm": 15},
        **common,
    )
    right = shoe(
        last,
        stiffener=stiffener(last, "medium", "medium", back_mm=BOOT_BACK_MM),
        insole=blocked(turn_up_medial_mm=8),
        sole=sole,
        heel={"height_mm": 20},
        **common,
    )
    return pair(left, right)


def hypermobility() -> Pair:
    last = a_last(102, 255, heel_mm=18)
    each = shoe(
        last,
        upper=upper("laced boot", "ankle boot", "laces", 7, tongue="firm tongue"),
        stiffener=stiffener(last, "long", "long", back_mm=BOOT_BACK_MM, thinned_to_mm=2.0),
        toe_puff=puff(last, "light"),
        insole=blocked(finished_heel_mm=4.5, finished_waist_mm=4.5, finished_forepart_mm=4.5),
        sole={"material": "solid rubber soling", "thickness_mm": 6},
        heel={"height_mm": 18},
    )
    return pair(each, each)


def stiff_big_toe() -> Pair:
    last = a_last(103, 285, heel_mm=20)
    common: dict[str, Any] = {
        "upper": upper("Derby", "low", "laces", 4),
        "stiffener": stiffener(last, "medium", "medium"),
        "toe_puff": puff(last, "light", toe_depth_mm=8),
        "rocker": rocker(55, 15),
        "sole": {"material": "microcellular rubber soling", "thickness_mm": 6},
        "heel": {"height_mm": 20},
    }
    left = shoe(last, insole=insole(), **common)
    right = shoe(last, insole=insole(rear_doubled_mm=3), carbon_zone=carbon(5), **common)
    return pair(left, right)


def metatarsalgia() -> Pair:
    last = a_last(104, 250, heel_mm=20)
    common: dict[str, Any] = {
        "upper": upper("strap shoe", "low", "strap", 1),
        "stiffener": stiffener(last, "short", "short"),
        "toe_puff": puff(last, "standard"),
        "insole": insole(
            thickness_mm=3.2,
            scoured_to_mm=0.5,
            scoured_behind_joint_mm=12,
            scoured_before_toe_mm=15,
            scoured_rim_mm=11,
            rear_doubled_mm=3,
        ),
        "cushions": (cushion("forepart", 4),),
        "shank": TWO_SHANKS,
        "rocker": rocker(60, 12),
        "sole": {"material": "EVA medium", "thickness_mm": 6},
        "heel": {"height_mm": 20},
    }
    bar = MetatarsalSupport(kind="bar", behind_joint_line_mm=8, height_mm=6, long_mm=15, across_mm=None)
    dome = MetatarsalSupport(kind="dome", behind_joint_line_mm=5, height_mm=6, long_mm=55, across_mm=40)
    return pair(shoe(last, metatarsal_supports=(bar,), **common), shoe(last, metatarsal_supports=(dome,), **common))


def bump_at_the_heel() -> Pair:
    last = a_last(105, 285, heel_mm=22)
    common: dict[str, Any] = {
        "upper": upper("Derby", "low", "laces", 4, collar_padding_mm=6),
        "stiffener": stiffener(last, "medium", "medium"),
        "toe_puff": puff(last, "standard"),
        "insole": insole(),
        "height_raise": lifted(in_shoe_heel_mm=6, material="cork sheet"),
        "sole": {"material": "solid rubber soling", "thickness_mm": 5},
        "heel": {"height_mm": 22},
    }
    bump = Relief("back of the heel", 34, 26, 30, "thinned", 0.8)
    return pair(shoe(last, **common), shoe(last, reliefs=(bump,), **common))


def hammer_toes() -> Pair:
    last = a_last(106, 265, heel_mm=22, toe_spring_mm=14)
    each = shoe(
        last,
        upper=upper("Derby, vamp without a seam", "low", "laces", 4, seam_free_lining=True),
        stiffener=stiffener(last, "medium", "medium"),
        toe_puff=puff(last, "wall", wall_height_mm=14, toe_depth_mm=10),
        insole=insole(thickness_mm=3.5),
        cushions=(cushion("full", 3),),
        sole={"material": "microcellular rubber soling", "thickness_mm": 6},
        heel={"height_mm": 22},
    )
    return pair(each, each)


def loss_of_sensation() -> Pair:
    last = a_last(107, 290, heel_mm=18)
    each = shoe(
        last,
        upper=upper("boot with a wide strap", "ankle boot", "strap", 2, seam_free_lining=True),
        stiffener=stiffener(last, "medium", "medium", back_mm=BOOT_BACK_MM),
        toe_puff=puff(last, "light", toe_depth_mm=8),
        insole=insole(inlay_heel_mm=8, inlay_forepart_mm=8),
        carbon_zone=carbon(4),
        rocker=rocker(55, 15),
        sole={"material": "solid rubber soling", "thickness_mm": 6},
        heel={"height_mm": 18},
    )
    return pair(each, each)


def charcot() -> Pair:
    left_last = a_last(108, 280, heel_mm=15)
    right_last = a_last(109, 278, heel_mm=15, joint_width_mm=108, heel_width_mm=76, toe_spring_mm=15)
    common: dict[str, Any] = {
        "upper": upper("boot that opens to the toes", "high boot", "laces", 10, seam_free_lining=True),
        "rocker": rocker(55, 15),
        "sole": {"material": "EVA firm", "thickness_mm": 8},
        "heel": {"height_mm": 15},
    }
    left = shoe(
        left_last,
        stiffener=stiffener(left_last, "long", "long", back_mm=BOOT_BACK_MM),
        toe_puff=puff(left_last, "light", toe_depth_mm=8),
        insole=blocked(),
        height_raise=lifted(on_sole_heel_mm=5, on_sole_ball_mm=5, on_sole_toe_mm=3),
        **common,
    )
    right = shoe(
        right_last,
        stiffener=stiffener(right_last, "long", "long", back_mm=BOOT_BACK_MM, ankle_high="both", above_malleolus_mm=30),
        toe_puff=puff(right_last, "none"),
        insole=blocked(thickness_mm=6, hollowed_beneath="under the cuboid"),
        carbon_zone=carbon(6),
        flares=(Flare("medial", 5), Flare("lateral", 5)),
        **common,
    )
    return pair(left, right)


def shorter_leg() -> Pair:
    last = a_last(110, 275, heel_mm=20)
    boot = upper("laced boot", "ankle boot", "laces", 6)
    left = shoe(
        last,
        upper=boot,
        stiffener=stiffener(last, "medium", "medium", back_mm=HIGH_BACK_MM),
        toe_puff=puff(last, "standard"),
        insole=insole(),
        height_raise=lifted(
            in_shoe_heel_mm=8, on_sole_heel_mm=22, on_sole_ball_mm=18, on_sole_toe_mm=8, material="EVA soft"
        ),
        rocker=rocker(55, 12),
        sole={"material": "microcellular rubber soling", "thickness_mm": 4},
        heel={"height_mm": 20},
    )
    right = shoe(
        last,
        upper=boot,
        stiffener=stiffener(last, "medium", "medium", back_mm=HIGH_BACK_MM),
        toe_puff=puff(last, "standard"),
        insole=insole(),
        sole={"material": "microcellular rubber soling", "thickness_mm": 4},
        heel={"height_mm": 20},
    )
    return pair(left, right)


def foot_drop() -> Pair:
    left_last, right_last = a_last(111, 280, heel_mm=18), a_last(112, 290, heel_mm=18, joint_width_mm=108)
    boot = upper(
        "boot that opens wide",
        "ankle boot",
        "returning strap",
        2,
        fastening_hand="left hand alone, pulled leftward",
    )
    sole = {"material": "EVA medium", "thickness_mm": 6}
    left = shoe(
        left_last,
        upper=boot,
        stiffener=stiffener(left_last, "medium", "medium", back_mm=BOOT_BACK_MM),
        toe_puff=puff(left_last, "standard"),
        insole=insole(),
        sole=sole,
        heel={"height_mm": 18},
    )
    right = shoe(
        right_last,
        upper=boot,
        orthosis_room="ankle-foot orthosis, measured with it on",
        stiffener=stiffener(right_last, "short", "short", back_mm=BOOT_BACK_MM),
        toe_puff=puff(right_last, "light"),
        insole=insole(),
        sole={**sole, "toe_spring_extra_mm": 4, "leading_edge": "smooth, rounded"},
        heel={"height_mm": 18},
    )
    return pair(left, right)


def forefoot_lost() -> Pair:
    left_last = a_last(113, 280, heel_mm=20)
    joint = left_last.heel_to_joint_mm
    right_last = a_last(114, 280, heel_mm=20, bulges=(Bulge(True, joint, 70, 18),), joint_width_mm=112)
    boot = upper("laced boot", "high boot", "laces", 9)
    sole = {"material": "microcellular rubber soling", "thickness_mm": 8}
    left = shoe(
        left_last,
        upper=boot,
        toe_filler="cork, soft at the cut end, 75 mm from the tip",
        stiffener=stiffener(left_last, "long", "long", back_mm=BOOT_BACK_MM),
        toe_puff=puff(left_last, "standard"),
        insole=blocked(),
        carbon_zone=carbon(5),
        rocker=rocker(50, 15),
        sole=sole,
        heel={"height_mm": 20},
    )
    right = shoe(
        right_last,
        upper=boot,
        stiffener=stiffener(right_last, "medium", "medium", back_mm=BOOT_BACK_MM),
        toe_puff=puff(right_last, "standard"),
        insole=blocked(),
        height_raise=lifted(on_sole_heel_mm=8, on_sole_ball_mm=8, on_sole_toe_mm=4),
        sole=sole,
        heel={"height_mm": 20},
    )
    return pair(left, right)


def indoor_moccasin() -> Pair:
    last = a_last(115, 245, heel_mm=10)
    each = shoe(
        last,
        construction="moccasin",
        upper=upper("moccasin, big tab", "low", "strap", 1, seam_free_lining=True),
        stiffener=stiffener(last, "short", "short", thickness_mm=2.0, material="soft leather"),
        toe_puff=puff(last, "none"),
        insole=insole(thickness_mm=3),
        cushions=(cushion("full", 5),),
        shank=None,
        sole={"material": "EVA medium", "thickness_mm": 8, "tread": "non-slip"},
        heel={"height_mm": 10},
    )
    return pair(each, each)


# Of other kinds ------------------------------------------------------------------------------------------------------


def outdoor_moccasin() -> Pair:
    """A flexible flat foot LEFT, a tender outer ankle RIGHT: different reaches, a medial wedge, a shank."""
    last = a_last(116, 268, heel_mm=15)
    common: dict[str, Any] = {
        "construction": "moccasin",
        "upper": upper("moccasin", "low", "laces", 3),
        "toe_puff": puff(last, "none"),
        "insole": insole(thickness_mm=3.5, turn_up_medial_mm=10, turn_up_lateral_mm=6),
        "cushions": (cushion("heel", 4),),
        "sole": {"material": "polyurethane soling", "thickness_mm": 6, "tread": "ribbed"},
        "heel": {"height_mm": 15},
    }
    left = shoe(last, stiffener=stiffener(last, "long", "short"), wedges=(Wedge("heel", "medial", 4),), **common)
    right = shoe(last, stiffener=stiffener(last, "medium", "none"), **common)
    return pair(left, right)


def own_walking_shoe() -> Pair:
    """Only what is changed is prescribed: RIGHT opened behind the bump, both lifted 6 mm in the shoe."""
    last = a_last(117, 285, heel_mm=22, drawn_from="the measures of 3 Nov 2026", is_agreed=False)
    each = Shoe(
        side=Side.LEFT, construction="", form=last, height_raise=lifted(in_shoe_heel_mm=6, material="cork sheet")
    )
    opened = replace(each, reliefs=(Relief("back of the heel", 34, 26, 30, "cut out", None),))
    return {Side.LEFT: each, Side.RIGHT: replace(opened, side=Side.RIGHT)}


TWELVE: Mapping[str, Pair] = {
    "01-collapsed-arch": collapsed_arch(),
    "02-hypermobility": hypermobility(),
    "03-stiff-big-toe": stiff_big_toe(),
    "04-metatarsalgia": metatarsalgia(),
    "05-bump-at-the-heel": bump_at_the_heel(),
    "06-hammer-toes": hammer_toes(),
    "07-loss-of-sensation": loss_of_sensation(),
    "08-charcot": charcot(),
    "09-shorter-leg": shorter_leg(),
    "10-foot-drop": foot_drop(),
    "11-forefoot-lost": forefoot_lost(),
    "12-indoor-moccasin": indoor_moccasin(),
}
OTHERS: Mapping[str, Pair] = {
    "13-outdoor-moccasin": outdoor_moccasin(),
    "14-own-walking-shoe": own_walking_shoe(),
}
