"""A scan drawn from three sides: left and right, medial and lateral where they belong."""

from typing import Any

import pytest

from cases.lasts.drawings.plans import Drawing
from cases.lasts.drawings.scans import scan_drawings
from cases.lasts.meshes.measuring import measure
from demo.scans import foot_mesh, stl_of
from shared.sides import Side

MEASURED = {
    side: measure(stl_of(foot_mesh(side=side.value, length_mm=268, bulge_mm=8)), side=side.value, asked={})
    for side in Side
}


def drawings(side: Side) -> tuple[Drawing, Drawing, Drawing]:
    return scan_drawings(MEASURED[side], side)


def word(drawing: Drawing, says: str) -> Any:
    return next(word for word in drawing.words if word.says == says)


def toe_x(drawing: Drawing) -> float:
    """Where the lowest end of the foot lies across the page: the toe, for the other end carries the ankle."""
    places = [tuple(map(float, place.split())) for place in drawing.path.strip("MZ").split("L")]
    left, right = min(places), max(places)
    top_at = min(places, key=lambda place: place[1])[0]
    return left[0] if abs(top_at - right[0]) < abs(top_at - left[0]) else right[0]


@pytest.mark.parametrize(("side", "medial_is_at_the"), [(Side.LEFT, "right"), (Side.RIGHT, "left")])
def test_from_above_medial_is_towards_the_other_foot(side: Side, medial_is_at_the: str) -> None:
    above = drawings(side)[0]
    medial, lateral = word(above, "MEDIAL"), word(above, "LATERAL")
    assert ("left" if medial.x < lateral.x else "right") == medial_is_at_the


@pytest.mark.parametrize("side", Side)
def test_from_above_the_joint_stands_out_to_medial(side: Side) -> None:
    above = drawings(side)[0]
    assert abs(word(above, "joint").x - word(above, "MEDIAL").x) < abs(
        word(above, "joint").x - word(above, "LATERAL").x
    )


@pytest.mark.parametrize("side", Side)
def test_from_above_the_toes_are_up_the_page(side: Side) -> None:
    above = drawings(side)[0]
    assert word(above, "joint").y < word(above, "instep").y < word(above, side.label).y


@pytest.mark.parametrize(
    ("side", "edge", "toes_at_the"),
    [
        (Side.LEFT, "MEDIAL", "right"),
        (Side.LEFT, "LATERAL", "left"),
        (Side.RIGHT, "MEDIAL", "left"),
        (Side.RIGHT, "LATERAL", "right"),
    ],
)
def test_from_the_side_the_toes_point_as_they_do_for_who_stands_there(side: Side, edge: str, toes_at_the: str) -> None:
    drawing = next(
        each for each in drawings(side) if f"{side.label}, {edge} side" in [word.says for word in each.words]
    )
    assert ("left" if toe_x(drawing) < drawing.width / 2 else "right") == toes_at_the


@pytest.mark.parametrize("side", Side)
def test_each_drawing_says_which_foot_it_shows_and_from_where(side: Side) -> None:
    assert [drawing.says.split(", ")[0] for drawing in drawings(side)] == [
        f"{side.label} scan from above",
        f"{side.label} scan from its medial side",
        f"{side.label} scan from its lateral side",
    ]


@pytest.mark.parametrize("side", Side)
def test_everything_lies_within_its_frame(side: Side) -> None:
    astray = [
        (drawing.says, each)
        for drawing in drawings(side)
        for each in (
            *((word.x, word.y) for word in drawing.words),
            *((x, y) for line in drawing.strokes for x, y in ((line.x1, line.y1), (line.x2, line.y2))),
        )
        if not (0 <= each[0] <= drawing.width and 0 <= each[1] <= drawing.height)
    ]
    assert astray == []


def test_every_girth_is_named_from_the_side() -> None:
    names = [word.says for word in drawings(Side.LEFT)[1].words]
    assert sorted(names) == ["LEFT, MEDIAL side", "instep", "joint", "long heel", "short heel", "waist"]
