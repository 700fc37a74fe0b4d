"""LEFT beside RIGHT: nothing lost, nothing moved to the other foot, each foot in its own order."""

from hypothesis import given
from hypothesis import strategies as st

from cases.overview.side_by_side import side_by_side
from cases.prescriptions.described import FootInWords, PartInWords

PARTS = ["stiffener", "toe_puff", "insole", "cushion_heel", "shank", "carbon", "posting"]
SUBSETS = st.sets(st.sampled_from(PARTS)).map(lambda chosen: [part for part in PARTS if part in chosen])


def foot(side: str, parts: list[str]) -> FootInWords:
    words = tuple(PartInWords(part, part.capitalize(), (("of", side),)) for part in parts)
    return FootInWords(side=side, visible=(), closed_in=words, underfoot=())


@given(SUBSETS, SUBSETS)
def test_every_part_stands_once_on_its_own_side_in_its_own_order(left, right) -> None:
    rows = [row for group in side_by_side([foot("left", left), foot("right", right)]) for row in group.rows]
    assert [row.left.part for row in rows if row.left] == left
    assert [row.right.part for row in rows if row.right] == right
    assert {row.left.lines for row in rows if row.left} <= {(("of", "left"),)}
    assert {row.right.lines for row in rows if row.right} <= {(("of", "right"),)}


@given(SUBSETS)
def test_a_single_shoe_leaves_the_other_side_empty(right) -> None:
    rows = [row for group in side_by_side([foot("right", right)]) for row in group.rows]
    assert [(row.left, row.key) for row in rows] == [(None, part) for part in right]


def test_what_is_closed_in_comes_first_and_what_is_empty_is_not_there() -> None:
    words = (PartInWords("sole", "Sole", (("thickness", "8 mm"),)),)
    feet = [FootInWords(side="left", visible=words, closed_in=words, underfoot=())]
    assert [group.name for group in side_by_side(feet)] == ["Closed in", "Visible"]


def test_parts_that_a_page_shows_elsewhere_are_left_out() -> None:
    feet = [foot("left", ["stiffener", "shank"])]
    groups = side_by_side(feet, leave_out=frozenset({"shank"}))
    assert [row.key for group in groups for row in group.rows] == ["stiffener"]
