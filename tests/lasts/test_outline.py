"""The plan outline: it honours what was measured, is one simple smooth line, and knows no left or right.

Survey: ANSUR II, NATICK/TR-15/007. Parallel curves: Steiner's formula for convex bodies, as in any handbook of
integral geometry.
"""

import csv
import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from cases.lasts.drawings.plans import on_page
from cases.lasts.outline import HEEL_WIDEST_AT, Bulge, Outline, PlanShape, ToeShape, outline_of
from shared.calculations import BadInput
from shared.sides import Side

FIRST_MAN = PlanShape(length_mm=273, joint_width_mm=101, heel_width_mm=70, heel_to_joint_mm=202)
"""The right foot of the first man of the survey."""

SHARPEST_TURN_DEGREES = 20.0
"""Between two neighbouring pieces of the line, each one to four millimetres long."""

HONOURED_MM = 0.1


def widths(outline: Outline, *, heel_at_mm: float) -> tuple[float, float]:
    """What a caliper finds on the finished line: the widest of the forepart, and the heel where it was laid."""
    x, y = outline.points.T
    fore = x > 0.45 * x.max()
    heel = outline.polygon.intersection(shapely.LineString([(heel_at_mm, -300), (heel_at_mm, 300)]))
    return float(y[fore].max() - y[fore].min()), float(heel.length)


def turns_degrees(outline: Outline) -> np.ndarray:
    steps = np.diff(np.vstack([outline.points, outline.points[:2]]), axis=0)
    steps = steps[np.hypot(*steps.T) > 1e-6]
    headings = np.unwrap(np.arctan2(steps[:, 1], steps[:, 0]))
    turns: np.ndarray = np.degrees(np.abs(np.diff(headings)))
    return turns


def random_feet(how_many: int) -> Iterator[PlanShape]:
    """Plausible feet, seeded: the survey's range widened to children, swollen, short and broad feet."""
    chance = np.random.default_rng(20261125)
    for _ in range(how_many):
        length = chance.uniform(140, 320)
        joint_at = chance.uniform(0.66, 0.80) * length
        joint_width = chance.uniform(0.30, 0.55) * length
        yield PlanShape(
            length_mm=length,
            joint_width_mm=joint_width,
            heel_width_mm=chance.uniform(0.50, 0.90) * joint_width,
            heel_to_joint_mm=joint_at,
            heel_to_fifth_mm=joint_at - chance.uniform(0.02, 0.14) * length,
            toe_shape=list(ToeShape)[chance.integers(len(ToeShape))],
        )


EXTREMES = {
    "a big-toe joint 18 mm out": PlanShape(262, 118, 68, 192, 168, bulges=(Bulge(True, 192, 60, 18),)),
    "a foot 40 mm shorter than its fellow": PlanShape(233, 96, 66, 172, 150),
    "a partial foot": PlanShape(165, 96, 68, is_partial=True),
    "a foot of 60 mm width on 140 mm": PlanShape(140, 60, 45, 104, 90),
    "bulges on both edges and over the heel": PlanShape(
        270, 120, 84, 200, 175, bulges=(Bulge(True, 120, 120, 15), Bulge(False, 175, 80, 12), Bulge(True, 40, 60, 9))
    ),
    "a rocker-bottom foot as wide at the waist as at the joint": PlanShape(
        255, 108, 74, 190, 165, bulges=(Bulge(True, 125, 150, 30), Bulge(False, 125, 150, 24))
    ),
    "the narrowest": PlanShape(320, 60, 40, 235, 210),
    "the widest": PlanShape(200, 150, 110, 148, 128),
}


def test_ten_thousand_plausible_feet_are_each_one_simple_closed_line() -> None:
    broken = [shape for shape in random_feet(10_000) if not outline_of(shape).polygon.is_valid]
    assert broken == []


