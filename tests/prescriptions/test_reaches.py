"""How far a stiffener reaches. The parts of the arc are common practice, without a source."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.prescriptions.reaches import WORDS, Arcs, ReachSettings, filled_in, reach_mm, reach_workings

SETTINGS = ReachSettings(
    short=Decimal("0.45"),
    medium=Decimal("0.65"),
    long=Decimal("0.90"),
    long_behind_joint_mm=Decimal(10),
    source="common practice, no source",
)
arcs_mm = st.decimals(min_value=80, max_value=300, places=1)


@pytest.mark.parametrize(
    ("word", "arc_mm", "expected_mm"),
    [("long", 200, 180), ("short", 180, 81), ("medium", 200, 130), ("medium", 180, 117), ("long", 90, 80)],
)
def test_reaches_are_the_bench_s_parts_of_the_arc(word: str, arc_mm: int, expected_mm: int) -> None:
    """Common practice, no source: a foot of 270 mm with 200 mm from heel to joint, and a child's arc of 90 mm."""
    assert reach_mm(word, arc_mm=Decimal(arc_mm), settings=SETTINGS) == expected_mm


@given(arcs_mm)
def test_short_is_shorter_than_medium_and_medium_than_long(arc_mm: Decimal) -> None:
    short, medium, long = (reach_mm(word, arc_mm=arc_mm, settings=SETTINGS) for word in WORDS)
    assert 0 < short < medium < long


@given(arcs_mm)
def test_a_long_one_stops_behind_the_joint_line(arc_mm: Decimal) -> None:
    """Ten mm, less the half mm by which a whole mm may be rounded up."""
    assert arc_mm - reach_mm("long", arc_mm=arc_mm, settings=SETTINGS) >= Decimal("9.5")


def test_the_workings_say_what_was_put_in_and_how_far_it_may_be_trusted() -> None:
    sheet = reach_workings(
        "long", edge="lateral", arcs=Arcs(lateral_mm=Decimal(180), taken="taken today"), settings=SETTINGS
    )
    assert sheet is not None
    assert (sheet.result, sheet.source, sheet.inputs) == (
        "long 162 mm",
        "common practice, no source",
        (
            ("arc", "180 mm, heel to 5th joint"),
            ("part", "0.9"),
            ("behind the joint line at least", "10 mm"),
            ("measures", "taken today"),
        ),
    )


def test_what_was_not_measured_is_not_worked_out() -> None:
    assert reach_workings("long", edge="medial", arcs=Arcs(lateral_mm=Decimal(180)), settings=SETTINGS) is None


@pytest.mark.parametrize(
    ("typed", "word", "before_word", "before", "arc", "kept"),
    [
        (None, "long", "", None, 200, 180),
        (171, "long", "medium", 130, 200, 171),
        (130, "long", "medium", 130, 200, 180),
        (130, "medium", "medium", 130, 200, 130),
        (130, "long", "medium", 130, None, 130),
        (130, "none", "medium", 130, 200, None),
    ],
    ids=[
        "nothing typed: worked out",
        "typed: stands",
        "the word alone changed: worked out anew",
        "nothing changed: stays",
        "not measured: stays",
        "no stiffener on this side: no reach",
    ],
)
def test_the_reach_that_is_kept(
    *, typed: int | None, word: str, before_word: str, before: int | None, arc: int | None, kept: int | None
) -> None:
    def mm(value: int | None) -> Decimal | None:
        return None if value is None else Decimal(value)

    found = filled_in(
        mm(typed), word=word, before_word=before_word, before_mm=mm(before), arc_mm=mm(arc), settings=SETTINGS
    )
    assert found == mm(kept)
