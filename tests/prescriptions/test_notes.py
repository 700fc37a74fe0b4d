"""Every note fires on its smallest example and is silent on its nearest neighbour, and on the other foot."""

from dataclasses import dataclass, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.prescriptions.notes import RULES, Found, Question, Wearer, notes_on
from cases.prescriptions.rigidity import Labels
from cases.prescriptions.shoe import Shoe
from shared.workings import Status
from tests.prescriptions.asking import (
    DIABETIC,
    FLAT_280,
    HEAVY,
    LEFT,
    LIGHT,
    RIGHT,
    asked,
    says,
    wearing,
)
from tests.prescriptions.shoes import a_bar, a_cushion, a_flare, a_relief, a_shoe


@dataclass(frozen=True)
class Example:
    """The smallest thing that asks a note, what it then says, and the nearest that does not."""

    rule: str
    asks: Question
    says: str
    silent: Question


MOCCASIN = a_shoe(construction="moccasin")

HAMMER = Found("hammer_toe", LEFT, "toes 2 to 4", "fixed")


EXAMPLES = (
    Example(
        "open-wound",
        asked(wearer=wearing("open_wound")),
        "Open wound recorded: footwear does not treat it. Refer.",
        asked(wearer=wearing("healed_ulcer")),
    ),
    Example(
        "hands-and-laces",
        asked(wearer=wearing(hands="strap")),
        "Recorded hands cannot tie laces: strap, elastic, or who closes it?",
        asked(wearer=wearing(Found("who_dresses", None, note="partner"), hands="strap")),
    ),
    Example(
        "hands-and-straps",
        asked(a_shoe(upper={"fastening": "strap"}), wearing(hands="neither")),
        "Recorded hands close no strap: elastic, zip, or who closes it?",
        asked(a_shoe(upper={"fastening": "strap"}), wearing(hands="strap")),
    ),
    Example(
        "weight-above-limit",
        asked(wearer=Wearer(weight_limit_g=500), weighed=LIGHT),
        "The shoe passes the client's limit of 500 g: about 620 g, 520-740.",
        asked(wearer=Wearer(weight_limit_g=650), weighed=LIGHT),
    ),
    Example(
        "left-heavier-than-right",
        asked(weighed=HEAVY, fellow_weighed=LIGHT),
        "About 110 g heavier than the other shoe. Meant?",
        asked(weighed=HEAVY, fellow_weighed=replace(LIGHT, middle_g=650)),
    ),
    Example(
        "material-against-allergy",
        asked(a_shoe(sole={"material": "microcellular rubber"}), Wearer(allergies=("rubber accelerators",))),
        "Allergy to rubber accelerators recorded; microcellular rubber is prescribed.",
        asked(a_shoe(sole={"material": "polyurethane"}), Wearer(allergies=("rubber accelerators",))),
    ),
    Example(
        "review-within-interval",
        asked(wearer=replace(DIABETIC, review_months=12)),
        "Risk 3: review planned after 12 months, within 3 is advised.",
        asked(wearer=replace(DIABETIC, review_months=12, diabetes="no")),
    ),
    Example(
        "wear-in-too-fast",
        asked(wearer=wearing("loss_of_protective_sensation", wear_in="ordinary")),
        "Loss of protective sensation recorded; the wear-in that is planned is not the slow one.",
        asked(wearer=wearing("loss_of_protective_sensation", wear_in="loss-of-sensation")),
    ),
    Example(
        "stiffener-under-swelling",
        asked(a_shoe(stiffener={"lateral_reach": "long"}), wearing("lateral_ankle_swelling")),
        "Lateral swelling recorded; the stiffener reaches under it (long).",
        asked(a_shoe(stiffener={"lateral_reach": "short"}), wearing("lateral_ankle_swelling")),
    ),
    Example(
        "bump-without-relief",
        asked(wearer=wearing("haglund")),
        "Bump at the back of the heel recorded; the stiffener has no relief there.",
        asked(a_shoe(reliefs=(a_relief(),)), wearing("haglund")),
    ),
    Example(
        "hard-puff-over-bent-toes",
        asked(a_shoe(toe_puff={"toe_depth_mm": 8}), wearing(HAMMER)),
        "A standard puff over fixed toes. Wall puff, or none?",
        asked(a_shoe(toe_puff={"toe_depth_mm": 8, "kind": "wall"}), wearing(HAMMER)),
    ),
    Example(
        "too-little-toe-depth",
        asked(a_shoe(toe_puff={"toe_depth_mm": 7.5, "kind": "wall"}), wearing(HAMMER)),
        "Toe depth +7.5 mm over the highest toe; with bent toes +8 mm or more.",
        asked(a_shoe(toe_puff={"toe_depth_mm": 8, "kind": "wall"}), wearing(HAMMER)),
    ),
    Example(
        "moccasin-with-puff",
        asked(MOCCASIN),
        "A moccasin carries no puff; standard is prescribed.",
        asked(replace(MOCCASIN, toe_puff=replace(MOCCASIN.toe_puff, kind="none"))),  # type: ignore[type-var]
    ),
    Example(
        "steel-cap",
        asked(a_shoe(toe_puff={"kind": "steel"})),
        "A fitted steel cap is not certified protection: has the client been told?",
        asked(a_shoe(toe_puff={"kind": "wall"})),
    ),
    Example(
        "low-cut-gapes",
        asked(a_shoe(stiffener={"medial_reach": "short", "lateral_reach": "short"})),
        "A low shoe with short stiffeners on both sides gapes.",
        asked(a_shoe(stiffener={"medial_reach": "medium", "lateral_reach": "short"})),
    ),
    Example(
        "unstable-with-short",
        asked(a_shoe(stiffener={"lateral_reach": "short"}), Wearer(findings=(Found("hypermobility"),))),
        "The foot is recorded as unstable; the stiffener is short or missing: lateral.",
        asked(a_shoe(stiffener={"lateral_reach": "medium"}), Wearer(findings=(Found("hypermobility"),))),
    ),
    Example(
        "heel-out-of-stiffener",
        asked(a_shoe(height_raise={"in_shoe_heel_mm": 18}, stiffener={"back_height_mm": 50})),
        "The heel stands 18 mm up; 32 mm of stiffener left behind it (advised 40). "
        "Boot, higher back, or raise on the sole?",
        asked(a_shoe(height_raise={"in_shoe_heel_mm": 10}, stiffener={"back_height_mm": 50})),
    ),
    Example(
        "shank-across-bend",
        asked(a_shoe(shank={"front_end_behind_joint_mm": -10})),
        "The shank ends 10 mm ahead of the joint, across the bend of a forepart that bends: it will break or hurt.",
        asked(a_shoe(shank={"front_end_behind_joint_mm": 8})),
    ),
    Example(
        "seam-over-no-sensation",
        asked(wearer=wearing("loss_of_protective_sensation")),
        "Loss of protective sensation recorded; the lining has seams over the foot.",
        asked(a_shoe(upper={"seam_free_lining": True}), wearing("loss_of_protective_sensation")),
    ),
    Example(
        "forefoot-pain-unrelieved",
        asked(a_shoe(cushions=(a_cushion("heel"),)), wearing("metatarsalgia")),
        "Forefoot pain recorded; no cushion, bar, dome or rocker is prescribed.",
        asked(a_shoe(metatarsal_supports=(a_bar(),)), wearing("metatarsalgia")),
    ),
    Example(
        "rigid-and-flat",
        asked(a_shoe(carbon_zone={})),
        "Rigid forefoot and a flat sole: the foot cannot roll. Rocker intended?",
        asked(a_shoe(carbon_zone={}, rocker={})),
    ),
    Example(
        "forepart-not-as-asked",
        asked(a_shoe(forepart_asked="rigid", rocker={}), forepart=Labels("bends", "bends", "firm")),
        "Rigid is asked of the forepart; without carbon it comes to bends to firm.",
        asked(a_shoe(forepart_asked="rigid", rocker={}), forepart=Labels("firm", "firm", "rigid")),
    ),
    Example(
        "rocker-that-bends",
        asked(a_shoe(rocker={})),
        "Rocker on a sole that bends: stiffen the forepart, or is the same height for gait meant?",
        asked(a_shoe(rocker={}, carbon_zone={})),
    ),
    Example(
        "stiff-toe-without-either",
        asked(wearer=wearing("hallux_rigidus")),
        "Stiff big toe recorded; neither rocker nor stiff forepart is prescribed.",
        asked(a_shoe(rocker={}), wearing("hallux_rigidus")),
    ),
    Example(
        "rocker-band",
        asked(a_shoe(rocker={"angle_deg": 12})),
        "Rocker angle 12°: the papers' lie within 15 to 20°.",
        asked(a_shoe(rocker={"angle_deg": 15})),
    ),
    Example(
        "rocker-too-thick",
        asked(a_shoe(rocker={"angle_deg": 20, "apex_percent": 52}, form=FLAT_280, heel={"height_mm": 0})),
        "The sole stands 40 mm thick at the apex (clients refuse above 30). Curved, or lower angle?",
        asked(a_shoe(rocker={"angle_deg": 15, "apex_percent": 52}, form=FLAT_280, heel={"height_mm": 0})),
    ),
    Example(
        "rocker-and-falls",
        asked(a_shoe(rocker={}, heel={"cushion_heel": True}), Wearer(findings=(Found("falls"),))),
        "Rocker and soft heel can unsettle a person who falls. Try on the flat, wide base, lower angle?",
        asked(a_shoe(rocker={}), Wearer(findings=(Found("falls"),))),
    ),
    Example(
        "heel-against-pitch",
        asked(a_shoe(heel={"height_mm": 28})),
        "The last does not sit: heel 6 mm higher. New pitch or new last?",
        asked(a_shoe(heel={"height_mm": 27})),
    ),
    Example(
        "heel-at-risk",
        asked(a_shoe(heel={"height_mm": 21}), DIABETIC),
        "Heel 21 mm; at moderate or high risk 20 mm at most is advised.",
        asked(a_shoe(heel={"height_mm": 20}), DIABETIC),
    ),
    Example(
        "heel-above-promise",
        asked(wearer=Wearer(heel_limit_mm=20)),
        "Heel 22 mm; the client was promised 20 mm at most.",
        asked(wearer=Wearer(heel_limit_mm=22)),
    ),
    Example(
        "apparent-without-method",
        asked(
            a_shoe(height_raise={"on_sole_heel_mm": 25}),
            wearing(Found("leg_length_apparent", LEFT, note="about 40 mm")),
        ),
        "How was the difference measured? Apparent length may be pelvic: confirm before building.",
        asked(
            a_shoe(height_raise={"on_sole_heel_mm": 25}),
            wearing(Found("leg_length_apparent", LEFT, note="40 mm, standing on blocks")),
        ),
    ),
    Example(
        "flare-opposite-lean",
        asked(a_shoe(flares=(a_flare("medial"),)), wearing("heel_varus")),
        "Medial flare on the side opposite to the lean; side intended?",
        asked(a_shoe(flares=(a_flare("lateral"),)), wearing("heel_varus")),
    ),
)

