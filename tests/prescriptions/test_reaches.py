"""How far a stiffener reaches. The parts of the arc are common practice, without a source."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.prescriptions.reaches import (
    WORDS,
    Arcs,
    ReachSettings,
    ReachWords,
    filled_in,
    reach_mm,
    reach_workings,
    worked_out,
)
from shared.sides import Edge

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


MEASURED = Arcs(medial_mm=Decimal(200), lateral_mm=Decimal(180), taken="taken today")


def reaches_of(medial: str, lateral: str, arcs: Arcs = MEASURED) -> tuple[Decimal | None, Decimal | None]:
    words = ReachWords(medial, lateral)
    found = [worked_out(words, edge=edge, arcs=arcs, settings=SETTINGS) for edge in (Edge.MEDIAL, Edge.LATERAL)]
    return found[0], found[1]


@pytest.mark.parametrize(
    ("medial", "lateral", "expected_mm"),
    [
        ("medium", "medium", (130, 117)),
        ("long", "short", (180, 81)),
        ("short", "long", (90, 162)),
        ("short", "none", (90, None)),
        ("short", "short", (81, 81)),
    ],
)
def test_a_side_reaches_by_its_own_arc_but_for_short_on_both_sides(
    medial: str, lateral: str, expected_mm: tuple[int, int | None]
) -> None:
    """Common practice, no source: short on both sides goes by the lateral arc, so that it serves either foot."""
    assert reaches_of(medial, lateral) == tuple(map(mm, expected_mm))


def test_short_on_both_sides_is_not_worked_out_without_the_lateral_arc() -> None:
    assert reaches_of("short", "short", Arcs(medial_mm=Decimal(200))) == (None, None)


def test_the_workings_say_what_was_put_in_and_how_far_it_may_be_trusted() -> None:
    sheet = reach_workings(ReachWords("none", "long"), edge=Edge.LATERAL, arcs=MEASURED, settings=SETTINGS)
    assert sheet is not None
    assert (sheet.result, sheet.source, sheet.inputs) == (
        "long 162 mm",
        "common practice, no source",
        (
            ("arc", "180 mm, from centre back to the 5th joint along the feather edge"),
            ("part", "0.9"),
            ("behind the joint line at least", "10 mm"),
            ("drawn from", "taken today"),
        ),
    )


def test_the_workings_say_whose_arc_a_short_one_on_both_sides_goes_by() -> None:
    sheet = reach_workings(ReachWords("short", "short"), edge=Edge.MEDIAL, arcs=MEASURED, settings=SETTINGS)
    assert sheet is not None
    assert (sheet.name, sheet.result, sheet.formula, sheet.inputs[0]) == (
        "medial reach, short on both sides",
        "short on both sides 81 mm",
        "part × lateral arc, so that it serves either foot",
        ("arc", "180 mm, from centre back to the 5th joint along the feather edge"),
    )


def test_what_was_not_measured_is_not_worked_out() -> None:
    arcs = Arcs(lateral_mm=Decimal(180))
    assert reach_workings(ReachWords("long", "none"), edge=Edge.MEDIAL, arcs=arcs, settings=SETTINGS) is None


@pytest.mark.parametrize(
    ("typed", "word", "before", "before_mm", "arc", "kept"),
    [
        (None, "long", None, None, 200, 180),
        (171, "long", "medium", 130, 200, 171),
        (171, "long", None, None, 200, 171),
        (130, "long", "medium", 130, 200, 180),
        (130, "medium", "medium", 130, 200, 130),
        (130, "long", "medium", 130, None, 130),
        (130, "none", "medium", 130, 200, None),
    ],
    ids=[
        "nothing typed: worked out",
        "typed: stands",
        "typed into a new stiffener: stands",
        "the word alone changed: worked out anew",
        "nothing changed: stays",
        "not measured: stays",
        "no stiffener on this side: no reach",
    ],
)
def test_the_reach_that_is_kept(
    *, typed: int | None, word: str, before: str | None, before_mm: int | None, arc: int | None, kept: int | None
) -> None:
    found = filled_in(
        mm(typed),
        edge=Edge.MEDIAL,
        words=ReachWords(word, "none"),
        before=None if before is None else ReachWords(before, "none"),
        before_mm=mm(before_mm),
        arcs=Arcs(medial_mm=mm(arc)),
        settings=SETTINGS,
    )
    assert found == mm(kept)


def test_a_short_medial_reach_is_worked_out_anew_where_the_lateral_side_becomes_short_too() -> None:
    found = filled_in(
        Decimal(90),
        edge=Edge.MEDIAL,
        words=ReachWords("short", "short"),
        before=ReachWords("short", "medium"),
        before_mm=Decimal(90),
        arcs=MEASURED,
        settings=SETTINGS,
    )
    assert found == 81


def mm(value: int | None) -> Decimal | None:
    return None if value is None else Decimal(value)
