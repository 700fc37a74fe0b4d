"""What a prescription implies, by hand; left as right; and the laws it keeps."""

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.prescriptions.implied import Implied, ImpliedFigures, Promised, implied_of
from cases.prescriptions.rocker import rocker_sole
from cases.prescriptions.shoe import Shoe
from shared.sides import Side
from tests.prescriptions.shoes import FORM, ORDINARY, a_cushion, a_shoe
from tests.prescriptions.stock import WORKSHOP

LEFT, RIGHT = Side.LEFT, Side.RIGHT
NOTHING = Promised()
BARE: dict[str, Any] = {"insole": None, "sole": None, "heel": None, "shank": None}
"""Neither insole nor bottom: what is put on it stands alone."""


def implied(left: Shoe = ORDINARY, right: Shoe | None = None, promised: Promised = NOTHING) -> Implied:
    shoes = {LEFT: left} | ({RIGHT: replace(right, side=RIGHT)} if right else {})
    return implied_of(shoes, workshop=WORKSHOP, promised=promised)


def result(key: str, shoe: Shoe = ORDINARY, promised: Promised = NOTHING) -> str:
    return implied(shoe, promised=promised).feet[LEFT].told[key].sheet.result


def behind(key: str, words: str, shoe: Shoe) -> str:
    """What the sheet behind a figure says under these words."""
    return dict(implied(shoe).feet[LEFT].told[key].sheet.inputs)[words]


def keys(shoe: Shoe) -> set[str]:
    return set(implied(shoe).feet[LEFT].told)


# Heights and pitch ----------------------------------------------------------------------------------------------------


def test_the_height_under_the_joint_is_insole_and_sole() -> None:
    """4.2 + 6 = 10.2 mm."""
    assert result("joint_height") == "10 mm"


def test_the_height_under_the_heel_is_insole_sole_and_heel_down_to_the_ground() -> None:
    """The last's heel stands 22 over its joint, and the joint 10.2 over the ground: 32.2 mm."""
    assert result("heel_height") == "32 mm"


def test_a_raise_is_counted_where_it_is_prescribed() -> None:
    """Joint 10.2 + 10; toe 10.2 + 4."""
    raised = a_shoe(height_raise={"on_sole_heel_mm": 14, "on_sole_ball_mm": 10, "on_sole_toe_mm": 4})
    assert (result("joint_height", raised), result("toe_height", raised)) == ("20 mm", "14 mm")


@pytest.mark.parametrize(
    ("changes", "heel", "joint", "sole_and_heel"),
    [
        ({"height_raise": {"on_sole_heel_mm": 22, "on_sole_ball_mm": 18}}, "54 mm", "28 mm", "28.0 mm"),
        ({"height_raise": {"in_shoe_heel_mm": 8}}, "40 mm", "10 mm", "28.0 mm"),
        ({"heel": {"height_mm": 30}}, "40 mm", "10 mm", "36.0 mm"),
    ],
)
def test_the_heel_stands_on_the_layers_that_are_prescribed(
    changes: dict[str, Any], heel: str, joint: str, sole_and_heel: str
) -> None:
    """Insole 4.2, sole 6, heel 22: 4.2 + 22 + 6 + 22 = 54.2 over a joint at 4.2 + 18 + 6; 8 + 32.2; 4.2 + 6 + 30."""
    shoe = a_shoe(**changes)
    assert (
        result("heel_height", shoe),
        result("joint_height", shoe),
        behind("heel_height", "Sole and heel", shoe),
    ) == (
        heel,
        joint,
        sole_and_heel,
    )


def test_the_pitch_is_heel_over_joint_in_mm_and_degrees() -> None:
    """arctan(22 / 205) = 6.1°."""
    assert result("pitch") == "22 mm, 6° (the last's 22 mm, 6°)"


def test_a_raise_that_is_higher_at_the_heel_steepens_the_pitch() -> None:
    """22 + 8 + 14 − 10 = 34; arctan(34 / 205) = 9.4°; the change arctan(12 / 205) = 3.4°."""
    raised = a_shoe(height_raise={"in_shoe_heel_mm": 8, "on_sole_heel_mm": 14, "on_sole_ball_mm": 10})
    assert (result("pitch", raised), result("raise_pitch", raised)) == (
        "34 mm, 9° (the last's 22 mm, 6°)",
        "12 mm, 3.4°",
    )


