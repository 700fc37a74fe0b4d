"""Pieces on sheets: within the paper, apart from one another, nothing lost where a piece runs over several."""

from dataclasses import replace
from itertools import combinations
from typing import Any

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import settings as examples
from hypothesis import strategies as st

from cases.patterns.drafting.pieces import Line, LineKind, Piece
from cases.patterns.drafting.pieces_of import pieces_of
from cases.patterns.sheets.blocks import first_said, rest_said
from cases.patterns.sheets.laid import lay, line_of, within
from cases.patterns.sheets.layout import GAP_MM, SheetDraft, drafts_of, free_window, sheets_of
from cases.patterns.sheets.marks import STYLES
from cases.patterns.sheets.paper import Group, Mark, PaperSize, Sheet
from cases.patterns.sheets.tiles import OVERLAP_MM
from cases.patterns.sheets.typeset import wrapped
from shared.sides import Side
from tests.patterns.figures import STARTING
from tests.patterns.on_paper import HEADING, a_disc, a_long_stiffener, a_plate, a_sector, a_set, an_insole
from tests.prescriptions.twelve import TWELVE

NO_MM = 1e-6

sizes = st.sampled_from(PaperSize)
plates = st.builds(
    a_plate,
    st.floats(12, 700),
    st.floats(12, 500),
    side=st.sampled_from(Side),
    key=st.sampled_from(["one", "two", "three"]),
)
sectors = st.builds(
    a_sector,
    st.sampled_from(Side),
    inner_mm=st.floats(150, 500),
    high_mm=st.floats(40, 130),
    spread_deg=st.floats(20, 110),
)
sets = st.lists(st.one_of(plates, sectors), min_size=1, max_size=4)


def _drafts(pieces, size: PaperSize) -> list[SheetDraft]:
    return drafts_of(pieces, heading=HEADING, size=size)


@given(pieces=sets, size=sizes)
@examples(max_examples=10, deadline=None)
def test_a_piece_that_is_on_one_sheet_lies_within_what_can_be_printed(pieces: list[Piece], size: PaperSize) -> None:
    for draft in _drafts(pieces, size):
        paper = free_window(size, is_landscape=draft.is_landscape).polygon.buffer(NO_MM)
        shown = [line_of(part) for laid in draft.pieces for part in within(laid.strokes, draft.shows)]
        assert all(shapely.covers(paper, line) for line in shown)


@given(pieces=sets, size=sizes)
@examples(max_examples=10, deadline=None)
def test_pieces_of_one_sheet_keep_apart(pieces: list[Piece], size: PaperSize) -> None:
    for draft in _drafts(pieces, size):
        apart = [shapely.distance(one.polygon, other.polygon) for one, other in combinations(draft.pieces, 2)]
        assert min(apart, default=GAP_MM) >= GAP_MM - NO_MM


@given(piece=st.one_of(plates, sectors), size=sizes)
@examples(max_examples=10, deadline=None)
def test_every_point_of_a_piece_is_on_a_sheet(piece: Piece, size: PaperSize) -> None:
    missed = [
        min(
            shapely.distance(draft.shows.polygon, shapely.Point(draft.pieces[0].strokes[line].points[at]))
            for draft in drafts
        )
        for drafts in [_drafts([piece], size)]
        for line, stroke in enumerate(drafts[0].pieces[0].strokes)
        for at in range(len(stroke.points))
    ]
    assert max(missed) == pytest.approx(0, abs=NO_MM)


@given(piece=st.one_of(plates, sectors), size=sizes)
@examples(max_examples=10, deadline=None)
def test_tiles_beside_one_another_overlap_by_15_mm_and_share_two_crosses(piece: Piece, size: PaperSize) -> None:
    tiles = [(draft, draft.tile) for draft in _drafts([piece], size) if draft.tile]
    for (one, its), (other, others) in combinations(tiles, 2):
        steps = abs(its.row - others.row), abs(its.column - others.column)
        shared = {word.says for word in one.words} & {word.says for word in other.words}
        assert len(shared) == (2 if sum(steps) == 1 else 0)
        if sum(steps) == 1:
            assert _overlap_mm(one, other, is_beside=steps == (0, 1)) == pytest.approx(OVERLAP_MM)


