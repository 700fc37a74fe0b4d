"""Pattern sheets read back from the PDF: full size to a tenth of a millimetre, the right side, and words that keep clear."""

from collections.abc import Sequence
from dataclasses import replace
from functools import cached_property
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
import shapely

from cases.patterns.drafting.pieces import LineKind, Piece, on_paper
from cases.patterns.drafting.pieces_of import pieces_of
from cases.patterns.papers import pattern_pdf
from cases.patterns.sheets.laid import lay, line_of
from cases.patterns.sheets.layout import sheets_of
from cases.patterns.sheets.marks import NUMBER_MM, STYLES
from cases.patterns.sheets.paper import Group, Mark, PaperSize, Sheet
from shared.sides import SIDES, Side
from tests.papers.drawn_lines import DrawnLine, Letter, drawn_lines, letters
from tests.papers.reading import ReadPaper
from tests.patterns.figures import STARTING
from tests.patterns.on_paper import HEADING, a_disc, a_long_stiffener, a_plate, a_sector, a_set, an_insole
from tests.prescriptions.twelve import TWELVE

TITLE = "Pattern sheets, pair 2026-0117"


class Printed:
    """Pieces on sheets, printed, and what is read back of them."""

    def __init__(self, pieces: Sequence[Piece], size: PaperSize) -> None:
        self.sheets: tuple[Sheet, ...] = sheets_of(pieces, heading=HEADING, size=size)
        self.pdf = pattern_pdf(self.sheets, title=TITLE)
        self.lines = drawn_lines(self.pdf)

    @cached_property
    def letters(self) -> list[list[Letter]]:
        return letters(self.pdf)

    @cached_property
    def paper(self) -> ReadPaper:
        return ReadPaper(self.pdf)


@pytest.fixture(scope="module", params=PaperSize)
def printed(request) -> Printed:
    return Printed(a_set(), request.param)


def _alone(piece: Piece) -> list[DrawnLine]:
    """The lines of a piece that is printed alone on a large sheet."""
    (lines,) = Printed([piece], PaperSize.A3).lines
    return lines


def _of_kind(lines: Sequence[DrawnLine], kind: LineKind | Mark) -> list[DrawnLine]:
    style = STYLES[kind]
    return [
        line
        for line in lines
        if line.stroke_mm == pytest.approx(style.stroke_mm, abs=0.01)
        and line.dashes == pytest.approx(style.dashes, abs=0.01)
    ]


def _cut(lines: Sequence[DrawnLine]) -> list[DrawnLine]:
    """The cut lines that are whole: nicks are as broad, but open."""
    return [line for line in _of_kind(lines, LineKind.CUT) if line.closed]


def _distances(points: np.ndarray) -> np.ndarray:
    distances: np.ndarray = np.hypot(*(points[:, None] - points[None]).transpose(2, 0, 1))
    return distances


def test_every_sheet_is_one_page_as_large_as_its_paper(printed) -> None:
    pages = [(page.mediabox.width, page.mediabox.height) for page in printed.paper.reader.pages]
    expected = [(sheet.width_mm / 25.4 * 72, sheet.height_mm / 25.4 * 72) for sheet in printed.sheets]
    assert np.array(pages, dtype=float) == pytest.approx(np.array(expected), abs=0.01)


def test_both_check_bars_of_every_sheet_are_100_mm_long(printed) -> None:
    for lines in printed.lines:
        bars = [line.points[-1] - line.points[0] for line in _of_kind(lines, Mark.CHECK_BAR)][:2]
        assert np.abs(bars) == pytest.approx(np.array([[100.0, 0.0], [0.0, 100.0]]), abs=0.01)


def test_distances_between_drawn_points_are_those_of_the_piece_within_a_tenth_of_a_millimetre() -> None:
    piece = an_insole(Side.RIGHT)
    lines = _alone(piece)
    (drawn,) = _cut(lines)
    assert _distances(drawn.points) == pytest.approx(_distances(piece.outline), abs=0.1)


@pytest.mark.parametrize("piece", [an_insole(), a_sector(), a_plate(70, 40), a_disc()], ids=lambda piece: piece.name)
def test_the_area_within_a_drawn_cut_line_is_that_of_the_piece_within_a_fifth_of_a_percent(piece: Piece) -> None:
    lines = _alone(piece)
    (drawn,) = _cut(lines)
    assert shapely.Polygon(drawn.points).area / 100 == pytest.approx(piece.area_cm2, rel=0.002)


@pytest.mark.parametrize("side", Side)
def test_a_piece_lies_as_its_side_and_is_never_turned_over(side: Side) -> None:
    piece = an_insole(side)
    lines = _alone(piece)
    (drawn,) = _cut(lines)
    expected = on_paper(piece.outline, side) * [1, -1]
    assert drawn.points - drawn.points[0] == pytest.approx(expected - expected[0], abs=0.01)


