"""Reliefs in a stiffener's piece: where the record says, on the right foot, cut out or thinned, and never a torn strip."""

import math

import numpy as np
import pytest
import shapely

from cases.patterns.drafting.figures import PatternFigures
from cases.patterns.drafting.pieces import LineKind, Piece, on_paper
from cases.patterns.drafting.stiffener import stiffener
from cases.prescriptions.cut_away.edges import way_at
from cases.prescriptions.shoe import Shoe
from shared.sides import SIDES, Edge, Side
from tests.patterns.figures import STARTING
from tests.patterns.reading import STRAIGHT, drafted_by, lines
from tests.prescriptions.shoes import FORM, a_relief, a_shoe
from tests.prescriptions.twelve import TWELVE

ACROSS = {edge: way_at(a_shoe(), edge, 0.22 * FORM.length_mm) for edge in Edge}
BESIDE_BACK = way_at(a_shoe(), Edge.MEDIAL, 0.08 * FORM.length_mm)


def drafted(shoe: Shoe, figures: PatternFigures = STARTING) -> Piece:
    return drafted_by(stiffener, shoe, figures)


def field(piece: Piece) -> shapely.Polygon:
    (line,) = lines(piece, LineKind.THIN)
    return shapely.Polygon(line.points)


@pytest.mark.parametrize(
    ("place", "along"),
    [
        ("back of the heel", 0.0),
        ("over the bump at the back of the heel", 0.0),
        ("back of the heel, medial", BESIDE_BACK),
        ("back of the heel, lateral", -BESIDE_BACK),
        ("medial side of the heel", ACROSS[Edge.MEDIAL]),
        ("lateral side of the heel", -ACROSS[Edge.LATERAL]),
    ],
)
def test_a_relief_lies_where_the_record_says(place: str, along: float) -> None:
    piece = drafted(a_shoe(reliefs=(a_relief(place=place, width_mm=20, height_mm=16, above_seat_mm=20),)), STRAIGHT)
    middle = field(piece).centroid
    assert (middle.x, middle.y) == (pytest.approx(along, abs=0.2), pytest.approx(20, abs=0.2))


@pytest.mark.parametrize(("side", "beyond"), [(Side.LEFT, -1), (Side.RIGHT, 1)])
def test_a_lateral_relief_lies_lateral_on_either_foots_paper(side: Side, beyond: int) -> None:
    # Seen from behind: lateral of LEFT lies left, of RIGHT right.
    shoe = a_shoe(side=side, reliefs=(a_relief(place="lateral side of the heel", above_seat_mm=22),))
    (thin,) = lines(drafted(shoe), LineKind.THIN)
    assert np.sign(on_paper(thin.points, side)[:, 0].mean()) == beyond


def test_a_relief_of_one_foot_is_not_on_the_others_piece() -> None:
    pair = TWELVE["05-bump-at-the-heel"]
    assert [len(lines(drafted(pair[side]), LineKind.THIN)) for side in SIDES] == [0, 1]


def test_a_relief_keeps_its_size_on_the_leather() -> None:
    thin = field(drafted(a_shoe(reliefs=(a_relief(width_mm=34, height_mm=26, above_seat_mm=30),))))
    assert thin.area == pytest.approx(math.pi * 17 * 13, rel=0.01)


def test_a_thinned_relief_says_to_what() -> None:
    (thin,) = lines(drafted(a_shoe(reliefs=(a_relief(thinned_to_mm=0.8),))), LineKind.THIN)
    assert thin.words == "relief back of the heel, 34 × 26 mm, to 0.8 mm"


def test_the_edge_of_a_relief_is_skived_over_ten() -> None:
    # From memory: 10 mm.
    shoe = a_shoe(stiffener={"back_height_mm": 90}, reliefs=(a_relief(above_seat_mm=35, width_mm=20, height_mm=20),))
    piece = drafted(shoe, STRAIGHT)
    (edge,) = [line for line in lines(piece, LineKind.SKIVE) if "round the relief" in line.words]
    assert np.hypot(edge.points[:, 0], edge.points[:, 1] - 35) == pytest.approx(20, abs=0.15)


def test_a_cut_out_relief_is_a_hole() -> None:
    shoe = a_shoe(stiffener={"back_height_mm": 60}, reliefs=(a_relief(way="cut out", above_seat_mm=28),))
    (hole,) = drafted(shoe).holes
    assert shapely.Polygon(hole).area == pytest.approx(math.pi * 17 * 13, rel=0.01)


@pytest.mark.parametrize(("left_mm", "holes"), [(3.5, 1), (2.5, 0)])
def test_a_cut_out_nearer_to_the_top_than_three_opens_it(left_mm: float, holes: int) -> None:
    relief = a_relief(way="cut out", height_mm=20, width_mm=24, above_seat_mm=52 - 10 - left_mm)
    piece = drafted(a_shoe(reliefs=(relief,)), STRAIGHT)
    highest = piece.polygon.intersection(shapely.LineString([(0, -20), (0, 80)])).bounds[3]
    assert (len(piece.holes), round(highest)) == (holes, 52 if holes else round(52 - 20 - left_mm))


def test_two_cut_outs_with_less_than_three_between_them_are_one() -> None:
    # 20 mm broad each, their middles 24.8 mm apart along the feather edge: 4.8 mm between them; 26 mm broad, none.
    def holes(broad: float) -> int:
        places = ("back of the heel", "back of the heel, medial")
        reliefs = tuple(
            a_relief(place=place, way="cut out", width_mm=broad, height_mm=14, above_seat_mm=20) for place in places
        )
        return len(drafted(a_shoe(reliefs=reliefs), STRAIGHT).holes)

    apart = BESIDE_BACK
    assert (holes(apart - 5), holes(apart - 1)) == (2, 1)


def test_a_relief_off_the_stiffener_is_said_and_leaves_it_whole() -> None:
    reliefs = (a_relief(place="lateral side of the heel", way="cut out", width_mm=20),)
    piece = drafted(a_shoe(stiffener={"lateral_reach": "none", "lateral_reach_mm": None}, reliefs=reliefs))
    assert (piece.holes, piece.words[-1]) == (
        (),
        "relief lateral side of the heel, 20 × 26 mm: lies off this stiffener",
    )


def test_a_raise_in_the_shoe_asks_to_offer_the_relief_to_the_bump() -> None:
    piece = drafted(TWELVE["05-bump-at-the-heel"][Side.RIGHT])
    assert piece.words[-1] == (
        "raise in the shoe 6 mm: the heel stands so much higher, and a relief said from its seat is laid so; "
        "offer it to the bump first"
    )


@pytest.mark.parametrize(("lift_mm", "up_mm"), [(None, 30), (6, 36)])
def test_a_relief_is_laid_as_much_higher_as_a_lift_in_the_shoe_raises_the_heel(
    lift_mm: float | None, up_mm: float
) -> None:
    shoe = a_shoe(stiffener={"back_height_mm": 80}, height_raise={"in_shoe_heel_mm": lift_mm}, reliefs=(a_relief(),))
    assert field(drafted(shoe, STRAIGHT)).centroid.y == pytest.approx(up_mm, abs=0.2)


def test_the_grain_is_marked_beside_a_relief() -> None:
    # 0.45 of the medial reach of 133 is 60 along: a relief of the medial side lies there.
    relief = a_relief(place="medial side of the heel", above_seat_mm=20, width_mm=30, height_mm=30)
    piece = drafted(a_shoe(reliefs=(relief,)))
    (grain,) = lines(piece, LineKind.GRAIN)
    assert not shapely.LineString(grain.points).intersects(field(piece))