def _overlap_mm(one: SheetDraft, other: SheetDraft, *, is_beside: bool) -> float:
    """How much of the piece both show, across their seam."""
    first, second = (
        (draft.shows.left - draft.pieces[0].window.left, draft.shows.right - draft.pieces[0].window.left)
        if is_beside
        else (draft.shows.top - draft.pieces[0].window.top, draft.shows.bottom - draft.pieces[0].window.top)
        for draft in (one, other)
    )
    return min(first[1], second[1]) - max(first[0], second[0])


def test_left_right_and_either_foot_have_sheets_of_their_own() -> None:
    found = [(sheet.group, sheet.names) for sheet in sheets_of(a_set(), heading=HEADING, size=PaperSize.A3)]
    assert [group for group, _ in found] == [Group.LEFT, Group.LEFT, Group.RIGHT, Group.RIGHT, Group.EITHER]
    assert found[-1] == (Group.EITHER, ("Heel cushion",))


def test_small_pieces_share_a_sheet() -> None:
    plates = [a_plate(70, 45, key=f"ply {number}") for number in range(4)]
    (sheet,) = sheets_of(plates, heading=HEADING, size=PaperSize.A4)
    assert set(sheet.names) == {"Ply 0", "Ply 1", "Ply 2", "Ply 3"}


@pytest.mark.parametrize(
    ("piece", "size", "count"),
    [
        (an_insole(), PaperSize.A4, 2),
        (an_insole(), PaperSize.A3, 1),
        (a_long_stiffener(), PaperSize.A4, 2),
        (a_plate(240, 60), PaperSize.A4, 1),
        (a_plate(262, 120), PaperSize.A4, 1),
    ],
    ids=["insole on A4", "insole on A3", "long stiffener on A4", "turned", "on a sheet laid across"],
)
def test_a_piece_takes_as_few_sheets_as_it_can(piece: Piece, size: PaperSize, count: int) -> None:
    assert len(sheets_of([piece], heading=HEADING, size=size)) == count


def test_the_same_pieces_give_the_same_sheets() -> None:
    once, again = (sheets_of(a_set(), heading=HEADING, size=PaperSize.A4) for _ in range(2))
    assert [_said(sheet) for sheet in once] == [_said(sheet) for sheet in again]


def _said(sheet) -> tuple:
    return sheet.number, sheet.words, [(stroke.kind, stroke.points.tolist()) for stroke in sheet.strokes]


def test_sheets_are_numbered_through() -> None:
    sheets = sheets_of(a_set(), heading=HEADING, size=PaperSize.A4)
    assert [(sheet.number, sheet.of) for sheet in sheets] == [(n, len(sheets)) for n in range(1, len(sheets) + 1)]


def test_no_two_kinds_of_line_that_can_be_confused_are_drawn_alike() -> None:
    # The nick is part of the cut; grain has its arrow, and marks of the sheet have their own form.
    lines = [kind for kind in LineKind if kind not in {LineKind.NICK, LineKind.GRAIN}]
    assert len({STYLES[kind].dashes for kind in lines}) == len(lines)


def test_every_kind_of_line_has_its_way_of_being_drawn() -> None:
    assert set(STYLES) == {*LineKind, *Mark}


def test_every_line_of_a_piece_says_what_it_is() -> None:
    piece = an_insole()
    (sheet,) = sheets_of([piece], heading=HEADING, size=PaperSize.A3)
    said = {word.says for word in sheet.words}
    wanted = {"cut", "finished: after blocking", "joint line", "grain", "centre", "medial edge: 1 nick LEFT"}
    assert wanted - said == set()


