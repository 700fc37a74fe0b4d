"""What single notes do in the cases beside their smallest examples."""

from dataclasses import replace

import pytest

from cases.prescriptions.implied import of_foot
from cases.prescriptions.notes import Found, Limits, Wearer, notes_on
from cases.prescriptions.rigidity import Labels
from tests.prescriptions.asking import DIABETIC, LEFT, LIGHT, NOBODY_IN_PARTICULAR, RIGHT, asked, says, wearing
from tests.prescriptions.shoes import SHANK, a_flare, a_relief, a_shoe, a_toe_prop
from tests.prescriptions.stock import WORKSHOP


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


UNSTABLE = ("hypermobility", "ankle_instability", "tibialis_posterior_dysfunction")


@pytest.mark.parametrize("finding", UNSTABLE)
def test_an_unstable_foot_in_a_shoe_without_any_stiffener_is_asked_about(finding: str) -> None:
    assert says("unstable-with-short", asked(a_shoe(stiffener=None), wearing(finding))) == [
        "The foot is recorded as unstable; no stiffener is prescribed."
    ]


def test_a_stiffener_that_reaches_nowhere_is_none_for_an_unstable_foot() -> None:
    none = {"medial_reach": "none", "lateral_reach": "none"}
    assert says("unstable-with-short", asked(a_shoe(stiffener=none), wearing("ankle_instability"))) == [
        "The foot is recorded as unstable; the stiffener is short or missing: medial and lateral."
    ]


def test_the_clients_own_shoe_keeps_its_stiffener_for_an_unstable_foot() -> None:
    own = a_shoe(is_built_here=False, stiffener=None)
    assert says("unstable-with-short", asked(own, wearing("ankle_instability"))) == []


def test_a_steady_foot_without_a_stiffener_is_not_asked_about() -> None:
    assert says("unstable-with-short", asked(a_shoe(stiffener=None), wearing("haglund"))) == []


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
