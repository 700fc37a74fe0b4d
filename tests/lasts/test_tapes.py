"""The drawing that shows where each tape and stick lies."""

import re

import pytest

from cases.lasts.drawings.tapes import HIGH, WIDE, mirrored, tapes
from cases.lasts.measures import MEASURES

POINT = re.compile(r"(-?[0-9.]+) (-?[0-9.]+)")


def points(path: str) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in POINT.findall(path)]


def middle_of(path: str) -> float:
    across = [x for x, _ in points(path)]
    return (min(across) + max(across)) / 2


def test_every_measure_lies_somewhere_under_the_number_it_has_in_the_list() -> None:
    assert [(line.number, line.key) for line in tapes("left").lines] == [
        (number, kind.key) for number, kind in enumerate(MEASURES, start=1)
    ]


def test_what_a_tape_measures_is_drawn_as_a_tape() -> None:
    assert {line.key for line in tapes("left").lines if line.is_tape} == {
        kind.key for kind in MEASURES if kind.touches.startswith("tape")
    }


@pytest.mark.parametrize("side", ["left", "right"])
def test_everything_stands_on_the_drawing(side: str) -> None:
    drawing = tapes(side)
    paths = [drawing.from_above, drawing.from_the_side, *(line.path for line in drawing.lines)]
    everywhere = [point for path in paths for point in points(path)] + [(line.x, line.y) for line in drawing.lines]
    assert [(x, y) for x, y in everywhere if not (0 <= x <= WIDE and 0 <= y <= HIGH)] == []


def test_the_right_foot_is_the_mirror_of_the_left() -> None:
    left, right = tapes("left"), tapes("right")
    assert [(WIDE - line.x, line.y, mirrored(line.path)) for line in left.lines] == [
        (line.x, line.y, line.path) for line in right.lines
    ]


def test_the_big_toes_lie_beside_each_other_in_the_middle_of_the_page() -> None:
    """As the wearer looks down: the LEFT foot's medial edge at the right of its drawing, the RIGHT foot's at the left."""
    longest = {side: min(points(tapes(side).from_above), key=lambda point: point[1])[0] for side in ("left", "right")}
    middles = {side: middle_of(tapes(side).from_above) for side in ("left", "right")}
    assert (longest["left"] > middles["left"], longest["right"] < middles["right"]) == (True, True)


@pytest.mark.parametrize(("side", "medial_is_right"), [("left", True), ("right", False)])
def test_the_words_medial_and_lateral_stand_at_their_edges(side: str, *, medial_is_right: bool) -> None:
    at = {word.text: word.x for word in tapes(side).words}
    assert (at["medial"] > at["lateral"]) is medial_is_right


@pytest.mark.parametrize(("side", "toes_at_the_right"), [("left", True), ("right", False)])
def test_both_feet_point_to_the_middle_of_the_page_when_seen_from_the_side(
    side: str, *, toes_at_the_right: bool
) -> None:
    lines = {line.key: line.x for line in tapes(side).lines}
    assert (lines["toe_depth"] > lines["ankle_girth"]) is toes_at_the_right


def test_a_path_mirrored_twice_is_itself() -> None:
    path = tapes("left").from_the_side
    assert points(mirrored(mirrored(path))) == points(path)