@pytest.mark.parametrize(("side", "nicks", "is_at_right"), [(Side.LEFT, 1, True), (Side.RIGHT, 2, False)])
def test_the_medial_edge_is_nicked_at_the_right_of_a_left_piece_and_twice_at_the_left_of_a_right_one(
    side: Side, nicks: int, *, is_at_right: bool
) -> None:
    lines = _alone(an_insole(side))
    (cut,) = _cut(lines)
    middle = cut.points[:, 0].mean()
    found = [line for line in _of_kind(lines, LineKind.NICK) if not line.closed]
    assert [bool((line.points[:, 0] > middle).all()) for line in found] == [is_at_right] * nicks


def test_left_and_right_never_share_a_sheet_and_each_says_its_side_large(printed) -> None:
    for sheet, page in zip(printed.sheets, printed.letters, strict=True):
        large = "".join(letter.says for letter in page if letter.size_mm > 8)
        others = {"LEFT", "RIGHT", "EITHERFOOT"} - {sheet.group.label.replace(" ", "")}
        said = "".join(letter.says for letter in page)
        assert (large, [word for word in others if word in said]) == (sheet.group.label.replace(" ", ""), [])


def test_no_letter_lies_on_a_line(printed) -> None:
    assert _touched(printed) == []


def test_no_letter_lies_on_a_line_where_lines_are_crowded() -> None:
    pieces = pieces_of(TWELVE["06-hammer-toes"], STARTING).of(Side.LEFT)
    assert _touched(Printed(pieces, PaperSize.A4)) == []


def _touched(printed: Printed) -> list[tuple[int, str]]:
    """Letters that a line goes through, each with the number of its page."""
    return [
        (number, letter.says)
        for number, (lines, page) in enumerate(zip(printed.lines, printed.letters, strict=True), start=1)
        for letter in page
        if any(shapely.intersects(_line(line), _box(letter)) for line in lines)
    ]


def test_nothing_lies_within_10_mm_of_the_edge(printed) -> None:
    for sheet, lines, page in zip(printed.sheets, printed.lines, printed.letters, strict=True):
        shown = shapely.union_all(
            [*(_line(line) for line in lines), *(_box(each) for each in page if each.size_mm > 1)]
        )
        left, top, right, bottom = shown.bounds
        assert min(left, top, sheet.width_mm - right, sheet.height_mm - bottom) >= 10 - 0.01


def _line(line: DrawnLine) -> shapely.LineString:
    return shapely.LineString(np.concatenate([line.points, line.points[:1]]) if line.closed else line.points)


def _box(letter: Letter) -> shapely.Polygon:
    return shapely.box(letter.left, letter.top, letter.right, letter.bottom)


@pytest.mark.parametrize(
    "piece",
    [an_insole(Side.RIGHT), a_long_stiffener(), a_plate(620, 410, key="sheet of four and more")],
    ids=lambda piece: piece.key,
)
def test_the_tiles_of_a_piece_laid_cross_over_cross_give_its_whole_cut_line(piece: Piece) -> None:
    printed = Printed([piece], PaperSize.A4)
    moves = _moves([_crosses(lines, page) for lines, page in zip(printed.lines, printed.letters, strict=True)])
    drawn = shapely.union_all(
        [
            shapely.LineString(points)
            for move, lines in zip(moves, printed.lines, strict=True)
            for line in _of_kind(lines, LineKind.CUT)
            for points in pairwise(line.points + move)
        ]
    )
    away = [_farthest(drawn, piece, turned=turned) for turned in (False, True)]
    assert min(away) < 0.1


def _farthest(drawn: shapely.Geometry, piece: Piece, *, turned: bool) -> float:
    """How far the drawn lines and the cut line with its nicks lie apart at most, their corners laid on one another."""
    laid = lay(piece, turned=turned)
    cut = shapely.union_all([line_of(each) for each in laid.strokes if each.kind in {LineKind.CUT, LineKind.NICK}])
    by = np.array(cut.bounds[:2]) - np.array(drawn.bounds[:2])
    return float(shapely.hausdorff_distance(shapely.transform(drawn, lambda points: points + by), cut))


def _crosses(lines: Sequence[DrawnLine], page: Sequence[Letter]) -> dict[str, np.ndarray]:
    """The middle of each cross of a page by the number beside it."""
    arms = _of_kind(lines, Mark.REGISTER)
    middles = [level.points.mean(axis=0) for level, _ in zip(arms[::2], arms[1::2], strict=True)]
    digits = [each for each in page if each.says.isdigit() and each.size_mm == pytest.approx(NUMBER_MM, abs=0.05)]
    found = {}
    for middle in middles:
        beside = [each for each in digits if np.hypot(*(_middle(each) - middle)) < 7]
        found["".join(each.says for each in sorted(beside, key=lambda each: each.left))] = middle
    return found