def test_two_thousand_plausible_feet_honour_their_lengths_and_widths() -> None:
    off = []
    for shape in random_feet(2_000):
        outline = outline_of(shape)
        joint, heel = widths(outline, heel_at_mm=HEEL_WIDEST_AT * shape.length_mm)
        found = (outline.points[:, 0].min(), outline.points[:, 0].max(), joint, heel)
        wanted = (0.0, shape.length_mm, shape.joint_width_mm, shape.heel_width_mm)
        if not np.allclose(found, wanted, atol=HONOURED_MM):
            off.append((shape, found))
    assert off == []


def test_two_thousand_plausible_feet_have_no_corner() -> None:
    sharp = [shape for shape in random_feet(2_000) if turns_degrees(outline_of(shape)).max() > SHARPEST_TURN_DEGREES]
    assert sharp == []


@pytest.mark.parametrize("shape", EXTREMES.values(), ids=list(EXTREMES))
def test_a_foot_far_from_regular_is_one_simple_closed_line(shape: PlanShape) -> None:
    assert outline_of(shape).polygon.is_valid


@pytest.mark.parametrize("shape", EXTREMES.values(), ids=list(EXTREMES))
def test_a_foot_far_from_regular_has_no_corner(shape: PlanShape) -> None:
    assert turns_degrees(outline_of(shape)).max() < SHARPEST_TURN_DEGREES


@pytest.mark.parametrize("shape", EXTREMES.values(), ids=list(EXTREMES))
def test_a_foot_far_from_regular_honours_length_and_joint_width(shape: PlanShape) -> None:
    outline = outline_of(shape)
    across = outline.medial_joint[1] - outline.lateral_joint[1]
    assert (outline.points[:, 0].max(), across) == pytest.approx(
        (shape.length_mm, shape.joint_width_mm), abs=HONOURED_MM
    )


def test_the_joints_lie_where_they_were_measured() -> None:
    outline = outline_of(replace(FIRST_MAN, heel_to_fifth_mm=176))
    assert (outline.medial_joint[0], outline.lateral_joint[0]) == pytest.approx((202, 176), abs=HONOURED_MM)


def test_the_line_passes_the_joint_points() -> None:
    outline = outline_of(EXTREMES["a big-toe joint 18 mm out"])
    away = [
        outline.polygon.exterior.distance(shapely.Point(at)) for at in (outline.medial_joint, outline.lateral_joint)
    ]
    assert away == pytest.approx([0, 0], abs=1e-6)


def test_a_bulge_stands_out_by_what_was_measured_beyond_the_regular_line() -> None:
    """Away from heel and joint, where no caliper lay on it."""
    regular, bulging = (outline_of(replace(FIRST_MAN, bulges=each)) for each in ((), (Bulge(False, 110, 60, 12),)))
    at = shapely.LineString([(110, 0), (110, -200)])
    edges = [each.polygon.exterior.intersection(at).y for each in (regular, bulging)]
    assert edges[0] - edges[1] == pytest.approx(12, abs=HONOURED_MM)


def test_a_medial_bulge_leaves_the_lateral_edge_where_it_was() -> None:
    regular, bulging = (outline_of(replace(FIRST_MAN, bulges=each)) for each in ((), (Bulge(True, 110, 60, 12),)))
    assert bulging.points[:, 1].min() == pytest.approx(regular.points[:, 1].min(), abs=1e-9)


@given(
    st.floats(5, 34),
    st.booleans(),
    st.floats(20, 250),
    st.floats(10, 200),
)
def test_a_bulge_never_makes_the_line_cross_itself(beyond: float, is_medial: bool, at: float, extent: float) -> None:  # noqa: FBT001
    shape = replace(FIRST_MAN, bulges=(Bulge(is_medial, at, extent, beyond),))
    assert outline_of(shape).polygon.is_valid


def test_more_width_never_means_less_area() -> None:
    areas = [outline_of(replace(FIRST_MAN, joint_width_mm=width)).area_cm2 for width in (90, 100, 110, 120)]
    assert areas == sorted(areas)


