"""What comes in, on and under the insole as pieces of their own."""

import math
from dataclasses import replace
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import shapely

from cases.patterns.drafting.in_the_insole import in_the_insole
from cases.patterns.drafting.insole import insole
from cases.patterns.drafting.pieces import LineKind, Piece
from cases.prescriptions.cut_away.plan import shanks
from cases.prescriptions.shoe import MetatarsalSupport, Shoe
from shared.calculations import BadInput
from shared.sides import SIDES, Side
from tests.patterns.figures import STARTING
from tests.prescriptions.shoes import CARBON, FORM, SHANK, a_bar, a_cushion, a_shoe, a_toe_prop

SCOURED = {"scoured_to_mm": 0.5, "scoured_behind_joint_mm": 12, "scoured_before_toe_mm": 15, "scoured_rim_mm": 11}
NOTHING: dict[str, Any] = {"shank": None, "insole": {"sock": ""}}
DOME = MetatarsalSupport(kind="dome", behind_joint_line_mm=5, height_mm=6, long_mm=None, across_mm=None)


def pieces(shoe: Shoe) -> tuple[Piece, ...]:
    return in_the_insole(shoe, STARTING)


def the_piece(key: str, **changes: Any) -> Piece:
    (piece,) = [each for each in pieces(a_shoe(**changes)) if each.key == key]
    return piece


def place_on_the_insole(words: str, **changes: Any) -> shapely.Polygon:
    whole = insole(a_shoe(**changes), STARTING)
    assert whole is not None
    (line,) = [each for each in whole.lines if each.closed and each.words.startswith(words)]
    return shapely.Polygon(line.points)


def test_where_nothing_is_prescribed_nothing_is_cut() -> None:
    assert pieces(a_shoe(**NOTHING)) == ()


@pytest.mark.parametrize(
    ("key", "changes"),
    [
        ("forepart_cushion", {"cushions": (a_cushion("forepart"),)}),
        ("full_cushion", {"cushions": (a_cushion("full"),)}),
        ("heel_cushion", {"cushions": (a_cushion("heel"),)}),
        ("bar", {"metatarsal_supports": (a_bar(),)}),
        ("dome", {"metatarsal_supports": (DOME,)}),
        ("toe_prop", {"toe_prop": a_toe_prop()}),
        ("rear_doubled", {"insole": {"rear_doubled_mm": 3, "sock": ""}}),
        ("shank", {"shank": SHANK}),
        ("carbon_ply_1", {"carbon_zone": {"plies": 1}}),
        ("sock", {"insole": {"sock": "calf, vegetable-tanned"}}),
    ],
)
def test_each_part_has_its_piece(key: str, changes: dict[str, Any]) -> None:
    assert [each.key for each in pieces(a_shoe(**{**NOTHING, **changes}))] == [key]


def test_a_heel_cushion_is_a_disc_of_the_workshops_diameter() -> None:
    """π × 3 cm × 3 cm = 28.27 cm²; the 60 mm are from memory."""
    cushion = the_piece("heel_cushion", cushions=(a_cushion("heel"),))
    assert cushion.area_cm2 == pytest.approx(28.27, rel=0.002)


def test_a_narrow_heel_keeps_its_rim_round_a_smaller_disc() -> None:
    """52 mm − 4 mm each side: from memory."""
    narrow = replace(FORM, heel_width_mm=52)
    assert dict(the_piece("heel_cushion", form=narrow, cushions=(a_cushion("heel"),)).facts)[
        "diameter"
    ] == pytest.approx(44, abs=0.5)


def test_the_forepart_cushion_fills_the_scoured_zone() -> None:
    changes: dict[str, Any] = {"insole": SCOURED, "cushions": (a_cushion(),)}
    zone = place_on_the_insole("scour", **changes)
    assert the_piece("forepart_cushion", **changes).polygon.symmetric_difference(zone).area < 0.1


def test_a_cushion_of_the_whole_length_ends_short_of_the_feather_edge() -> None:
    cushion = the_piece("full_cushion", cushions=(a_cushion("full"),))
    edge = shapely.Polygon(FORM.outline.points[:, ::-1]).exterior
    assert shapely.distance(edge, shapely.points(cushion.outline)).min() == pytest.approx(5, abs=0.01)


def test_a_zone_of_which_its_rim_leaves_nothing_has_no_cushion_to_be_cut() -> None:
    with pytest.raises(BadInput, match="Forepart cushion is too narrow to be cut"):
        pieces(a_shoe(insole={**SCOURED, "scoured_rim_mm": 60}, cushions=(a_cushion(),)))


def test_a_domes_leading_edge_lies_behind_the_joint_line() -> None:
    """5 mm: a workshop setting, the published sources conflict."""
    shoe = a_shoe(metatarsal_supports=(DOME,))
    dome = np.asarray(place_on_the_insole("dome", metatarsal_supports=(DOME,)).exterior.coords)
    u, v = dome[dome[:, 1].argmax()]
    assert shoe.form.joint_line_mm(float(u)) - float(v) == pytest.approx(5, abs=0.05)


