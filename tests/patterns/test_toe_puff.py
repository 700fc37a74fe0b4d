"""The toe puff's piece: over the toes or a wall round them, as long as prescribed, with its margin and its skives."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely

from cases.patterns.drafting.pieces import LineKind, Piece, on_paper
from cases.patterns.drafting.toe_flat import wall_band
from cases.patterns.drafting.toe_puff import not_cut, toe_puff
from cases.prescriptions.cut_away.edges import way_at
from cases.prescriptions.cut_away.toes import quarter_of_ellipse
from cases.prescriptions.cut_sizes import puff_piece
from cases.prescriptions.implied.cuts import cuts_told
from cases.prescriptions.shoe import Shoe
from shared.calculations import BadInput
from shared.sides import SIDES, Edge, Side
from tests.patterns.figures import STARTING
from tests.patterns.reading import drafted_by, length_of, lines
from tests.prescriptions.shoes import FORM, a_shoe
from tests.prescriptions.stock import WORKSHOP
from tests.prescriptions.twelve import TWELVE

WALL = {"kind": "wall", "wall_height_mm": None}
TOES = {f"{name}-{side}": pair[side] for name, pair in TWELVE.items() for side in SIDES}
CUT = {name: shoe for name, shoe in TOES.items() if shoe.toe_puff and shoe.toe_puff.kind != "none"}
ALL_TOES = pytest.mark.parametrize("shoe", CUT.values(), ids=list(CUT))
BACK_X = FORM.length_mm - 57
"""The ordinary puff is 57 mm long."""


def drafted(shoe: Shoe) -> Piece:
    return drafted_by(toe_puff, shoe)


def feather(piece: Piece) -> np.ndarray:
    (line,) = lines(piece, LineKind.FEATHER)
    return line.points


def round_the_toe(shoe: Shoe, x: float) -> float:
    """Along the feather edge of both sides, from so far forward round the tip."""
    return sum(way_at(shoe, edge, shoe.form.length_mm) - way_at(shoe, edge, x) for edge in Edge)


# Over the toes -------------------------------------------------------------------------------------------------------


def test_it_reaches_as_far_over_the_top_as_the_last_is_long_there() -> None:
    # Along the profile's top from the back edge to the tip: no other way leads over the toes.
    tops = [FORM.profile(edge).top for edge in Edge]
    x = np.linspace(BACK_X, FORM.length_mm, 4001)
    top = np.mean([np.interp(x, each[:, 0], each[:, 1]) for each in tops], axis=0)
    over = length_of(np.column_stack([x, top]))
    assert dict(drafted(a_shoe()).facts)["over the toe, back edge to feather edge"] == pytest.approx(over, abs=0.2)


def test_its_back_edge_goes_over_the_section_from_feather_edge_to_feather_edge() -> None:
    # Half an ellipse on the width and the depth of the last at the back edge (from memory), summed up in small steps.
    width = float(np.ptp(shapely.get_coordinates(_slice(FORM.outline.polygon, BACK_X))[:, 1]))
    depth = float(np.mean([FORM.profile(edge).depth_at(BACK_X) for edge in Edge]))
    turn = np.linspace(0, np.pi, 20_001)
    over = length_of(np.column_stack([width / 2 * np.cos(turn), depth * np.sin(turn)]))
    assert dict(drafted(a_shoe()).facts)["back edge, feather edge to feather edge"] == pytest.approx(over, abs=0.1)


def _slice(polygon: shapely.Polygon, x: float) -> shapely.LineString:
    return polygon.intersection(shapely.LineString([(x, -300), (x, 300)]))


@pytest.mark.parametrize(("one", "other"), [(40.0, 40.0), (40.0, 25.0), (60.0, 10.0)])
def test_the_way_round_an_ellipse_is_that_of_its_points(one: float, other: float) -> None:
    # Ramanujan 1914; a circle's is exact.
    turn = np.linspace(0, np.pi / 2, 20_001)
    summed = length_of(np.column_stack([one * np.cos(turn), other * np.sin(turn)]))
    assert float(quarter_of_ellipse(np.array(one), np.array(other))) == pytest.approx(summed, rel=1e-4)


def test_the_margin_lies_twelve_beyond_the_feather_edge_all_round_the_toe() -> None:
    # Common practice, no source: 12 mm.
    piece = drafted(a_shoe())
    edge = piece.outline[piece.outline[:, 1] > 0.01]
    away = shapely.distance(shapely.points(edge), shapely.LineString(feather(piece)))
    assert away[edge[:, 1] > 15] == pytest.approx(12, abs=0.05)


def test_its_back_edge_is_straight_across() -> None:
    assert drafted(a_shoe()).polygon.bounds[1] == pytest.approx(0)


def test_the_back_edge_is_skived_over_fifteen() -> None:
    # Common practice, no source: 15 mm to nothing.
    (skive,) = lines(drafted(a_shoe()), LineKind.SKIVE)
    assert skive.points[:, 1] == pytest.approx(15, abs=0.01)
    assert skive.words == "15 mm to nothing"


@pytest.mark.parametrize(("kind", "part"), [("light", 0.15), ("standard", 0.20)])
def test_a_length_that_nobody_gave_is_a_part_of_the_lasts(kind: str, part: float) -> None:
    # Common practice, no source: 0.15 and 0.20 of the last.
    piece = drafted(a_shoe(toe_puff={"kind": kind, "length_mm": None}))
    assert dict(piece.facts)["length on the last"] == pytest.approx(part * 285)


def test_it_says_how_far_ahead_of_the_joints_it_ends() -> None:
    # 285 − 57 = 228: 23 ahead of the 1st joint at 205, 50 ahead of the 5th at 178.
    assert drafted(a_shoe()).words == (
        "ends 23 mm ahead of the 1st joint, 50 mm ahead of the 5th joint (along the foot)",
    )


def test_one_that_comes_nearer_to_a_joint_than_fifteen_says_so() -> None:
    # Common practice, no source: at least 15 mm ahead of the joint crease.
    assert drafted(a_shoe(toe_puff={"length_mm": 70})).words[1] == (
        "nearer than 15 mm to the 1st joint: it lies in the crease"
    )


def test_what_is_left_on_average_is_what_was_worked_out_by_hand() -> None:
    # 1.6 mm whole, half of it over the 15 mm of the back edge, which is about a trapezium of two lines across.
    piece = drafted(a_shoe())
    across = [_width(piece, v) for v in np.linspace(0.01, 15, 60)]
    skived = 15 * float(np.mean(np.array(across) * (1 - np.linspace(0, 1, 60)))) * 1.6
    assert piece.mean_thickness_mm == pytest.approx(1.6 - skived / (piece.area_cm2 * 100), rel=0.01)


def _width(piece: Piece, v: float) -> float:
    return float(piece.polygon.intersection(shapely.LineString([(-300, v), (300, v)])).length)


def test_its_size_is_the_one_that_the_prescription_says_is_to_be_cut() -> None:
    facts = dict(drafted(a_shoe()).facts)
    told = puff_piece(
        length_mm=facts["over the toe, back edge to feather edge"],
        over_toes_mm=facts["back edge, feather edge to feather edge"],
        margin_mm=12,
    )
    assert cuts_told(a_shoe(), WORKSHOP)["cut_puff"].sheet.result == told.workings.result


# A wall --------------------------------------------------------------------------------------------------------------


def test_a_walls_feather_edge_is_as_long_as_the_lasts_round_the_toe() -> None:
    shoe = a_shoe(toe_puff=WALL)
    assert length_of(feather(drafted(shoe))) == pytest.approx(round_the_toe(shoe, BACK_X), abs=0.1)


def test_its_line_at_full_height_is_that_of_the_toe_there() -> None:
    # An inner parallel curve of a convex line is shorter by its turning times the distance (Steiner's formula): measured
    # on the outline itself, drawn in by what the section leans in 14 mm up the leather.
    shoe = a_shoe(toe_puff=WALL)
    band = wall_band(shoe, STARTING)
    toe = FORM.outline.points[FORM.outline.points[:, 0] > BACK_X]
    half = float(np.ptp(shapely.get_coordinates(_slice(FORM.outline.polygon, 0.9 * 285))[:, 1])) / 2
    turn = np.linspace(0, np.pi / 2, 2001)
    section = np.column_stack([half * (1 - np.cos(turn)), FORM.toe_depth_mm * np.sin(turn)])
    up = np.concatenate([[0], np.cumsum(np.hypot(*np.diff(section, axis=0).T))])
    lean = float(np.interp(14, up, section[:, 0]))
    drawn_in = shapely.LineString(toe).offset_curve(-lean, quad_segs=16)
    drawn_in = min((drawn_in, shapely.LineString(toe).offset_curve(lean, quad_segs=16)), key=lambda line: line.length)
    assert length_of(band.parallel(14.0)) == pytest.approx(drawn_in.length, rel=0.02)


def test_a_wall_stands_fourteen_and_then_runs_to_nothing_over_twelve() -> None:
    # From memory: 14 mm full, then 12 mm to nothing.
    piece = drafted(a_shoe(toe_puff=WALL))
    (soft,) = [line for line in lines(piece, LineKind.SKIVE) if "soft" in line.words]
    across = shapely.LineString([(0, -200), (0, 200)])
    begins, foot = (
        float(shapely.LineString(line).intersection(across).bounds[1]) for line in (soft.points, feather(piece))
    )
    _, ends, _, outermost = piece.polygon.intersection(across).bounds
    assert [foot - begins, foot - ends, outermost - foot] == pytest.approx([14, 26, 12], abs=0.1)
    assert piece.words[0] == "stiff up to 14 mm over the feather edge, then to nothing over 12 mm; soft roof"


def test_a_walls_height_is_as_prescribed() -> None:
    assert dict(drafted(a_shoe(toe_puff={"kind": "wall", "wall_height_mm": 18})).facts)["wall height"] == 18


def test_both_ends_of_a_wall_are_skived() -> None:
    ends = [line for line in lines(drafted(a_shoe(toe_puff=WALL)), LineKind.SKIVE) if line.words == "15 mm to nothing"]
    assert sorted(float(np.sign(line.points[:, 0].mean())) for line in ends) == [-1, 1]


def test_a_walls_area_is_that_of_a_sector_of_a_ring() -> None:
    # Handbook shape: feather edge · (height + margin) · (1 − (height − margin)/(2R)), less two corners of radius 12.
    band = wall_band(a_shoe(toe_puff=WALL), STARTING)
    high, margin = band.high_mm, band.margin_mm
    ring = band.feather_mm * ((high + margin) - (high**2 - margin**2) * band.cone.bend / 2)
    corners = 2 * (1 - math.pi / 4) * 12**2
    area = drafted(a_shoe(toe_puff=WALL)).area_cm2 * 100
    assert area == pytest.approx(ring - corners, rel=0.005)


def test_a_wall_too_high_for_the_toe_is_refused() -> None:
    with pytest.raises(BadInput, match="toe puff wall height is 60 mm; allowed is 4 to"):
        toe_puff(a_shoe(toe_puff={"kind": "wall", "wall_height_mm": 60}), STARTING)


# All -----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["none", "steel"])
def test_what_is_not_cut_has_no_piece(kind: str) -> None:
    assert toe_puff(a_shoe(toe_puff={"kind": kind}), STARTING) is None


def test_without_a_puff_there_is_no_piece() -> None:
    assert toe_puff(a_shoe(toe_puff=None), STARTING) is None


@pytest.mark.parametrize(
    ("kind", "words"),
    [("steel", "steel toe cap: bought, no piece to cut; not certified protection"), ("none", ""), ("light", "")],
)
def test_a_bought_cap_is_said_in_words(kind: str, words: str) -> None:
    assert not_cut(a_shoe(toe_puff={"kind": kind})) == words


@pytest.mark.parametrize("kind", ["standard", "wall"])
def test_left_mirrored_equals_right_for_equal_feet(kind: str) -> None:
    left, right = (drafted(a_shoe(side=side, toe_puff={"kind": kind})) for side in (Side.LEFT, Side.RIGHT))
    mirrored = on_paper(left.outline, Side.LEFT) * [-1, 1]
    assert on_paper(right.outline, Side.RIGHT) == pytest.approx(mirrored)


@pytest.mark.parametrize("kind", ["standard", "wall"])
def test_the_nicks_lie_on_the_medial_end_of_the_cut_line(kind: str) -> None:
    piece = drafted(a_shoe(toe_puff={"kind": kind}))
    assert piece.medial_edge is not None
    at, inwards = np.array(piece.medial_edge.at), np.array(piece.medial_edge.inwards)
    assert shapely.LinearRing(piece.outline).distance(shapely.Point(at)) == pytest.approx(0, abs=0.01)
    assert (at[0] > 0.3 * piece.polygon.bounds[2], piece.polygon.contains(shapely.Point(at + 3 * inwards))) == (
        True,
        True,
    )


def test_a_toe_shape_that_leans_medially_lies_so_on_the_piece() -> None:
    # Natural toes have their tip medial of the axis.
    leaning = replace(FORM, toe_shape=type(FORM.toe_shape).NATURAL)
    tips = [max(drafted(a_shoe(form=form)).outline, key=lambda each: each[1])[0] for form in (FORM, leaning)]
    assert tips[1] > tips[0]


@pytest.mark.parametrize(("long", "said"), [(5, "5"), (200, "200")])
def test_a_length_that_no_puff_has_is_refused(long: float, said: str) -> None:
    with pytest.raises(BadInput) as refused:
        toe_puff(a_shoe(toe_puff={"length_mm": long}), STARTING)
    assert str(refused.value) == f"toe puff length is {said} mm; allowed is 15 to 142.5 mm"


@ALL_TOES
def test_every_line_lies_on_the_piece(shoe: Shoe) -> None:
    piece = drafted(shoe)
    ground = piece.polygon.buffer(0.02)
    assert [line.kind for line in piece.lines if not ground.covers(shapely.LineString(line.points))] == []


@ALL_TOES
def test_every_handle_is_a_point_of_the_cut_line(shoe: Shoe) -> None:
    piece = drafted(shoe)
    assert [each.key for each in piece.handles if list(each.at) not in piece.outline.tolist()] == []
