"""The insole: its two lines, its turn-ups, what is marked on it, what stands on it in words."""

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely

from cases.lasts.outline import Bulge
from cases.patterns.drafting.insole import insole
from cases.patterns.drafting.pieces import Line, LineKind, Piece, on_paper
from cases.prescriptions.cut_away.above import view_from_above
from cases.prescriptions.cut_away.plan import turned_up
from cases.prescriptions.shoe import Form, Shoe
from shared.sides import Edge, Side
from tests.patterns.figures import STARTING
from tests.prescriptions.shoes import FORM, a_bar, a_cushion, a_shoe

# The trade's terms: cut full by 9 mm is common practice, no source; everything else here is geometry.
CUT_FULL_MM = 9.0
BULGED = replace(FORM, joint_width_mm=112, bulges=(Bulge(True, 205, 70, 18),))
STUMP = replace(FORM, length_mm=185, heel_to_joint_mm=140, heel_to_fifth_mm=125, is_partial=True)
CHILD = replace(
    FORM,
    length_mm=160,
    joint_width_mm=62,
    heel_width_mm=44,
    heel_to_joint_mm=115,
    heel_to_fifth_mm=100,
    heel_height_mm=5,
)
FORMS = {"ordinary": FORM, "bulge of 18 mm": BULGED, "partial foot": STUMP, "child": CHILD}
every_form = pytest.mark.parametrize("form", FORMS.values(), ids=FORMS)


def drafted(**changes: Any) -> Piece:
    return of(a_shoe(**changes))


def of(shoe: Shoe) -> Piece:
    piece = insole(shoe, STARTING)
    assert piece is not None
    return piece


def lines(piece: Piece, kind: LineKind, words: str = "") -> list[Line]:
    return [line for line in piece.lines if line.kind is kind and words in line.words]


def the_line(piece: Piece, kind: LineKind, words: str = "") -> Line:
    (line,) = lines(piece, kind, words)
    return line


def plan(line: Line) -> shapely.Polygon:
    return shapely.Polygon(line.points)


def away_mm(piece: Piece) -> np.ndarray[Any, Any]:
    """How far outside the finished line each point of the cut line lies."""
    finished = plan(the_line(piece, LineKind.FINISHED))
    return np.asarray(shapely.distance(finished, shapely.points(piece.outline)))


def test_without_an_insole_none_is_cut() -> None:
    assert insole(a_shoe(insole=None), STARTING) is None


@every_form
def test_the_finished_line_is_the_outline_of_the_last(form: Form) -> None:
    finished = the_line(drafted(form=form), LineKind.FINISHED)
    assert np.array_equal(finished.points[:, ::-1], form.outline.points)


@every_form
def test_the_cut_line_runs_everywhere_as_far_outside_as_it_is_cut_full(form: Form) -> None:
    away = away_mm(drafted(form=form))
    assert (away.min(), away.max()) == pytest.approx((CUT_FULL_MM, CUT_FULL_MM), abs=0.1)


@every_form
def test_turned_up_it_is_nowhere_cut_less_full(form: Form) -> None:
    turned = {"turn_up_medial_mm": 25, "turn_up_lateral_mm": 12, "turn_up_heel_mm": 10}
    assert away_mm(drafted(form=form, insole=turned)).min() >= 8.9


def test_its_area_is_that_of_a_parallel_line() -> None:
    """Steiner's formula: area + perimeter × d + π d², which holds for any smooth closed line short of its tightest bend."""
    piece, outline = drafted(), FORM.outline
    expected = outline.area_cm2 + (outline.perimeter_mm * CUT_FULL_MM + math.pi * CUT_FULL_MM**2) / 100
    assert piece.area_cm2 == pytest.approx(expected, rel=0.001)


def test_an_insole_turned_up_at_the_arch_is_cut_so_much_higher_there() -> None:
    piece = drafted(insole={"turn_up_medial_mm": 18})
    arch = next(each for each in piece.handles if each.key == "medial_arch")
    away = plan(the_line(piece, LineKind.FINISHED)).distance(shapely.Point(arch.at))
    assert away == pytest.approx(CUT_FULL_MM + 18, abs=0.6)


def test_an_insole_turned_up_at_the_arch_keeps_its_lateral_edge() -> None:
    plain, turned = drafted(), drafted(insole={"turn_up_medial_mm": 18})
    lateral = shapely.box(-200, -50, -5, 400)
    assert turned.polygon.intersection(lateral).symmetric_difference(plain.polygon.intersection(lateral)).area < 1.0


def test_an_insole_turned_up_at_the_heel_is_cut_so_much_further_behind() -> None:
    assert drafted(insole={"turn_up_heel_mm": 10}).outline[:, 1].min() == pytest.approx(-CUT_FULL_MM - 10, abs=0.1)


