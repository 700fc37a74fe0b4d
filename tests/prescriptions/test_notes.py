"""Every note fires on its smallest example and is silent on its nearest neighbour, and on the other foot."""

from dataclasses import dataclass, replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.prescriptions.implied import of_foot
from cases.prescriptions.notes import RULES, Found, Limits, Question, Wearer, Weighed, notes_on
from cases.prescriptions.rigidity import Labels
from cases.prescriptions.shoe import Shoe
from shared.sides import Side
from tests.prescriptions.shoes import FORM, ORDINARY, SHANK, a_bar, a_cushion, a_flare, a_relief, a_shoe, a_toe_prop
from tests.prescriptions.stock import WORKSHOP

LEFT, RIGHT = Side.LEFT, Side.RIGHT
DIABETIC = Wearer(diabetes="yes", screening_level=3, screening_months_max=3, review_months=3)


def wearing(*conditions: str | Found, **known: Any) -> Wearer:
    """A person with these findings on the left foot."""
    findings = tuple(each if isinstance(each, Found) else Found(each, LEFT) for each in conditions)
    return Wearer(findings=findings, **known)


NOBODY_IN_PARTICULAR = Wearer()


def asked(shoe: Shoe = ORDINARY, wearer: Wearer = NOBODY_IN_PARTICULAR, **more: Any) -> Question:
    return Question(shoe, wearer, **more)


@dataclass(frozen=True)
class Example:
    """The smallest thing that asks a note, what it then says, and the nearest that does not."""

    rule: str
    asks: Question
    says: str
    silent: Question


MOCCASIN = a_shoe(construction="moccasin")
HAMMER = Found("hammer_toe", LEFT, "toes 2 to 4", "fixed")
FLAT_280 = replace(FORM, length_mm=280, heel_to_joint_mm=202, heel_height_mm=0, toe_spring_mm=15)
"""280 mm, apex 52 %, 20°, 15 mm of spring: the bench expects 34 mm at the apex over a sole that runs out to nothing, and
21 mm at 15°. The sole's own 6 mm come to it."""
LIGHT, HEAVY = Weighed(520, 620, 740), Weighed(620, 730, 860)

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
        asked(a_shoe(rocker={"angle_deg": 20, "apex_percent": 52}, form=FLAT_280)),
        "The sole stands 40 mm thick at the apex (clients refuse above 30). Curved, or lower angle?",
        asked(a_shoe(rocker={"angle_deg": 15, "apex_percent": 52}, form=FLAT_280)),
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


def says(rule: str, question: Question) -> list[str]:
    return [note.sentence for note in RULES[rule].notes(question)]


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


def test_an_ordinary_shoe_for_an_ordinary_foot_asks_nothing() -> None:
    assert notes_on(asked()) == ()


def test_a_shoe_whose_middle_passes_the_limit_only_may_pass_it() -> None:
    question = asked(wearer=Wearer(weight_limit_g=600), weighed=LIGHT)
    assert says("weight-above-limit", question) == [
        "The shoe may pass the client's limit of 600 g: about 620 g, 520-740."
    ]


def test_a_lateral_stiffener_under_a_right_sided_swelling_asks_nothing_on_the_left() -> None:
    wearer = Wearer(findings=(Found("lateral_ankle_swelling", RIGHT),))
    assert says("stiffener-under-swelling", asked(a_shoe(stiffener={"lateral_reach": "long"}), wearer)) == []


def test_a_top_edge_kept_under_the_malleolus_spares_the_swelling() -> None:
    shoe = a_shoe(stiffener={"lateral_reach": "long", "lateral_below_malleolus_mm": 10})
    assert says("stiffener-under-swelling", asked(shoe, wearing("lateral_ankle_swelling"))) == []


def test_a_relief_on_the_other_side_is_no_relief_of_a_lateral_bump() -> None:
    shoe = a_shoe(reliefs=(a_relief(place="medial, above the seat"),))
    wearer = wearing(Found("haglund", LEFT, "back of the heel, lateral"))
    assert len(says("bump-without-relief", asked(shoe, wearer))) == 1


def test_a_chrome_allergy_asks_how_a_lining_was_tanned() -> None:
    shoe = a_shoe(upper={"vamp_lining": "calf leather"})
    assert says("material-against-allergy", asked(shoe, Wearer(allergies=("chrome",)))) == [
        "Allergy to chrome recorded; calf leather: how is it tanned?"
    ]


def test_what_holds_no_chrome_may_hold_what_another_is_allergic_to() -> None:
    linings = {"vamp_lining": "vegetable-tanned goat", "quarter_lining": "cotton"}
    shoe = a_shoe(upper=linings, stiffener=None, toe_puff=None, insole=None)
    assert says("material-against-allergy", asked(shoe, Wearer(allergies=("vegetable tannins",)))) == [
        "Allergy to vegetable tannins recorded; vegetable-tanned goat is prescribed."
    ]