EACH = pytest.mark.parametrize("example", EXAMPLES, ids=[example.rule for example in EXAMPLES])


def test_every_rule_has_its_example() -> None:
    assert [example.rule for example in EXAMPLES] == list(RULES)


@EACH
def test_a_note_asks_on_its_smallest_example(example: Example) -> None:
    assert says(example.rule, example.asks) == [example.says]


@EACH
def test_a_note_is_silent_on_its_nearest_neighbour(example: Example) -> None:
    assert says(example.rule, example.silent) == []


FROM_A_FINDING = [each for each in EXAMPLES if any(found.side is LEFT for found in each.asks.wearer.findings)]


@pytest.mark.parametrize("example", FROM_A_FINDING, ids=[example.rule for example in FROM_A_FINDING])
def test_a_finding_on_the_left_foot_asks_nothing_of_the_right_one(example: Example) -> None:
    moved = replace(example.asks, shoe=replace(example.asks.shoe, side=RIGHT))
    assert says(example.rule, moved) == []


@EACH
def test_a_note_says_why_and_how_far_it_may_be_trusted(example: Example) -> None:
    note = next(iter(RULES[example.rule].notes(example.asks)))
    assert (note.side, bool(note.reason), bool(note.source)) == (LEFT, True, True)


@EACH
def test_a_rule_that_is_switched_off_asks_nothing(example: Example) -> None:
    rules = {note.rule for note in notes_on(example.asks, switched_off={example.rule})}
    assert example.rule not in rules


def test_what_is_called_published_was_not_put_down_from_memory() -> None:
    assert [
        rule.key for rule in RULES.values() if rule.status is Status.PUBLISHED and "from memory" in rule.source
    ] == []


def test_an_ordinary_shoe_for_an_ordinary_foot_asks_nothing() -> None:
    assert notes_on(asked()) == ()


@given(
    st.sets(st.sampled_from(sorted({each.condition for example in EXAMPLES for each in example.asks.wearer.findings}))),
    st.sampled_from([example.asks.shoe for example in EXAMPLES]),
    st.sampled_from(["laces", "strap", "neither", "unknown"]),
)
def test_notes_are_questions_about_one_foot_whatever_is_recorded(found: set[str], shoe: Shoe, hands: str) -> None:
    notes = notes_on(asked(shoe, wearing(*found, hands=hands)))
    assert {note.side for note in notes} <= {LEFT}
