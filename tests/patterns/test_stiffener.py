"""The stiffener's piece: as long and as high as prescribed, its reliefs where they are said, and nowhere a crooked line."""

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
import shapely

from cases.patterns.drafting.figures import PatternFigures
from cases.patterns.drafting.heel_band import heel_band
from cases.patterns.drafting.pieces import LineKind, Piece, on_paper
from cases.patterns.drafting.stiffener import is_symmetric, stiffener
from cases.prescriptions.cut_away.edges import way_at
from cases.prescriptions.cut_away.shell import stiffener_shape
from cases.prescriptions.cut_away.stack import stack_of
from cases.prescriptions.shoe import Shoe
from shared.calculations import BadInput
from shared.sides import SIDES, Edge, Side
from tests.patterns.figures import STARTING
from tests.patterns.reading import STRAIGHT, drafted_by, handle, length_of, lines
from tests.prescriptions.shoes import FORM, a_relief, a_shoe
from tests.prescriptions.twelve import TWELVE

SHORT = {"medial_reach": "short", "medial_reach_mm": 80, "lateral_reach": "short", "lateral_reach_mm": 80}
HEELS = {f"{name}-{side}": pair[side] for name, pair in TWELVE.items() for side in SIDES}
ALL_HEELS = pytest.mark.parametrize("shoe", HEELS.values(), ids=list(HEELS))


def drafted(shoe: Shoe, figures: PatternFigures = STARTING) -> Piece:
    return drafted_by(stiffener, shoe, figures)


def height_at(piece: Piece, along: float) -> float:
    """How high a straight strip stands at one place."""
    return float(piece.polygon.intersection(shapely.LineString([(along, -50), (along, 300)])).bounds[3])


def ear_along(edge: Edge) -> float:
    """Where a side of the ordinary shoe rises or dips for its malleolus: 0.25 of the length or 0.6 of the end ahead."""
    band = heel_band(a_shoe(), STARTING)
    assert band is not None
    half = band.half(edge)
    assert half is not None
    return half.along_at(min(0.25 * FORM.length_mm, 0.6 * half.end_x))


# As prescribed -------------------------------------------------------------------------------------------------------


@ALL_HEELS
def test_the_feather_edge_is_as_long_as_both_reaches(shoe: Shoe) -> None:
    piece = drafted(shoe)
    facts = dict(piece.facts)
    feather = sum(length_of(line.points) for line in lines(piece, LineKind.FEATHER))
    assert feather == pytest.approx(facts["medial reach"] + facts["lateral reach"], abs=0.1)


@ALL_HEELS
def test_the_back_stands_as_high_as_prescribed_along_the_leather(shoe: Shoe) -> None:
    assert shoe.stiffener is not None
    assert handle(drafted(shoe), "centre_back_top") == pytest.approx((0.0, shoe.stiffener.back_height_mm), abs=1e-6)


def test_each_reach_lies_on_its_own_side() -> None:
    piece = drafted(a_shoe(), STRAIGHT)
    assert [*handle(piece, "medial_end"), *handle(piece, "lateral_end")] == pytest.approx([133, 0, -116, 0])


def test_the_margin_lies_thirteen_below_the_feather_edge() -> None:
    # Common practice, no source: lasting margin of a stiffener 13 mm.
    assert drafted(a_shoe(), STRAIGHT).polygon.bounds[1] == pytest.approx(-13)


def test_a_front_end_comes_down_from_the_front_height_by_its_rounding() -> None:
    piece = drafted(a_shoe(stiffener={"front_height_mm": 26}), STRAIGHT)
    at_end = piece.outline[np.isclose(piece.outline[:, 0], 133)]
    assert at_end[:, 1].max() == pytest.approx(26 - STARTING.stiffener_end_round_mm)