def test_a_dome_is_half_an_ellipse_before_its_widest_and_half_a_longer_one_behind() -> None:
    """π/4 × 4.0 cm × 5.5 cm = 17.28 cm²; 55 × 40 mm from memory."""
    assert the_piece("dome", metatarsal_supports=(DOME,)).area_cm2 == pytest.approx(17.28, rel=0.005)


def test_a_bar_is_a_strip_with_round_ends() -> None:
    """80 % of 100 mm across, 15 mm along: 6.5 × 1.5 + π × 0.75² = 11.52 cm²; sizes from memory."""
    assert the_piece("bar", metatarsal_supports=(a_bar(),)).area_cm2 == pytest.approx(11.52, rel=0.005)


def test_the_crest_of_a_bar_runs_along_the_joint_line() -> None:
    """8 mm behind it, along the foot, at both ends: from memory."""
    shoe = a_shoe(metatarsal_supports=(a_bar(),))
    lies = place_on_the_insole("bar", metatarsal_supports=(a_bar(),))
    middle = np.array(lies.centroid.coords[0])
    box = np.asarray(lies.minimum_rotated_rectangle.exterior.coords)
    sides = np.diff(box, axis=0)
    along = sides[np.hypot(*sides.T).argmax()] / 2
    crest = [middle + part * along for part in (-0.9, 0.0, 0.9)]
    assert [shoe.form.joint_line_mm(u) - v for u, v in crest] == pytest.approx([8, 8, 8], abs=0.2)


@pytest.mark.parametrize("key", ["heel_cushion", "bar", "dome", "shank"])
def test_what_is_alike_to_both_sides_serves_either_foot(key: str) -> None:
    shoe = {"cushions": (a_cushion("heel"),), "metatarsal_supports": (a_bar(), DOME)}
    assert the_piece(key, **shoe).serves == SIDES


@pytest.mark.parametrize("key", ["heel_cushion", "bar", "dome", "shank"])
def test_what_serves_either_foot_equals_its_own_mirror(key: str) -> None:
    piece = the_piece(key, cushions=(a_cushion("heel"),), metatarsal_supports=(a_bar(), DOME))
    turned = shapely.Polygon(piece.outline * [-1, 1])
    assert piece.polygon.symmetric_difference(turned).area < 0.01


def test_a_bar_that_is_cut_back_to_its_foot_serves_that_foot_alone() -> None:
    broad = replace(a_bar(), across_mm=110)
    assert the_piece("bar", side=Side.RIGHT, metatarsal_supports=(broad,)).serves == (Side.RIGHT,)


def test_a_bar_that_is_cut_back_ends_short_of_the_feather_edge() -> None:
    bar = the_piece("bar", metatarsal_supports=(replace(a_bar(), across_mm=110),))
    edge = shapely.Polygon(FORM.outline.points[:, ::-1]).exterior
    assert shapely.distance(edge, shapely.points(bar.outline)).min() == pytest.approx(5, abs=0.01)


def test_a_toe_prop_lies_ahead_of_the_joint_line_and_inside_the_edge() -> None:
    shoe = a_shoe(toe_prop=a_toe_prop())
    prop = the_piece("toe_prop", toe_prop=a_toe_prop())
    ahead = min(v - shoe.form.joint_line_mm(u) for u, v in prop.outline)
    edge = shapely.Polygon(FORM.outline.points[:, ::-1])
    assert (ahead > 0, prop.polygon.within(edge)) == (True, True)


def test_a_prop_under_the_toes_from_the_second_on_leaves_the_big_toe_alone() -> None:
    """The big toe takes a third of what lies between the edges: from memory."""
    all_toes, others = (the_piece("toe_prop", toe_prop=a_toe_prop(toes)).outline[:, 0] for toes in ("1-5", "2-5"))
    assert (others.min(), others.max() < all_toes.max() - 20) == (pytest.approx(all_toes.min(), abs=0.5), True)


def test_the_doubled_rear_ends_along_the_joint_line_and_is_skived_there() -> None:
    """20 mm behind it, skived over 25: from memory."""
    shoe, rear = a_shoe(insole={"rear_doubled_mm": 3}), the_piece("rear_doubled", insole={"rear_doubled_mm": 3})
    (skive,) = [line for line in rear.lines if line.kind is LineKind.SKIVE]
    front = min(shoe.form.joint_line_mm(u) - v for u, v in rear.outline)
    assert [front, *(shoe.form.joint_line_mm(u) - v for u, v in skive.points)] == pytest.approx([20, 45, 45], abs=0.01)


def test_a_doubled_rear_is_half_as_thick_where_it_is_skived() -> None:
    rear = the_piece("rear_doubled", insole={"rear_doubled_mm": 3})
    shoe = a_shoe()
    ahead = [
        (-200, shoe.form.joint_line_mm(-200) - 45),
        (200, shoe.form.joint_line_mm(200) - 45),
        (200, 400),
        (-200, 400),
    ]
    skived = rear.polygon.intersection(shapely.Polygon(ahead)).area / rear.polygon.area
    assert rear.mean_thickness_mm == pytest.approx(3 - 1.5 * skived, abs=0.001)