def _middle(letter: Letter) -> np.ndarray:
    return np.array([(letter.left + letter.right) / 2, (letter.top + letter.bottom) / 2])


def _moves(crosses: Sequence[dict[str, np.ndarray]]) -> list[np.ndarray]:
    """By how much each page is moved to lie on the first. Two crosses of one seam must ask for the same move."""
    moves: dict[int, np.ndarray] = {0: np.zeros(2)}
    while len(moves) < len(crosses):
        here, there = next(
            (one, other)
            for one in moves
            for other in range(len(crosses))
            if other not in moves and crosses[one].keys() & crosses[other].keys()
        )
        shared = sorted(crosses[here].keys() & crosses[there].keys())
        by = np.array([crosses[here][key] + moves[here] - crosses[there][key] for key in shared])
        assert [len(shared), float(np.ptp(by, axis=0).max())] == pytest.approx([2, 0], abs=0.01)
        moves[there] = by.mean(axis=0)
    return [moves[number] for number in range(len(crosses))]


def test_a_tile_says_which_it_is_and_how_it_is_laid_to_the_next() -> None:
    first = " ".join(Printed([an_insole()], PaperSize.A4).paper.reader.pages[0].extract_text().split())
    assert [words for words in TILE_WORDS if words not in first] == []


TILE_WORDS = (
    "sheet 1 of 2",
    "Insole: row 1, column 1",
    "2 rows, 1 column: lay crosses of one number over one another, fix, then cut.",
)


def test_a_sheet_for_one_side_names_the_last_of_that_side_alone(printed: Printed) -> None:
    named = {
        (sheet.group, side)
        for sheet, page in zip(printed.sheets, printed.letters, strict=True)
        for side, words in zip(SIDES, ("last77,state3", "last77,state4"), strict=True)
        if words in "".join(each.says for each in page)
    }
    assert named == {
        (Group.LEFT, Side.LEFT),
        (Group.RIGHT, Side.RIGHT),
        *((Group.EITHER, side) for side in SIDES if Group.EITHER in {sheet.group for sheet in printed.sheets}),
    }


def test_the_head_of_a_crowded_sheet_stays_in_its_place() -> None:
    # Seven pieces of long names that serve either foot, from two lasts: the most that a head must hold.
    plies = [replace(a_plate(50, 22, key=f"k{n}"), name=f"Carbon ply {n} of 7", serves=SIDES) for n in range(1, 8)]
    lasts = ((Side.LEFT, "last 101, state 13"), (Side.RIGHT, "last 102, state 14"))
    heading = replace(HEADING, drafted_from=lasts)
    sheets = sheets_of(plies, heading=heading, size=PaperSize.A4)
    page = letters(pattern_pdf(sheets, title=TITLE))[0]
    # The rule under the head lies at 28 mm, and pieces begin at 31.
    on_the_rule = [each.says for each in page if each.bottom > 27.5 and each.top < 31 and each.size_mm > 1]
    said = "".join(each.says for each in page)
    assert (on_the_rule, "Carbonply4of7and2more" in said, "last102,state14" in said) == ([], True, True)


def test_a_piece_says_what_it_is_cut_from_and_for_whom(printed) -> None:
    said = printed.paper.text
    assert [words for words in PIECE_WORDS if words not in said] == []


PIECE_WORDS = (
    "vegetable-tanned shoulder, 4.2 mm",
    "vegetable-tanned belly, 2.8 mm",
    "serves either foot: cut 1 for each foot",
    "record R-20417",
    "pair 2026-0117",
    "version 2, signed 20 Nov 2026",
    "Starting piece: cut full, trim on the last.",
    "Print at actual size. Measure both bars: 100 mm.",
    "The prescriber's prescription and the check at the bench decide.",
    "medial edge: 1 nick LEFT",
    "medial edge: 2 nicks RIGHT",
    "feather edge: margin 13 mm",
    "skive from here: top 15 mm to nothing",
    "centre back",
    "joint line",
    "grain",
)


def test_each_sheet_is_a_figure_with_its_words_for_who_does_not_see_it(printed) -> None:
    tree: Any = printed.paper.reader.root_object["/StructTreeRoot"]
    assert _alternatives(tree) == [
        f"{sheet.group.label} at full size: {', '.join(sheet.names)}"
        f"{f', {sheet.tile.label}' if sheet.tile else ''}. Two check bars of 100 mm."
        for sheet in printed.sheets
    ]


def _alternatives(node) -> list[str]:
    found = [str(node["/Alt"])] if node.get("/S") == "/Figure" else []
    kids = node.get("/K", [])
    for kid in kids if isinstance(kids, list) else [kids]:
        child = kid.get_object()
        if isinstance(child, dict) and ("/S" in child or "/K" in child):
            found += _alternatives(child)
    return found
