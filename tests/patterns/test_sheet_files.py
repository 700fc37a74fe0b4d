"""The pieces as files for a cutting table: SVG and DXF read back, in millimetres, each kind of line apart."""

import io
import re
import xml.etree.ElementTree as ET
from collections.abc import Callable
from dataclasses import fields
from typing import Any

import ezdxf
import numpy as np
import pytest
import shapely

from cases.patterns.drafting.pieces import LineKind, Piece, on_paper
from cases.patterns.sheets.board import board_of
from cases.patterns.sheets.dxf import WORDS_LAYER, layer_of, pieces_dxf
from cases.patterns.sheets.paper import Group, Heading, Mark, groups_in
from cases.patterns.sheets.svg import pieces_svg
from shared.calculations import BadInput
from shared.sides import Side
from tests.patterns.on_paper import HEADING, a_plate, a_sector, a_set, an_insole

SVG = "{http://www.w3.org/2000/svg}"


def _svg(pieces, group: Group) -> Any:
    return ET.fromstring(pieces_svg(pieces, heading=HEADING, group=group))  # noqa: S314  # our own


def _dxf(pieces, group: Group) -> Any:
    return ezdxf.read(io.StringIO(pieces_dxf(pieces, heading=HEADING, group=group).decode()))  # type: ignore[attr-defined]


def _svg_lines(drawing, kind: str) -> list[np.ndarray]:
    """The points of each line of a kind, x to the right and y down."""
    paths = [path.get("d") for group in drawing.iter(f"{SVG}g") if group.get("class") == kind for path in group]
    return [np.array(re.findall(r"(-?[\d.]+) (-?[\d.]+)", path), dtype=float) for path in paths]


def _dxf_lines(drawing, layer: str) -> list[np.ndarray]:
    """The points of each line of a layer, x to the right and y down."""
    found = drawing.modelspace().query(f'LWPOLYLINE[layer=="{layer}"]')
    return [np.array([point[:2] for point in line.get_points()]) * [1, -1] for line in found]


READ: list[tuple[Callable[..., Any], Callable[..., Any], str]] = [
    (_svg, _svg_lines, "cut"),
    (_dxf, _dxf_lines, "CUT"),
]
in_both = pytest.mark.parametrize(("read", "lines_of", "cut"), READ, ids=["SVG", "DXF"])


@in_both
@pytest.mark.parametrize(
    "piece",
    [an_insole(Side.LEFT), an_insole(Side.RIGHT), a_sector(Side.RIGHT)],
    ids=["insole LEFT", "insole RIGHT", "stiffener RIGHT"],
)
def test_a_cut_line_is_there_point_by_point_as_its_side_lies(read, lines_of, cut: str, piece: Piece) -> None:
    side = piece.serves[0]
    (found,) = lines_of(read([piece], Group(side.value)), cut)
    expected = on_paper(piece.outline, side) * [1, -1]
    assert found - found[0] == pytest.approx(expected - expected[0], abs=0.01)


@in_both
def test_pieces_lie_apart(read, lines_of, cut: str) -> None:
    pieces = [shapely.Polygon(points) for points in lines_of(read(a_set(), Group.LEFT), cut)]
    apart = [one.distance(other) for number, one in enumerate(pieces) for other in pieces[:number]]
    assert [len(pieces), min(apart) >= 8] == [4, True]


@in_both
def test_the_check_bars_are_100_mm_long(read, lines_of, cut: str) -> None:
    bars = lines_of(read(a_set(), Group.LEFT), "check-bar" if cut == "cut" else "CHECK_BAR")[:2]
    assert np.abs([bar[1] - bar[0] for bar in bars]) == pytest.approx(np.array([[100.0, 0.0], [0.0, 100.0]]), abs=0.01)


@pytest.mark.parametrize("write", [pieces_svg, pieces_dxf])
def test_a_side_without_pieces_gives_no_file(write) -> None:
    with pytest.raises(BadInput, match="RIGHT"):
        write([an_insole(Side.LEFT)], heading=HEADING, group=Group.RIGHT)


def test_there_is_a_file_for_each_side_and_one_for_what_serves_either_foot() -> None:
    assert groups_in(a_set()) == (Group.LEFT, Group.RIGHT, Group.EITHER)


def test_the_svg_is_as_many_millimetres_large_as_its_drawing_has_units() -> None:
    drawing = _svg(a_set(), Group.LEFT)
    wide, high = drawing.get("viewBox").split()[2:]
    assert (drawing.get("width"), drawing.get("height")) == (f"{wide}mm", f"{high}mm")


def test_the_svg_has_neither_style_nor_script_and_says_what_it_shows() -> None:
    drawing = _svg(a_set(), Group.RIGHT)
    styled = [each.tag for each in drawing.iter() if each.get("style") or each.tag in {f"{SVG}style", f"{SVG}script"}]
    title = drawing.find(f"{SVG}title").text
    assert (styled, title.startswith("RIGHT, pair 2026-0117"), drawing.get("aria-label")) == ([], True, title)


def test_words_of_an_svg_are_escaped() -> None:
    piece = a_plate(90, 60, key="<b> & more")
    assert "<b>" not in pieces_svg([piece], heading=HEADING, group=Group.LEFT)


def test_the_dxf_is_sound_and_in_millimetres() -> None:
    drawing = _dxf(a_set(), Group.LEFT)
    assert (drawing.audit().errors, drawing.units, drawing.dxfversion) == ([], 4, "AC1024")


def test_each_kind_of_line_has_a_layer_of_the_dxf_and_lies_on_it() -> None:
    pieces = [an_insole(), a_sector()]
    drawing = _dxf(pieces, Group.LEFT)
    drawn = [layer_of(stroke.kind) for stroke in board_of(pieces, heading=HEADING, group=Group.LEFT).strokes]
    found = [line.dxf.layer for line in drawing.modelspace().query("LWPOLYLINE")]
    layers = {layer.dxf.name for layer in drawing.layers}
    assert (found, {layer_of(kind) for kind in (*LineKind, *Mark)} - layers) == (drawn, set())


def test_the_words_of_a_dxf_are_on_a_layer_of_their_own() -> None:
    texts = _dxf([an_insole()], Group.LEFT).modelspace().query("TEXT")
    said = " ".join(text.dxf.text for text in texts)
    assert ({text.dxf.layer for text in texts}, "record R-20417" in said, "LEFT" in said) == ({WORDS_LAYER}, True, True)


def test_a_heading_has_no_place_for_a_name() -> None:
    assert [field.name for field in fields(Heading)] == [
        "pair_number",
        "record_number",
        "version",
        "signed_on",
        "drafted_from",
    ]