@pytest.mark.parametrize("edge", list(Edge))
def test_the_cut_covers_what_the_drawing_turns_up(edge: Edge) -> None:
    """The side view's arch: height × √sin over the turned-up zone; what is cut full may be taken off it again."""
    shoe = a_shoe(insole={f"turn_up_{edge.value}_mm": 18})
    piece, (start, end) = of(shoe), turned_up(shoe, edge)
    finished = plan(the_line(piece, LineKind.FINISHED))
    cut = piece.outline[(piece.outline[:, 0] > 0) == (edge is Edge.MEDIAL)]
    cut = cut[(cut[:, 1] > start) & (cut[:, 1] < end)]
    drawn = 18 * np.sqrt(np.sin((cut[:, 1] - start) / (end - start) * np.pi))
    assert (shapely.distance(finished, shapely.points(cut)) - drawn).min() > 0


def test_the_lateral_turn_up_ends_as_far_before_its_joint_as_the_medial_one() -> None:
    shoe = a_shoe(insole={"turn_up_medial_mm": 18, "turn_up_lateral_mm": 18})
    joints = FORM.outline.medial_joint[0], FORM.outline.lateral_joint[0]
    ends = [joint - turned_up(shoe, edge)[1] for joint, edge in zip(joints, Edge, strict=True)]
    assert ends == pytest.approx([10, 10])


def test_heel_and_sides_turned_up_alike_run_into_each_other_without_a_dip() -> None:
    piece = drafted(insole={"turn_up_medial_mm": 10, "turn_up_heel_mm": 10})
    away = away_mm(piece)
    behind = (piece.outline[:, 0] > 0) & (piece.outline[:, 1] < 130)
    assert away[behind].min() == pytest.approx(CUT_FULL_MM + 10, abs=0.6)


def test_both_feet_alike_are_each_others_mirror() -> None:
    left, right = (drafted(side=side, insole={"turn_up_medial_mm": 12, "scoured_to_mm": 0.5}) for side in Side)
    mirrored = on_paper(right.outline, Side.RIGHT) * [-1, 1]
    assert np.array_equal(on_paper(left.outline, Side.LEFT), mirrored)


@pytest.mark.parametrize(("side", "sign"), [(Side.LEFT, 1), (Side.RIGHT, -1)])
def test_the_nicks_lie_on_the_medial_side_of_the_paper(side: Side, sign: int) -> None:
    nicks = [line for line in drafted(side=side).marked(side) if line.kind is LineKind.NICK]
    at = np.concatenate([on_paper(line.points, side) for line in nicks])
    assert bool((at[:, 0] * sign > 0).all())


def test_a_nick_is_cut_into_the_piece() -> None:
    edge = drafted().medial_edge
    assert edge is not None
    tip = np.array(edge.at) + 3 * np.array(edge.inwards)
    assert drafted().polygon.exterior.distance(shapely.Point(tip)) == pytest.approx(3, abs=0.1)


@every_form
def test_the_points_that_can_be_shifted_lie_on_the_cut_line(form: Form) -> None:
    piece = drafted(form=form)
    off = {each.key: piece.polygon.exterior.distance(shapely.Point(each.at)) for each in piece.handles}
    keys = ("medial_joint", "lateral_joint", "toe_tip", "heel_back", "medial_arch", "lateral_waist")
    assert off == pytest.approx(dict.fromkeys(keys, 0.0), abs=1e-6)


def test_the_joint_line_runs_through_both_joints() -> None:
    joint = shapely.LineString(the_line(drafted(), LineKind.JOINT).points)
    joints = [shapely.Point(y, x) for x, y in (FORM.outline.medial_joint, FORM.outline.lateral_joint)]
    assert [joint.distance(each) for each in joints] == pytest.approx([0, 0], abs=1e-6)


def test_the_grain_points_to_the_toe() -> None:
    start, end = the_line(drafted(), LineKind.GRAIN).points
    assert (end[0] == start[0], end[1] > start[1]) == (True, True)


SCOURED = {"scoured_to_mm": 0.5, "scoured_behind_joint_mm": 12, "scoured_before_toe_mm": 15, "scoured_rim_mm": 11}


@every_form
def test_a_scoured_zone_leaves_its_rim_everywhere(form: Form) -> None:
    piece = drafted(form=form, insole=SCOURED)
    finished = plan(the_line(piece, LineKind.FINISHED)).exterior
    zone = the_line(piece, LineKind.ZONE)
    assert shapely.distance(finished, shapely.points(zone.points)).min() >= 10.99


def test_a_scoured_zone_begins_as_far_behind_the_joint_line_as_it_is_prescribed_and_ends_short_of_the_toe() -> None:
    shoe = a_shoe(insole=SCOURED)
    points = the_line(of(shoe), LineKind.ZONE).points
    behind = max(shoe.form.joint_line_mm(u) - v for u, v in points)
    assert (behind, FORM.length_mm - points[:, 1].max()) == pytest.approx((12, 15), abs=0.01)


def test_the_back_of_a_scoured_zone_runs_along_the_joint_line() -> None:
    shoe = a_shoe(insole=SCOURED)
    points = the_line(of(shoe), LineKind.ZONE).points
    on_it = points[[abs(shoe.form.joint_line_mm(u) - v - 12) < 0.01 for u, v in points]]
    assert float(np.ptp(on_it[:, 0])) > 0.7 * FORM.joint_width_mm