@pytest.mark.parametrize("edge", list(Edge))
@pytest.mark.parametrize("changes", [{}, {"ankle_high": "both", "above_malleolus_mm": 30}], ids=["plain", "ankle-high"])
def test_it_stands_as_high_as_the_shoes_drawing_shows_it(edge: Edge, changes: dict[str, Any]) -> None:
    shoe = a_shoe(stiffener=changes, upper={"height": "ankle boot"})
    shape = stiffener_shape(shoe, stack_of(shoe, edge), edge)
    assert shape is not None
    top, bottom = shape[: len(shape) // 2], shape[len(shape) // 2 :][::-1]
    sign = 1 if edge == Edge.MEDIAL else -1
    piece = drafted(shoe, STRAIGHT)
    found = [height_at(piece, sign * way_at(shoe, edge, x)) for x in top[:24:3, 0]]
    assert found == pytest.approx((top - bottom)[:24:3, 1].tolist(), abs=0.5)


def test_a_straight_strips_area_is_that_of_its_topline_worked_out_by_hand() -> None:
    # By hand: with the back as high as the front, 24 mm, both halves are plates of (24 + 13) mm over 133 + 116 mm, less
    # two corners of radius 12 that lose (1 − π/4)·12² = 30.9 mm² each.
    piece = drafted(a_shoe(stiffener={"back_height_mm": 24, "front_height_mm": 24}), STRAIGHT)
    assert piece.area_cm2 * 100 == pytest.approx(37 * 249 - 2 * (1 - math.pi / 4) * 144, rel=1e-3)


def test_a_bent_bands_area_is_that_of_a_sector_of_a_ring_worked_out_by_hand() -> None:
    # Handbook shape: R = 50/(1 − 0.94) = 833.3; angle 249/833.3; from 13 outside to 24 inside the feather edge:
    # 0.2988·(846.3² − 809.3²)/2 = 9152 mm², less the two corners of radius 12.
    piece = drafted(a_shoe(stiffener={"back_height_mm": 24, "front_height_mm": 24}))
    assert piece.area_cm2 * 100 == pytest.approx(9152 - 2 * 30.9, rel=1e-3)


def test_the_topline_is_tighter_by_the_workshops_figure_fifty_up() -> None:
    # Workshop setting, from memory: 0.94 of the feather edge 50 mm up.
    band = heel_band(a_shoe(), STARTING)
    assert band is not None
    fifty_up = length_of(band.parallel(50.0))
    assert fifty_up == pytest.approx(0.94 * 249, abs=0.01)


def test_where_it_comes_from_is_said() -> None:
    assert drafted(a_shoe()).words[0] == (
        "topline 0.94 of the feather edge 50 mm up: workshop setting, from memory; no girth of the heel says it"
    )


def test_an_ankle_high_side_rises_over_its_malleolus_and_leaves_the_other_as_it_was() -> None:
    # From memory: 30 mm over the malleolus, which stands 72 mm high laterally.
    high = drafted(a_shoe(stiffener={"ankle_high": "lateral", "above_malleolus_mm": 30}), STRAIGHT)
    plain = drafted(a_shoe(), STRAIGHT)
    medial = high.outline[high.outline[:, 0] > 0.01]
    assert height_at(high, -ear_along(Edge.LATERAL)) == pytest.approx(102, abs=0.2)
    assert medial == pytest.approx(plain.outline[plain.outline[:, 0] > 0.01])


def test_a_pocket_is_marked_where_the_malleolus_lies() -> None:
    piece = drafted(a_shoe(stiffener={"ankle_high": "lateral", "above_malleolus_mm": 40}), STRAIGHT)
    (pocket,) = lines(piece, LineKind.PLACE)
    middle = shapely.Polygon(pocket.points).centroid
    assert (pocket.words, middle.x, middle.y) == (
        "lateral malleolus: pocket 3 mm deep",
        pytest.approx(-ear_along(Edge.LATERAL), abs=1.5),
        pytest.approx(72, abs=1.5),
    )


def test_a_side_dips_as_far_under_the_malleolus_as_prescribed() -> None:
    # The lateral malleolus of the ordinary last stands 72 mm high.
    piece = drafted(a_shoe(stiffener={"back_height_mm": 90, "lateral_below_malleolus_mm": 40}), STRAIGHT)
    assert height_at(piece, -ear_along(Edge.LATERAL)) == pytest.approx(72 - 40, abs=0.2)


def test_a_side_that_stands_lower_than_its_dip_is_not_raised_to_it() -> None:
    dipped = drafted(a_shoe(stiffener={"lateral_below_malleolus_mm": 1}))
    assert dipped.outline == pytest.approx(drafted(a_shoe()).outline)


def test_a_side_without_a_stiffener_ends_at_centre_back() -> None:
    piece = drafted(a_shoe(stiffener={"lateral_reach": "none", "lateral_reach_mm": None}), STRAIGHT)
    assert (piece.polygon.bounds[0], "none on the lateral side: it ends at centre back" in piece.words) == (0.0, True)


@pytest.mark.parametrize(
    "changes",
    [{"stiffener": None}, {"stiffener": {"medial_reach": "none", "lateral_reach": "none"}}],
    ids=["not prescribed", "none on either side"],
)
def test_without_a_stiffener_there_is_no_piece(changes: dict[str, Any]) -> None:
    assert stiffener(a_shoe(**changes), STARTING) is None


# What is marked ------------------------------------------------------------------------------------------------------


def test_the_skives_are_as_broad_as_the_workshop_sets_them() -> None:
    # Top 15, ends 25, margin 10 to 1 mm: common practice, no source.
    piece = drafted(a_shoe(stiffener={"back_height_mm": 60, "front_height_mm": 60}), STRAIGHT)
    found = {line.words: line.points for line in lines(piece, LineKind.SKIVE)}
    assert set(found) == {"15 mm to nothing", "25 mm to nothing", "10 mm to 1 mm"}
    assert found["15 mm to nothing"][:, 1] == pytest.approx(60 - 15, abs=0.1)
    assert np.abs(found["25 mm to nothing"][:, 0]) == pytest.approx(133 - 25, abs=0.1) or np.abs(
        found["25 mm to nothing"][:, 0]
    ) == pytest.approx(116 - 25, abs=0.1)
    assert found["10 mm to 1 mm"][:, 1] == pytest.approx(-3, abs=0.1)


def test_a_long_end_is_skived_further() -> None:
    # 30 mm for a long one: common practice, no source.
    long = drafted(a_shoe(stiffener={"medial_reach": "long", "medial_reach_mm": 185}), STRAIGHT)
    found = [line for line in lines(long, LineKind.SKIVE) if line.words == "30 mm to nothing"]
    assert [line.points[:, 0].min() for line in found] == [pytest.approx(185 - 30, abs=0.2)]


def test_what_is_left_on_average_is_what_was_worked_out_by_hand() -> None:
    # A plate of 249 × 113 mm, 2.8 thick; 15 mm of its top and 25 mm of both ends run to nothing, 10 mm of its margin to 1.
    # The sum of the plates that are thicker than each level, p = level / 2.8 and q = (level − 1) / 1.8:
    # 2.8·∫(249 − 50p)(113 − 15p)dp − 1.8·∫10q·(249 − 50(1 + 1.8q)/2.8)dq, both from 0 to 1, = 64 457 mm³ over 28 137 mm².
    piece = drafted(a_shoe(stiffener={"back_height_mm": 100, "front_height_mm": 100}), STRAIGHT)
    assert piece.mean_thickness_mm == pytest.approx(64_457 / 28_137, rel=0.01)


def test_a_thinned_stiffener_is_split_before_it_is_cut() -> None:
    piece = drafted(a_shoe(stiffener={"thickness_mm": 2.8, "thinned_to_mm": 2.0}))
    assert (piece.thickness_mm, piece.split_to_mm) == (2.8, 2.0)


def test_without_a_thickness_nothing_is_weighed() -> None:
    assert drafted(a_shoe(stiffener={"thickness_mm": None})).weight_g(900) is None


def test_each_end_says_how_far_behind_its_joint_it_lies() -> None:
    shoe = a_shoe()
    behind = {
        edge: way_at(shoe, edge, joint) - reach
        for edge, joint, reach in ((Edge.MEDIAL, 205, 133), (Edge.LATERAL, 178, 116))
    }
    words = drafted(shoe).words
    assert words[1:3] == (
        f"medial end lies {behind[Edge.MEDIAL]:.0f} mm behind the 1st joint, along the feather edge",
        f"lateral end lies {behind[Edge.LATERAL]:.0f} mm behind the 5th joint, along the feather edge",
    )


def test_a_joint_within_the_piece_is_a_line_on_it() -> None:
    shoe = a_shoe(stiffener={"medial_reach": "long", "medial_reach_mm": 240})
    (joint,) = lines(drafted(shoe, STRAIGHT), LineKind.JOINT)
    assert joint.points[:, 0] == pytest.approx(way_at(shoe, Edge.MEDIAL, 205))
    assert joint.words == "1st joint"


def test_the_nicks_lie_on_the_medial_end() -> None:
    piece = drafted(a_shoe(), STRAIGHT)
    assert piece.medial_edge is not None
    assert [piece.medial_edge.at[0], *piece.medial_edge.inwards] == pytest.approx([133, -1, 0])


def test_the_grain_runs_up_the_height_and_is_said_to_be_from_memory() -> None:
    (grain,) = lines(drafted(a_shoe(), STRAIGHT), LineKind.GRAIN)
    assert float(np.ptp(grain.points[:, 0])) == pytest.approx(0, abs=1e-6)
    assert grain.words == "outward, running up the height (from memory)"


@ALL_HEELS
def test_every_line_lies_on_the_piece(shoe: Shoe) -> None:
    piece = drafted(shoe)
    ground = piece.polygon.buffer(0.02)
    assert [line.kind for line in piece.lines if not ground.covers(shapely.LineString(line.points))] == []


@ALL_HEELS
def test_every_handle_is_a_point_of_the_cut_line(shoe: Shoe) -> None:
    piece = drafted(shoe)
    assert [each.key for each in piece.handles if list(each.at) not in piece.outline.tolist()] == []


# One for either foot, and one for each -------------------------------------------------------------------------------


def test_a_short_one_alike_on_both_sides_equals_its_own_mirror() -> None:
    piece = drafted(a_shoe(stiffener=SHORT))
    mirror = piece.outline * [-1, 1]
    away = shapely.distance(shapely.LinearRing(piece.outline), shapely.points(mirror))
    assert (away.max() <= 0.05, is_symmetric(piece), piece.serves) == (True, True, SIDES)


@pytest.mark.parametrize(
    "changes",
    [
        {"stiffener": {**SHORT, "medial_reach_mm": 84}},
        {"stiffener": {**SHORT, "ankle_high": "medial"}},
        {"stiffener": {**SHORT, "back_height_mm": 70, "lateral_below_malleolus_mm": 30}},
        {"stiffener": SHORT, "reliefs": (a_relief(place="lateral side of the heel", width_mm=20),)},
        {"stiffener": {"medial_reach": "medium", "lateral_reach": "medium"}},
    ],
    ids=["longer medially", "ankle-high medially", "dips laterally", "relief laterally", "medium"],
)
def test_one_that_is_not_alike_serves_its_own_foot(changes: dict[str, Any]) -> None:
    assert drafted(a_shoe(**changes)).serves == (Side.LEFT,)


def test_one_that_is_not_alike_does_not_equal_its_mirror() -> None:
    assert not is_symmetric(drafted(a_shoe()))


def test_left_mirrored_equals_right_for_equal_feet() -> None:
    left, right = drafted(a_shoe(side=Side.LEFT)), drafted(a_shoe(side=Side.RIGHT))
    mirrored = on_paper(left.outline, Side.LEFT) * [-1, 1]
    assert on_paper(right.outline, Side.RIGHT) == pytest.approx(mirrored)


# What is refused -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"stiffener": {"medial_reach_mm": 400}}, "medial reach is 400 mm; allowed is 15 to 321.42 mm"),
        ({"stiffener": {"lateral_reach_mm": 4}}, "lateral reach is 4 mm; allowed is 15 to 334.3 mm"),
        ({"stiffener": {"back_height_mm": 3}}, "stiffener back height is 3 mm; allowed is 12 to 250 mm"),
        ({"stiffener": {"front_height_mm": 2}}, "stiffener front height is 2 mm; allowed is 6 to 250 mm"),
        ({"reliefs": (a_relief(width_mm=900),)}, "relief width is 900 mm; allowed is 2 to 150 mm"),
        (
            {"reliefs": (a_relief(way="cut out", height_mm=100, above_seat_mm=20),)},
            "relief is relief back of the heel, 34 × 100 mm; allowed is one plain piece, nowhere under 3 mm broad",
        ),
    ],
)
def test_what_gives_no_plain_piece_is_refused_in_a_sentence(changes: dict[str, Any], sentence: str) -> None:
    with pytest.raises(BadInput) as refused:
        stiffener(a_shoe(**changes), STARTING)
    assert str(refused.value) == sentence


def test_a_topline_that_would_close_over_the_heel_is_refused() -> None:
    shoe = a_shoe(stiffener={"ankle_high": "both", "above_malleolus_mm": 40})
    with pytest.raises(BadInput, match=r"stiffener height is .* mm; allowed is 12 to 94 mm"):
        stiffener(shoe, replace(STARTING, stiffener_topline_part=0.5))
