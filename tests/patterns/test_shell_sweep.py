"""Stiffeners and toe puffs over thousands of plausible feet and prescriptions: always one plain piece that can be cut."""

from collections import Counter
from dataclasses import replace
from random import Random

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.geometry.base import BaseGeometry

from cases.patterns.drafting.heel_band import heel_band
from cases.patterns.drafting.pieces import LineKind, Piece
from cases.patterns.drafting.stiffener import cut, stiffener
from cases.patterns.drafting.toe_flat import toes_laid_flat, wall_band
from cases.patterns.drafting.toe_puff import cut_over, cut_wall, toe_puff
from cases.prescriptions.cut_away.shell import puff_length
from cases.prescriptions.shoe import Shoe
from shared.calculations import BadInput
from shared.sides import Edge
from tests.patterns.figures import STARTING
from tests.patterns.plausible import plausible_shoe
from tests.patterns.reading import length_of, lines

MANY = 10_000
LEAST_CM2 = 5.0
SHARP_MM2 = 9.0
"""What a piece may lose at its sharp corners when it is drawn in by 1.5 mm and out again."""
SEEDS = st.integers(0, 10**9)


def crooked(body: BaseGeometry) -> str:
    """What is wrong with the leather of a piece; empty where nothing is."""
    if body.geom_type != "Polygon" or not body.is_valid:
        return "not one plain polygon"
    if body.area < 100 * LEAST_CM2:
        return "next to nothing"
    core = body.buffer(-1.5, quad_segs=2)
    if core.is_empty or core.geom_type != "Polygon":
        return "falls apart where it is under 3 mm broad"
    if body.area - core.buffer(1.5, quad_segs=4).area > SHARP_MM2:
        return "a sliver under 3 mm"
    return ""


def cut_stiffener(shoe: Shoe) -> BaseGeometry | None:
    """Its leather, without what is marked on it."""
    band = heel_band(shoe, STARTING)
    return cut(band)[0] if band else None


def cut_puff(shoe: Shoe) -> BaseGeometry | None:
    if shoe.toe_puff is None or shoe.toe_puff.kind == "steel" or not puff_length(shoe):
        return None
    if shoe.toe_puff.kind == "wall":
        return cut_wall(wall_band(shoe, STARTING))
    return cut_over(toes_laid_flat(shoe), margin_mm=STARTING.puff_margin_mm)


def cut_pieces(shoe: Shoe) -> list[BaseGeometry]:
    return [body for body in (cut_stiffener(shoe), cut_puff(shoe)) if body is not None]


def whole_pieces(shoe: Shoe) -> list[Piece]:
    return [piece for piece in (stiffener(shoe, STARTING), toe_puff(shoe, STARTING)) if piece is not None]


def test_ten_thousand_feet_and_prescriptions_give_plain_pieces_and_no_sliver() -> None:
    # Of each shoe its stiffener or its toe puff, in turn: two of three times the stiffener, which has more to go wrong.
    random, wrong = Random(2611), Counter[str]()
    for number in range(MANY):
        shoe = plausible_shoe(random)
        body = cut_puff(shoe) if number % 3 == 0 else cut_stiffener(shoe)
        wrong["no piece" if body is None else crooked(body)] += 1
    assert set(wrong) == {"", "no piece"}
    assert wrong[""] > 0.8 * MANY


@settings(max_examples=60, deadline=None)
@given(seed=SEEDS)
def test_whatever_is_marked_lies_on_the_piece(seed: int) -> None:
    for piece in whole_pieces(plausible_shoe(Random(seed))):
        ground = piece.polygon.buffer(0.02)
        assert [line.kind for line in piece.lines if not ground.covers(shapely.LineString(line.points))] == []


@settings(max_examples=60, deadline=None)
@given(seed=SEEDS)
def test_a_piece_is_cut_by_the_leather_it_was_drafted_from(seed: int) -> None:
    shoe = plausible_shoe(Random(seed))
    areas = [piece.area_cm2 * 100 for piece in whole_pieces(shoe)]
    assert areas == pytest.approx([float(body.area) for body in cut_pieces(shoe)], rel=1e-6)


@settings(max_examples=60, deadline=None)
@given(seed=SEEDS)
def test_every_piece_of_leather_says_once_how_its_grain_runs(seed: int) -> None:
    pieces = whole_pieces(plausible_shoe(Random(seed)))
    assert [len(lines(piece, LineKind.GRAIN)) for piece in pieces] == [1] * len(pieces)


@settings(max_examples=60, deadline=None)
@given(seed=SEEDS)
def test_what_is_left_on_average_lies_between_nothing_and_the_sheet(seed: int) -> None:
    for piece in whole_pieces(plausible_shoe(Random(seed))):
        sheet = piece.split_to_mm or piece.thickness_mm
        assert (piece.mean_thickness_mm is None) is (sheet is None)
        assert sheet is None or 0.3 * sheet < (piece.mean_thickness_mm or 0) < sheet


@settings(max_examples=60, deadline=None)
@given(seed=SEEDS)
def test_a_stiffener_is_as_long_along_its_feather_edge_as_both_reaches(seed: int) -> None:
    shoe = replace(plausible_shoe(Random(seed)), reliefs=())
    piece, band = stiffener(shoe, STARTING), heel_band(shoe, STARTING)
    assume(piece and band)
    assert piece is not None
    assert band is not None
    (marked,) = lines(piece, LineKind.FEATHER)
    assert length_of(marked.points) == pytest.approx(sum(band.reach_mm(edge) for edge in Edge), abs=0.1)


@settings(max_examples=60, deadline=None)
@given(
    seed=SEEDS,
    reach=st.floats(-50, 500, allow_nan=False),
    back=st.floats(-5, 400, allow_nan=False),
    front=st.floats(0.1, 300, allow_nan=False),
)
def test_figures_that_no_heel_has_are_refused_and_never_cut_crooked(
    seed: int, reach: float, back: float, front: float
) -> None:
    shoe = plausible_shoe(Random(seed))
    if shoe.stiffener is None:
        return
    odd = replace(shoe.stiffener, medial_reach_mm=reach, back_height_mm=back, front_height_mm=front)
    try:
        piece = stiffener(replace(shoe, stiffener=odd), STARTING)
    except BadInput:
        return
    # A front end that is very low or very high may be sharp, but never torn off.
    assert piece is None or crooked(piece.polygon) in {"", "a sliver under 3 mm"}