def test_a_zone_of_which_the_rim_leaves_nothing_is_not_marked() -> None:
    assert lines(drafted(insole={**SCOURED, "scoured_rim_mm": 60}), LineKind.ZONE) == []


def ring(points: np.ndarray[Any, Any]) -> shapely.Polygon:
    return shapely.Polygon(points)


DRAWN = {
    "scoured": ({"insole": SCOURED}, LineKind.ZONE, "scour"),
    "cushion": ({"cushions": (a_cushion("heel"),)}, LineKind.PLACE, "heel cushion"),
    "support": ({"metatarsal_supports": (a_bar(),)}, LineKind.PLACE, "bar"),
    "doubled": ({"insole": {"rear_doubled_mm": 3}}, LineKind.PLACE, "rear doubled"),
    "shank": ({}, LineKind.PLACE, "shank"),
    "carbon": ({"carbon_zone": {}}, LineKind.PLACE, "carbon"),
}


@pytest.mark.parametrize(("kind", "case"), DRAWN.items(), ids=DRAWN)
def test_what_is_marked_lies_where_the_drawing_shows_it(kind: str, case: tuple[dict[str, Any], LineKind, str]) -> None:
    changes, line_kind, words = case
    shoe = a_shoe(**changes)
    (drawn,) = view_from_above(shoe).shape(kind)
    marked = plan(the_line(of(shoe), line_kind, words))
    assert marked.symmetric_difference(ring(drawn.points)).area / marked.area < 0.01


def test_a_welted_insole_has_its_feather_inside_the_finished_line() -> None:
    """5 mm wide, from memory."""
    piece = drafted(construction="hand-welted")
    finished = plan(the_line(piece, LineKind.FINISHED)).exterior
    feather = shapely.distance(finished, shapely.points(the_line(piece, LineKind.FEATHER).points))
    assert (feather.min(), feather.max()) == pytest.approx((5, 5), abs=0.1)


def test_a_cemented_insole_has_no_feather() -> None:
    assert lines(drafted(), LineKind.FEATHER) == []


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"blocked": True, "thickness_mm": 5.5}, "block wet on the last at 5.5 mm; tacks in and out are counted"),
        (
            {"blocked": True, "finished_heel_mm": 4.5, "finished_waist_mm": 3.5, "finished_forepart_mm": 3.0},
            "finished: heel 4.5, waist 3.5, forepart 3 mm, carved when dry",
        ),
        (SCOURED, "forepart scoured to 0.5 mm from the under face, rim of 11 mm left whole"),
        # 70 mm × tan 4° = 4.9 mm
        ({"posting_rear_medial_deg": 4}, "posting rear, medial 4°: 4.9 mm at that edge, over 70 mm of width"),
        ({"inlay_heel_mm": 8, "inlay_forepart_mm": 6}, "room for a removable inlay, heel 8 mm, forepart 6 mm: nothing is cut for it here"),
        ({"thickness_mm": None}, "thickness of the leather not said"),
        ({"rear_doubled_mm": 3}, "rear doubled with 3 mm"),
        ({"hollowed_beneath": "under the cuboid, 4 mm"}, "hollowed beneath: under the cuboid, 4 mm"),
    ],
)  # fmt: skip
def test_it_says_how_it_is_made(given: dict[str, Any], says: str) -> None:
    assert [words for words in drafted(insole=given).words if words == says] == [says]


FINISHED_AT_THREE = {"finished_heel_mm": 3.0, "finished_waist_mm": 3.0, "finished_forepart_mm": 3.0}


@pytest.mark.parametrize(
    ("given", "split_to"),
    [({}, None), (FINISHED_AT_THREE, 3.0), ({**FINISHED_AT_THREE, "blocked": True}, None)],
    ids=["as it is", "finished thinner", "carved when it is dry"],
)
def test_a_flat_insole_that_is_finished_thinner_is_split_first(given: dict[str, Any], split_to: float | None) -> None:
    assert drafted(insole=given).split_to_mm == split_to


def test_a_whole_insole_is_as_thick_on_average_as_its_leather() -> None:
    assert drafted().mean_thickness_mm == pytest.approx(4.2)


def test_what_is_scoured_away_is_missing_from_its_mean_thickness() -> None:
    """4.2 − 3.7 × zone / whole: where it is scoured, 0.5 of 4.2 mm is left."""
    piece = drafted(insole=SCOURED)
    part = plan(the_line(piece, LineKind.ZONE)).area / FORM.outline.polygon.area
    assert piece.mean_thickness_mm == pytest.approx(4.2 - 3.7 * part)


def test_its_figures_are_those_it_is_cut_to() -> None:
    assert dict(drafted().facts) == pytest.approx(
        {
            "finished length": 285,
            "finished width": 100,
            "cut length": 303,
            "cut width": 118,
        },
        abs=0.05,
    )


def test_its_turn_ups_stand_among_its_figures() -> None:
    assert [figure for figure in drafted(insole={"turn_up_heel_mm": 12}).facts if "turned up" in figure[0]] == [
        ("turned up, heel", 12)
    ]