@pytest.mark.parametrize("name", ["04-metatarsalgia", "06-hammer-toes", "11-forefoot-lost"])
def test_every_line_and_every_piece_that_a_sheet_shows_is_named_on_it(name: str) -> None:
    # The crowded ones of the twelve: scoured zones under cushions, wall puffs, fillers.
    sheets = sheets_of(pieces_of(TWELVE[name], STARTING).pieces, heading=HEADING, size=PaperSize.A4)
    missing = [(sheet.number, says) for sheet in sheets for says in _wanted(sheet) if says not in _joined(sheet)]
    assert missing == []


def _wanted(sheet: Sheet) -> set[str]:
    return {*sheet.names, *(stroke.says for stroke in sheet.strokes)}


def _joined(sheet: Sheet) -> str:
    """Words that take several lines follow one another."""
    return " ".join(word.says for word in sheet.words)


@pytest.mark.parametrize(
    ("mm", "says"),
    [
        (128.2, "reach 128 mm"),
        (71.4, "reach 71.5 mm"),
        (0.5, "reach 0.5 mm"),
        (4.0, "reach 4 mm"),
        (0.28, "reach 0.3 mm"),
    ],
)
def test_a_figure_is_said_to_half_a_millimetre_and_a_small_one_to_a_tenth(mm: float, says: str) -> None:
    assert [each.says for each in rest_said(replace(a_plate(90, 60), facts=(("reach", mm),)))] == [says]


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"material": "EVA", "thickness_mm": 8.0, "split_to_mm": 6.5}, "EVA, 8 mm, split to 6.5 mm"),
        ({"material": "", "thickness_mm": 6.0}, "6 mm"),
        ({"material": "cork sheet", "thickness_mm": None}, "cork sheet"),
    ],
)
def test_what_a_piece_is_cut_from_is_said_as_far_as_it_is_known(changes: dict[str, Any], says: str) -> None:
    said = [each.says for each in first_said(replace(a_plate(90, 60), **changes), Group.LEFT, HEADING)]
    assert said[2] == says


def test_a_figure_is_not_parted_from_its_unit() -> None:
    said = "back height 45 mm · front height 24 mm · lasting margin 13 mm"
    rows = [row for wide in range(10, 80) for row in wrapped(said, wide, size_mm=2.7, is_bold=False)]
    assert [row for row in rows if row.startswith("mm")] == []


def test_a_hole_says_that_it_is_cut_out() -> None:
    hole = np.array([(30.0, 20.0), (60.0, 20.0), (60.0, 45.0), (30.0, 45.0)])
    (sheet,) = sheets_of([a_plate(120, 90, holes=(hole,))], heading=HEADING, size=PaperSize.A4)
    assert [word.says for word in sheet.words if word.says.startswith("cut")] == ["cut out", "cut"]


def test_the_grain_has_its_arrow_at_the_end_of_its_line() -> None:
    piece = an_insole()
    grain = [stroke for stroke in lay(piece).strokes if stroke.kind is LineKind.GRAIN]
    assert grain[1].points[1].tolist() == grain[0].points[-1].tolist()


def test_a_line_cut_by_the_edge_of_a_sheet_is_in_one_part_wherever_it_begins() -> None:
    square = Line(LineKind.CUT, np.array([(0.0, 0.0), (40.0, 0.0), (40.0, 40.0), (0.0, 40.0)]), closed=True)
    laid = lay(a_plate(40, 40))
    window = laid.window.__class__(-5, -5, 20, 45)
    parts = [part for part in within(laid.strokes, window) if part.kind is LineKind.CUT]
    assert [line_of(part).length for part in parts] == [len(square.points) * 20]


def test_what_serves_either_foot_says_so_and_has_no_medial_edge() -> None:
    (sheet,) = sheets_of([a_disc()], heading=HEADING, size=PaperSize.A4)
    said = {word.says for word in sheet.words}
    assert ("EITHER FOOT" in said, [word for word in said if "medial" in word]) == (True, [])
