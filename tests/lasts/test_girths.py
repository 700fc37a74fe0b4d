"""Girths against worked examples, and layers against the geometry library. The source stands beside each check."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from scipy.special import ellipe

from cases.lasts.girths import INCH_MM, girth_build_up, heel_girth_expected, layer_girth, male_girth_scale
from shared.calculations import BadInput
from shared.workings import Status

THICKNESSES = st.floats(min_value=-5, max_value=12)
TURNINGS = st.floats(min_value=10, max_value=360)


def ellipse(semi_major_mm: float, semi_minor_mm: float) -> shapely.Polygon:
    around = np.linspace(0, 2 * math.pi, 20_000, endpoint=False)
    return shapely.Polygon(np.column_stack([semi_major_mm * np.cos(around), semi_minor_mm * np.sin(around)]))


# A circle of radius r with a layer of t all round is one of radius r + t: geometry.
@pytest.mark.parametrize(("radius_mm", "thickness_mm"), [(40.0, 3.0), (40.0, -3.0), (32.5, 10.0)])
def test_a_layer_all_round_a_circle_makes_a_circle_larger_by_its_thickness(
    radius_mm: float, thickness_mm: float
) -> None:
    larger = 2 * math.pi * (radius_mm + thickness_mm) - 2 * math.pi * radius_mm
    assert layer_girth(thickness_mm=thickness_mm, turning_deg=360).girth_change_mm == pytest.approx(larger, abs=1e-9)


# Circumference of an ellipse: 4·a·E(e²), complete elliptic integral of the second kind, as in any table of integrals.
def test_the_fine_polygon_of_the_next_check_has_the_circumference_of_its_ellipse() -> None:
    published = 4 * 50 * ellipe(1 - (20 / 50) ** 2)
    assert ellipse(50, 20).exterior.length == pytest.approx(published, abs=0.001)


# Steiner's formula: a convex curve's parallel at t is longer by t·2π, whatever its shape; the buffer is shapely's.
@pytest.mark.parametrize("semi_minor_mm", [20.0, 35.0, 50.0])
@pytest.mark.parametrize("thickness_mm", [1.0, 5.0, 12.0])
def test_a_layer_round_an_ellipse_agrees_with_the_geometry_library(semi_minor_mm: float, thickness_mm: float) -> None:
    section = ellipse(50, semi_minor_mm)
    buffered = section.buffer(thickness_mm, quad_segs=256).exterior.length - section.exterior.length
    assert layer_girth(thickness_mm=thickness_mm, turning_deg=360).girth_change_mm == pytest.approx(buffered, abs=0.01)


# The same over half of it, as a layer lies over a last from feather edge to feather edge.
def test_a_layer_over_the_upper_half_of_an_ellipse_agrees_with_the_geometry_library() -> None:
    around = np.linspace(0, math.pi, 20_000)
    arch = shapely.LineString(np.column_stack([50 * np.cos(around), 30 * np.sin(around)]))
    over = shapely.offset_curve(arch, -4.0, quad_segs=256)
    assert layer_girth(thickness_mm=4, turning_deg=180).girth_change_mm == pytest.approx(
        over.length - arch.length, abs=0.01
    )


@given(thickness_mm=THICKNESSES, turning_deg=TURNINGS)
def test_the_layer_for_a_girth_gives_that_girth_back(thickness_mm: float, turning_deg: float) -> None:
    girth = layer_girth(thickness_mm=thickness_mm, turning_deg=turning_deg).girth_change_mm
    found = girth_build_up(girth_change_mm=girth, turning_deg=turning_deg).thickness_mm
    assert found == pytest.approx(thickness_mm, abs=1e-9)


def test_a_layer_says_that_it_holds_for_convex_stretches_and_that_the_tape_decides() -> None:
    sheet = girth_build_up(girth_change_mm=10, turning_deg=180).workings
    assert (sheet.status, sheet.result, [caution.split(":")[0] for caution in sheet.cautions]) == (
        Status.GEOMETRY,
        "+3.2 mm",
        ["Holds for a convex stretch only", "Holds for a layer of one thickness over the whole arc"],
    )


# Golding FY, The Manufacture of Boots and Shoes, London 1902, "Heel Measures": c = a + a/3 + r/2.
def test_goldings_heel_girth_is_the_instep_a_third_of_it_and_half_the_rise() -> None:
    found = heel_girth_expected(instep_girth_mm=9 * INCH_MM, heel_height_mm=1 * INCH_MM)
    assert (round(found.heel_girth_mm, 6), found.workings.status) == (317.5, Status.PUBLISHED)


# The same, "Classed Standard Measures", male 3 fitting: joint 7 1/4 in at size 1, 8 1/2 in at size 6.
@pytest.mark.parametrize(("size", "joint_in"), [(1, 7.25), (6, 8.5)])
def test_goldings_male_scale_has_a_quarter_of_an_inch_of_joint_girth_a_size(size: float, joint_in: float) -> None:
    assert male_girth_scale(uk_size=size).joint_girth_mm == pytest.approx(joint_in * INCH_MM)


# The same: instep 7 17/32 in at size 1, 8 17/32 in at size 5.
@pytest.mark.parametrize(("size", "instep_in"), [(1, 7 + 17 / 32), (5, 8 + 17 / 32)])
def test_goldings_male_scale_has_the_instep_over_the_joint(size: float, instep_in: float) -> None:
    assert male_girth_scale(uk_size=size).instep_girth_mm == pytest.approx(instep_in * INCH_MM)


NO_NUMBER = float("nan")


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: layer_girth(thickness_mm=300, turning_deg=180), "thickness_mm is 300 mm; allowed is -60 to 60 mm"),
        (lambda: layer_girth(thickness_mm=3, turning_deg=3.14), "turning_deg is 3.14 °; allowed is 10 to 360 °"),
        (lambda: girth_build_up(girth_change_mm=NO_NUMBER, turning_deg=180), "girth_change_mm is nan mm"),
        (lambda: heel_girth_expected(instep_girth_mm=25, heel_height_mm=20), "instep_girth_mm is 25 mm"),
        (lambda: heel_girth_expected(instep_girth_mm=250, heel_height_mm=-1), "heel_height_mm is -1 mm"),
        (lambda: male_girth_scale(uk_size=42), "uk_size is 42 UK; allowed is 1 to 12 UK"),
    ],
    ids=["thick", "radians", "no number", "centimetres", "negative heel", "European size"],
)
def test_what_cannot_be_is_named_with_what_is_allowed(call, said: str) -> None:
    with pytest.raises(BadInput) as error:
        call()
    assert str(error.value).startswith(said)