def test_a_raise_in_the_shoe_lifts_the_heel_out_of_its_stiffener() -> None:
    """52 − 18."""
    raised = a_shoe(height_raise={"in_shoe_heel_mm": 18})
    assert result("raise_stiffener", raised) == "34 mm, the heel stands 18 mm up in it"


# Rocker ---------------------------------------------------------------------------------------------------------------

FLAT = replace(FORM, length_mm=280, heel_to_joint_mm=202, heel_height_mm=0, toe_spring_mm=15)


def test_a_steep_rocker_is_as_thick_at_its_apex_as_the_bench_expects() -> None:
    """280 mm, apex 52 %, 20°, 15 mm of spring: 134.4 × tan 20° − 15 = 34 mm, and the 5 mm of sole left at the toe."""
    rocker = {"apex_percent": 52, "angle_deg": 20, "curved": False}
    shoe = replace(a_shoe(rocker=rocker, heel=None, sole={"thickness_mm": 5}), form=FLAT)
    assert result("rocker_thickness", shoe) == "39 mm at the apex"


@pytest.mark.parametrize("curved", [False, True])
@pytest.mark.parametrize("angle", [12.0, 15.0, 20.0])
def test_the_rocker_that_is_drawn_is_the_one_the_calculator_works_out(angle: float, *, curved: bool) -> None:
    rocker = {"apex_percent": 52, "angle_deg": angle, "curved": curved}
    shoe = replace(a_shoe(rocker=rocker, heel=None, sole={"thickness_mm": 5}), form=FLAT)
    sole = rocker_sole(
        sole_length_mm=280,
        apex_fraction=0.52,
        rocker_angle_deg=angle,
        heel_to_joint_mm=202,
        heel_height_mm=0,
        toe_spring_mm=15,
        least_mm=5,
        curved=curved,
    )
    found = [behind("rocker_thickness", f"At the {place}", shoe) for place in ("apex", "joint", "toe")]
    assert found == [f"{mm:.0f} mm" for mm in (sole.apex_mm, sole.joint_mm, sole.toe_mm)]


def test_the_toe_lift_of_a_rocker_is_its_chords() -> None:
    """(1 − 0.55) × 285 × tan 15° = 34.4 mm."""
    assert result("rocker_lift", a_shoe(rocker={})) == "34 mm"


def test_a_rocker_is_drawn_and_a_flat_sole_is_not() -> None:
    assert [implied(shoe).feet[LEFT].rocker is None for shoe in (a_shoe(rocker={}), ORDINARY)] == [False, True]


def test_the_sole_of_a_rocker_lies_as_its_medial_side_is_seen() -> None:
    pair = implied(a_shoe(rocker={}), a_shoe(rocker={}))
    lines = {side: foot.rocker for side, foot in pair.feet.items()}
    shown = {
        side: (line.ends, line.upper.split()[0], line.upper.split("L")[-1].split()[0])
        for side, line in lines.items()
        if line
    }
    assert shown == {LEFT: (("heel", "toe"), "M0", "285"), RIGHT: (("toe", "heel"), "M285", "0")}


# Forepart -------------------------------------------------------------------------------------------------------------


def test_five_plies_alone_are_as_stiff_as_a_plate_of_their_thickness() -> None:
    """40 GPa × 82 mm × 1.4³ / 12 = 750,027 N·mm²; / 60 mm × π/180 = 0.218 N·m for each degree."""
    alone = a_shoe(**BARE, carbon_zone={})
    assert (result("rigidity", alone), behind("rigidity", "Stiffness", alone)) == (
        "rigid",
        "about 0.22 N·m for each degree, 0.22-0.22",
    )


def test_an_insole_alone_bends() -> None:
    """50 MPa × 100 mm × 4.2³ / 12 = 30,870 N·mm²; / 60 × π/180 = 0.009; with 20 and 80 MPa 0.004 and 0.014."""
    alone = a_shoe(**{**BARE, "insole": {}})
    assert (result("rigidity", alone), behind("rigidity", "Stiffness", alone)) == (
        "bends",
        "about 0.01 N·m for each degree, 0.00-0.01",
    )