def test_a_raise_and_a_toe_prop_are_asked_about_too() -> None:
    shoe = a_shoe(height_raise={"in_shoe_heel_mm": 6, "material": "cork and latex"}, toe_prop=a_toe_prop())
    said = says("material-against-allergy", asked(shoe, Wearer(allergies=("rubber", "open-cell"))))
    assert said == [
        "Allergy to rubber recorded; cork and latex is prescribed.",
        "Allergy to open-cell recorded; open-cell polyurethane is prescribed.",
    ]


def test_no_review_planned_at_high_risk_is_asked() -> None:
    assert says("review-within-interval", asked(wearer=replace(DIABETIC, review_months=None))) == [
        "Risk 3: no review is planned (within 3 months)."
    ]


def test_a_shank_may_end_anywhere_under_a_forepart_that_does_not_bend() -> None:
    shoe = a_shoe(shank=replace(SHANK, front_end_behind_joint_mm=-10), carbon_zone={}, rocker={})
    assert says("shank-across-bend", asked(shoe)) == []


@pytest.mark.parametrize("angle", [12.0, 15.0, 20.0])
def test_a_rocker_is_as_thick_in_the_note_as_in_what_the_prescription_implies(angle: float) -> None:
    shoe = a_shoe(rocker={"angle_deg": angle}, sole={"thickness_mm": 20})
    (note,) = (each for each in notes_on(asked(shoe)) if each.rule == "rocker-too-thick")
    told = of_foot(shoe, workshop=WORKSHOP).told["rocker_thickness"].sheet.result
    assert note.sentence.startswith(f"The sole stands {told.removesuffix(' at the apex')} thick at the apex")


def asked_rigid(plies: int, wearer: Wearer = NOBODY_IN_PARTICULAR) -> list[str]:
    """What is asked of a rigid forepart that is rigid by its stiffness."""
    shoe = a_shoe(forepart_asked="rigid", rocker={}, carbon_zone={"plies": plies})
    return [note.sentence for note in notes_on(asked(shoe, wearer, forepart=Labels("rigid", "rigid", "rigid")))]


@pytest.mark.parametrize(
    ("plies", "says"), [(3, ["Rigid with 3 plies: under 4 the edge of the zone breaks."]), (4, [])]
)
def test_a_rigid_forepart_of_fewer_plies_than_the_benchs_least_is_asked_about(plies: int, says: list[str]) -> None:
    assert asked_rigid(plies) == says


@pytest.mark.parametrize(
    ("said", "plies", "says"),
    [
        ("104 kg, weighed today", 5, ["Rigid for 104 kg: 6 plies above 95 kg, 5 prescribed."]),
        ("104,5 kg", 5, ["Rigid for 104.5 kg: 6 plies above 95 kg, 5 prescribed."]),
        ("104 kg, weighed today", 6, []),
        ("95 kg", 5, []),
        ("about 16 stone", 5, []),
    ],
)
def test_a_heavy_person_takes_a_ply_more(said: str, plies: int, says: list[str]) -> None:
    assert asked_rigid(plies, wearing(Found("body_weight", None, note=said))) == says


def test_a_rigid_forepart_that_is_asked_without_carbon_needs_a_rocker_as_well() -> None:
    flat = asked(a_shoe(forepart_asked="rigid"), forepart=Labels("rigid", "rigid", "rigid"))
    assert [note.rule for note in notes_on(flat)] == ["rigid-and-flat"]


def test_a_flare_on_both_sides_is_opposite_to_nothing() -> None:
    shoe = a_shoe(flares=(a_flare("medial"), a_flare("lateral")))
    assert says("flare-opposite-lean", asked(shoe, wearing("heel_varus"))) == []


def test_a_limit_the_workshop_changed_is_the_one_that_counts() -> None:
    question = asked(a_shoe(heel={"height_mm": 28}), limits=Limits(heel_to_pitch_difference_mm=6))
    assert says("heel-against-pitch", question) == []


@given(
    st.sets(st.sampled_from(sorted({each.condition for example in EXAMPLES for each in example.asks.wearer.findings}))),
    st.sampled_from([example.asks.shoe for example in EXAMPLES]),
    st.sampled_from(["laces", "strap", "neither", "unknown"]),
)
def test_notes_are_questions_about_one_foot_whatever_is_recorded(found: set[str], shoe: Shoe, hands: str) -> None:
    notes = notes_on(asked(shoe, wearing(*found, hands=hands)))
    assert {note.side for note in notes} <= {LEFT}