def test_a_shank_is_cut_to_its_length_and_width() -> None:
    """Its corners are rounded by 3 mm: (4 − π) × 9 mm² less than the plate."""
    shank = the_piece("shank")
    long = dict(shank.facts)["length"]
    assert shank.area_cm2 * 100 == pytest.approx(long * 15 - (4 - math.pi) * 9, rel=0.001)


def test_two_shanks_are_two_of_one_piece() -> None:
    assert the_piece("shank", shank={"count": 2, "width_mm": 10}).count == 2


def test_no_corner_of_a_shank_lies_nearer_to_the_slanting_joint_line_than_its_front_is_said_to() -> None:
    """1st joint at 205, 5th at 178, 100 mm apart, the axis 56 mm from the 5th: 191.1 mm at its lateral edge, less 12."""
    shoe = a_shoe(shank={"front_end_behind_joint_mm": 12})
    (shank,) = shanks(shoe)
    behind = sorted(shoe.form.joint_line_mm(y) - x for x, y in shank.exterior.coords[:-1])
    assert [behind[0], shank.bounds[2]] == pytest.approx([12, 179.1], abs=0.01)


def test_a_shank_that_ends_where_it_begins_is_refused() -> None:
    with pytest.raises(BadInput, match="the shank's length is"):
        pieces(a_shoe(shank={"front_end_behind_joint_mm": 160, "rear_end_in_seat_mm": 40}))


def plies(**changes: Any) -> list[Piece]:
    return [each for each in pieces(a_shoe(carbon_zone=changes or {})) if each.part == "carbon_zone"]


def test_each_ply_is_a_piece_of_its_own() -> None:
    assert [each.key for each in plies()] == [f"carbon_ply_{number}" for number in range(1, 6)]


def test_plies_lie_in_each_other() -> None:
    found = [each.polygon for each in plies()]
    assert [after.within(before.buffer(0.001)) for before, after in pairwise(found)] == [True] * 4


def test_each_ply_is_a_step_shorter_at_both_ends() -> None:
    """8 mm: common practice, no source."""
    ends = [(float(each.outline[:, 1].min()), float(each.outline[:, 1].max())) for each in plies()]
    first, last = ends[0], ends[-1]
    assert [last[0] - first[0], first[1] - last[1]] == pytest.approx([32, 32])


def test_a_ply_ends_before_the_toe_as_far_as_it_is_prescribed() -> None:
    assert FORM.length_mm - plies()[0].outline[:, 1].max() == pytest.approx(12)


@pytest.mark.parametrize(("starts", "at"), [("seat front", 0.24 * 285), ("20 mm behind the joint", 185.0)])
def test_the_longest_ply_begins_where_the_zone_is_said_to_begin(starts: str, at: float) -> None:
    """The front of the seat: 24 % of the length, from memory."""
    assert plies(starts=starts, plies=1)[0].outline[:, 1].min() == pytest.approx(at)


def test_a_ply_keeps_short_of_the_feather_edge() -> None:
    """9 mm: common practice, no source."""
    edge = shapely.Polygon(FORM.outline.points[:, ::-1]).exterior
    assert shapely.distance(edge, shapely.points(plies()[0].outline)).min() == pytest.approx(9, abs=0.01)


def test_a_ply_of_heavier_cloth_is_so_much_thicker() -> None:
    """0.28 mm for 200 g/m², by hand at a fibre volume of 0.40: worked out."""
    assert [each.thickness_mm for each in (*plies(plies=1), *plies(plies=1, cloth_g_m2=300))] == pytest.approx(
        [0.28, 0.42]
    )


def test_plies_of_which_the_steps_leave_nothing_are_refused() -> None:
    with pytest.raises(BadInput, match="the last of 14 carbon plies, each 8 mm shorter at both ends, is 0 mm"):
        pieces(a_shoe(carbon_zone=replace(CARBON, plies=14)))


def sock(words: str) -> Piece:
    return the_piece("sock", insole={"sock": words})


def test_a_whole_sock_is_the_finished_insole() -> None:
    assert sock("full length, leather").area_cm2 == pytest.approx(FORM.outline.area_cm2, rel=0.001)


def test_a_half_sock_ends_behind_the_joints() -> None:
    shoe = a_shoe()
    assert min(shoe.form.joint_line_mm(u) - v for u, v in sock("half, leather").outline) == pytest.approx(5, abs=0.01)


def test_a_heel_sock_ends_in_the_waist() -> None:
    """34 % of the length: from memory."""
    assert sock("heel, leather").outline[:, 1].max() == pytest.approx(0.34 * 285)


def test_no_sock_is_no_piece() -> None:
    assert pieces(a_shoe(shank=None, insole={"sock": "none"})) == ()


@pytest.mark.parametrize(("words", "thick"), [("1.2 mm leather, full", 1.2), ("calf, full", 0.9)])
def test_a_sock_is_as_thick_as_it_is_said_to_be_or_as_the_workshops(words: str, thick: float) -> None:
    """0.9 mm: common practice, no source."""
    assert sock(words).thickness_mm == thick