def test_where_the_range_crosses_a_bound_the_label_says_both() -> None:
    assert result("rigidity", ORDINARY) == "bends to firm"


def test_a_rigid_forepart_is_never_given_fewer_plies_than_the_benchs_least() -> None:
    """By stiffness fewer would do; fatigue decides: four."""
    assert result("plies_rigid") == "4 plies"


def asked(label: str, plies: int) -> str:
    """What carbon alone is told where a label is asked."""
    return result("plies_asked", a_shoe(**BARE, forepart_asked=label, carbon_zone={"plies": plies}))


@pytest.mark.parametrize(
    ("label", "plies", "says"),
    [
        ("rigid", 5, "rigid asked: 5 plies, as prescribed"),
        ("rigid", 4, "rigid asked: 5 plies, 4 plies prescribed"),
        ("rigid", 2, "rigid asked: 5 plies, 2 plies prescribed; as prescribed it comes to bends"),
        ("firm", 3, "firm asked: 3 plies, as prescribed"),
        ("firm", 5, "firm asked: 3 plies, 5 plies prescribed; as prescribed it comes to rigid"),
        ("bends", 5, "bends asked: no carbon, 5 plies prescribed; as prescribed it comes to rigid"),
    ],
)
def test_the_label_asked_is_told_with_its_plies_and_what_the_prescribed_ones_come_to(
    label: str, plies: int, says: str
) -> None:
    """40 GPa × 82 mm × (0.28 n)³ / 12 / 60 mm × π/180: 2 plies 0.014, 3 0.047, 4 0.11, 5 0.22 N·m for each degree."""
    assert asked(label, plies) == says


def test_a_label_that_no_carbon_reaches_says_so() -> None:
    never = replace(WORKSHOP, figures=ImpliedFigures(rigidity_rigid_above=1000))
    told = implied_of({LEFT: a_shoe(forepart_asked="rigid")}, workshop=never).feet[LEFT].told
    assert told["plies_asked"].sheet.result.startswith("rigid asked: not reached with 20 plies, no carbon prescribed")


def test_where_a_label_is_asked_the_others_are_not_told() -> None:
    told = keys(a_shoe(forepart_asked="rigid", carbon_zone={}))
    assert [key for key in ("plies_asked", "plies_firm", "plies_rigid") if key in told] == ["plies_asked"]


def test_a_shoe_that_reaches_the_label_by_itself_is_asked_for_no_carbon() -> None:
    board = a_shoe(
        insole={"leather": "leather board", "thickness_mm": 8}, sole={"material": "sole bend"}, forepart_asked="rigid"
    )
    assert result("plies_asked", board) == "rigid asked: no carbon, as prescribed"


def test_a_rigid_shoe_without_carbon_needs_none() -> None:
    board = a_shoe(insole={"leather": "leather board", "thickness_mm": 8}, sole={"material": "sole bend"})
    assert ("plies_rigid" in keys(board), result("rigidity", board)) == (False, "rigid")


def test_a_scoured_insole_bends_more_than_a_whole_one() -> None:
    """The cushion gives way, so the sole bends for itself: 5 MPa × 100 × 6³ / 12 = 9,000 N·mm², 0.003."""
    scoured = a_shoe(insole={"scoured_to_mm": 0.5}, cushions=(a_cushion(),))
    assert result("rigidity", scoured) == "bends"


@given(st.integers(1, 12), st.integers(1, 6))
def test_more_plies_are_never_less_stiff(plies: int, more: int) -> None:
    def middle(count: int) -> float:
        said = behind("rigidity", "Stiffness", a_shoe(carbon_zone={"plies": count}))
        return float(said.removeprefix("about ").split()[0])

    assert middle(plies + more) >= middle(plies)


# Sizes to cut ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "shoe", "size"),
    [
        ("cut_stiffener", ORDINARY, "249 × 65 mm"),
        ("cut_shank", ORDINARY, "154 × 15 mm"),
        ("cut_shank", a_shoe(shank={"count": 2, "width_mm": 10}), "2 of 152 × 10 mm"),
    ],
)
def test_a_part_to_cut_by_hand(key: str, shoe: Shoe, size: str) -> None:
    """Stiffener 133 + 116 along the feather edge, 52 + 13 high. Shank 205 − 25 − 12 long."""
    assert result(key, shoe) == size