@settings(max_examples=50)
@given(st.floats(150, 320))
def test_a_foot_grown_in_every_figure_grows_its_outline_alike(length: float) -> None:
    grown = length / FIRST_MAN.length_mm
    shape = PlanShape(length, 101 * grown, 70 * grown, 202 * grown)
    assert outline_of(shape).area_cm2 == pytest.approx(outline_of(FIRST_MAN).area_cm2 * grown**2, rel=1e-9)


def test_left_is_the_mirror_of_right_on_the_page() -> None:
    outline = outline_of(EXTREMES["a big-toe joint 18 mm out"])
    left, right = (on_page(outline.points, side, width=200, height=320) for side in (Side.LEFT, Side.RIGHT))
    assert np.abs(left - right * [-1, 1] - [200, 0]).max() == pytest.approx(0, abs=1e-9)


def test_the_big_toe_joint_of_the_left_foot_lies_towards_the_right_of_the_page() -> None:
    outline = outline_of(EXTREMES["a big-toe joint 18 mm out"])
    at = {side: on_page(np.array([outline.medial_joint]), side, width=200, height=320)[0, 0] for side in Side}
    assert (at[Side.LEFT] > 100, at[Side.RIGHT] < 100) == (True, True)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"length_mm": -270}, "length_mm is -270 mm; allowed is 60 to 420 mm"),
        ({"joint_width_mm": math.nan}, "joint_width_mm is nan mm; allowed is 30 to 220 mm"),
        ({"heel_to_joint_mm": 272}, "heel_to_joint_mm is 272 mm; allowed is 95.55 to 269 mm"),
        ({"bulges": (Bulge(True, 500, 60, 12),)}, "bulge from_heel_mm is 500 mm; allowed is 1 to 272 mm"),
        (
            {"bulges": (Bulge(True, 202, 60, 70),)},
            "bulges is 70 mm of a joint_width_mm of 101; allowed is not more than half of the width",
        ),
    ],
)
def test_figures_no_foot_has_are_refused_in_a_sentence(change: dict[str, object], sentence: str) -> None:
    with pytest.raises(BadInput) as refused:
        outline_of(replace(FIRST_MAN, **change))  # type: ignore[arg-type]
    assert str(refused.value) == sentence


def test_a_line_laid_round_a_convex_outline_is_longer_by_two_pi_times_its_distance() -> None:
    """The parallel-curve theorem, against the geometry library's buffer of a fine polygon."""
    hull = outline_of(FIRST_MAN).polygon.convex_hull
    around = hull.buffer(4.0, quad_segs=256)
    assert around.exterior.length - hull.exterior.length == pytest.approx(2 * math.pi * 4.0, abs=0.01)


def test_the_area_between_grows_as_steiner_says() -> None:
    hull = outline_of(FIRST_MAN).polygon.convex_hull
    expected = hull.area + hull.exterior.length * 4.0 + math.pi * 4.0**2
    assert hull.buffer(4.0, quad_segs=256).area == pytest.approx(expected, rel=1e-5)


SURVEY = Path(__file__).parents[3] / "shared" / "data" / "ansur2_foot_public.csv"


@pytest.mark.skipif(not SURVEY.exists(), reason="the open survey's file lies beside the project only where it was put")
def test_every_foot_of_the_open_survey_can_be_drawn() -> None:
    with SURVEY.open() as file:
        rows = list(csv.DictReader(file))
    names = {"foot_length": "footlength", "joint_width": "footbreadthhorizontal", "heel_width": "heelbreadth"}
    drawn = [
        outline_of(
            PlanShape(
                float(row[names["foot_length"]]),
                float(row[names["joint_width"]]),
                float(row[names["heel_width"]]),
                float(row["balloffootlength"]),
            )
        ).polygon.is_valid
        for row in rows
    ]
    assert (len(drawn), all(drawn)) == (6068, True)