def test_an_insole_is_cut_larger_all_round_and_by_what_is_turned_up() -> None:
    """285 + 2 × 9 = 303; the form's greatest width + 18 + 12."""
    plain, turned = (
        result("cut_insole", shoe).removesuffix(" mm").split(" × ")
        for shoe in (ORDINARY, a_shoe(insole={"turn_up_medial_mm": 12}))
    )
    assert (plain[0], turned[0], int(turned[1]) - int(plain[1])) == ("303", "303", 12)


def test_a_wall_puff_is_a_band_of_wall_fade_and_margin() -> None:
    """14 + 12 + 12 = 38 mm high."""
    wall = a_shoe(toe_puff={"kind": "wall", "wall_height_mm": 14})
    assert result("cut_puff", wall).endswith("× 38 mm")


def test_the_scoured_zone_is_as_long_as_it_is_prescribed() -> None:
    """From 12 behind the joint at 205 to 15 before the toe at 285: 193 to 270, 77 mm."""
    scoured = a_shoe(insole={"scoured_to_mm": 0.5, "scoured_behind_joint_mm": 12, "scoured_before_toe_mm": 15})
    assert result("cut_cushion", scoured).startswith("77 ×")


@pytest.mark.parametrize(
    ("key", "without"),
    [
        ("cut_stiffener", {"stiffener": None}),
        ("cut_puff", {"toe_puff": {"kind": "none"}}),
        ("cut_insole", {"insole": None}),
        ("cut_shank", {"shank": None}),
        ("cut_cushion", {}),
        ("cut_carbon", {}),
        ("rocker_lift", {}),
        ("raise_pitch", {}),
    ],
)
def test_what_is_not_prescribed_is_not_worked_out(key: str, without: dict[str, Any]) -> None:
    assert key not in keys(a_shoe(**without))


# Left and right, promises ---------------------------------------------------------------------------------------------


def test_the_same_shoe_on_the_other_foot_implies_the_same() -> None:
    pair = implied(a_shoe(rocker={}, carbon_zone={}), a_shoe(rocker={}, carbon_zone={}))
    assert pair.feet[LEFT].told == pair.feet[RIGHT].told


def test_what_differs_left_to_right_is_marked_and_nothing_else() -> None:
    """A shank 1 mm longer on the LEFT is heavier by 0.1 g: too little to be told."""
    pair = implied(a_shoe(shank={"front_end_behind_joint_mm": 11}), ORDINARY)
    assert [row.key for group in pair.groups for row in group.rows if row.differs] == ["cut_shank"]


def test_a_single_shoe_differs_from_nothing() -> None:
    assert [row.key for group in implied().groups for row in group.rows if row.differs] == []


@pytest.mark.parametrize(
    ("limit", "says"),
    [
        (300, ("LEFT: passes the 300 g that the client was promised",)),
        (440, ("LEFT: may pass the 440 g that the client was promised",)),
        (480, ()),
    ],
)
def test_a_limit_of_weight_is_passed_only_where_the_low_end_passes_it(limit: float, says: tuple[str, ...]) -> None:
    """The ordinary shoe: about 460 g, 380-550."""
    assert implied(promised=Promised(weight_limit_g=limit)).passed == says


@pytest.mark.parametrize(
    ("limit", "says"), [(20, ("LEFT: heel 22 mm passes the 20 mm that the client was promised",)), (22, ())]
)
def test_a_heel_above_the_promise_is_told(limit: float, says: tuple[str, ...]) -> None:
    assert implied(promised=Promised(heel_limit_mm=limit)).passed == says


def test_a_foot_that_cannot_be_drawn_says_why_and_the_other_is_worked_out() -> None:
    pair = implied(replace(ORDINARY, form=replace(FORM, length_mm=40)), ORDINARY)
    assert (list(pair.feet), list(pair.cannot)) == ([RIGHT], [LEFT])


def test_every_figure_says_its_source_and_has_inputs() -> None:
    everything = a_shoe(
        rocker={},
        carbon_zone={},
        height_raise={"in_shoe_heel_mm": 5, "on_sole_ball_mm": 3},
        insole={"scoured_to_mm": 1},
    )
    told = implied(everything).feet[LEFT].told
    assert [key for key, each in told.items() if not (each.sheet.source and each.sheet.inputs)] == []
