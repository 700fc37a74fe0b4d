"""A band laid flat: by the closed form, by handbook figures, and rolled up again in space."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from cases.patterns.calculations import CALCULATIONS
from cases.patterns.drafting.cone import cone_development
from shared.calculations import BadInput
from tests.patterns.reading import length_of

LINES = st.floats(60, 400)
HEIGHTS = st.floats(20, 120)


def rolled_up(flat: np.ndarray, *, radius_mm: float, feather_mm: float, turning_rad: float) -> np.ndarray:
    """Flat points on the cone that they were unrolled from: distance to the apex kept, angle to azimuth.

    The apex of the flat sector lies at (0, radius). The band turns by `turning_rad` about the cone's axis.
    """
    from_apex = np.array([0.0, radius_mm]) - flat
    slant, angle = np.hypot(*from_apex.T), np.arctan2(-from_apex[:, 0], from_apex[:, 1])
    azimuth = angle * turning_rad / (feather_mm / radius_mm)
    # Circumference at a slant is slant × sector angle; on the cone it is radius × turning.
    across = slant * (feather_mm / radius_mm) / turning_rad
    return np.column_stack([across * np.cos(azimuth), across * np.sin(azimuth), -np.sqrt(slant**2 - across**2)])


def test_the_mantle_of_a_frustum_by_hand() -> None:
    # Solid geometry: base radius 40, top radius 20, slant 50. Full slant 40 · 50 / 20 = 100; angle 360° · 40 / 100 = 144°.
    band = cone_development(feather_mm=2 * math.pi * 40, topline_mm=2 * math.pi * 20, height_mm=50)
    assert [band.radius_mm, band.angle_deg] == pytest.approx([100, 144])


@given(feather=LINES, topline=LINES, height=HEIGHTS)
def test_radius_and_angle_are_those_of_the_closed_form(feather: float, topline: float, height: float) -> None:
    # Solid geometry: R = H·P_f / (P_f − P_t), angle = P_f / R.
    assume(0.5 < abs(feather - topline) < 2 * math.pi * height - 1)
    band = cone_development(feather_mm=feather, topline_mm=topline, height_mm=height)
    radius = height * feather / (feather - topline)
    assert [band.radius_mm, band.angle_deg] == pytest.approx([abs(radius), math.degrees(feather / abs(radius))])
    assert band.flares is (radius < 0)


@given(feather=LINES, part=st.floats(0.6, 0.99), height=HEIGHTS, turning=st.floats(math.pi * 0.9, 2 * math.pi))
def test_rolled_up_again_the_flat_piece_is_the_band_it_came_from(
    feather: float, part: float, height: float, turning: float
) -> None:
    assume(feather * (1 - part) < 0.9 * turning * height)
    band = cone_development(feather_mm=feather, topline_mm=part * feather, height_mm=height)
    assert band.radius_mm is not None
    along = np.linspace(-feather / 2, feather / 2, 1201)
    lines = {}
    for name, up in (("feather", 0.0), ("topline", height)):
        flat = band.cone.laid(along, up)
        lines[name] = rolled_up(flat, radius_mm=band.radius_mm, feather_mm=feather, turning_rad=turning)
    slants = np.linalg.norm(lines["topline"] - lines["feather"], axis=1)
    found = [length_of(lines["feather"]), length_of(lines["topline"]), slants.min(), slants.max()]
    assert found == pytest.approx([feather, part * feather, height, height], abs=0.01)


@given(feather=LINES, part=st.floats(0.6, 0.99), height=HEIGHTS, turning=st.floats(math.pi * 0.9, 2 * math.pi))
def test_rolled_up_again_feather_edge_and_topline_lie_level_and_round(
    feather: float, part: float, height: float, turning: float
) -> None:
    assume(feather * (1 - part) < 0.9 * turning * height)
    band = cone_development(feather_mm=feather, topline_mm=part * feather, height_mm=height)
    assert band.radius_mm is not None
    along = np.linspace(-feather / 2, feather / 2, 101)
    for up, line in ((0.0, feather), (height, part * feather)):
        points = rolled_up(band.cone.laid(along, up), radius_mm=band.radius_mm, feather_mm=feather, turning_rad=turning)
        assert np.ptp(points[:, 2]) == pytest.approx(0, abs=0.01)
        assert np.hypot(points[:, 0], points[:, 1]) == pytest.approx(line / turning, abs=0.01)


def test_the_area_is_that_of_the_handbooks_sector_of_a_ring() -> None:
    # By hand: R = 50·240/(240−224) = 750, r = 700, angle 240/750 = 0.32 rad; area 0.32·(750² − 700²)/2 = 11 600 mm².
    band = cone_development(feather_mm=240, topline_mm=224, height_mm=50)
    along = np.linspace(-120, 120, 401)
    ring = np.concatenate([band.cone.laid(along, 0.0), band.cone.laid(along[::-1], 50.0)])
    assert shapely.Polygon(ring).area == pytest.approx(11_600, rel=1e-4)


def test_equal_lines_make_a_straight_strip() -> None:
    band = cone_development(feather_mm=240, topline_mm=240, height_mm=50)
    assert (band.radius_mm, band.angle_deg) == (None, 0)
    assert band.cone.laid(np.array([-120.0, 120.0]), 50.0).tolist() == [[-120.0, 50.0], [120.0, 50.0]]


def test_a_topline_a_hair_shorter_lies_as_the_straight_strip_does() -> None:
    hair = cone_development(feather_mm=240, topline_mm=240 - 1e-3, height_mm=50).cone
    assert hair.laid(np.array([-120.0, 120.0]), 50.0) == pytest.approx(np.array([[-120, 50], [120, 50]]), abs=0.01)


def test_a_longer_topline_flares_and_its_ends_hang_down() -> None:
    band = cone_development(feather_mm=240, topline_mm=250, height_mm=50)
    end = band.cone.laid(120.0, 0.0)
    assert (band.flares, end[1] < 0) == (True, True)


def test_a_shorter_topline_lets_its_ends_rise() -> None:
    assert cone_development(feather_mm=240, topline_mm=230, height_mm=50).cone.laid(120.0, 0.0)[1] > 0


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"feather_mm": 0}, "feather_mm is 0 mm; allowed is 5 to 1000 mm"),
        ({"topline_mm": -3}, "topline_mm is -3 mm; allowed is 5 to 1000 mm"),
        ({"height_mm": math.nan}, "height_mm is nan mm; allowed is 1 to 400 mm"),
        (
            {"topline_mm": 20, "height_mm": 30},
            "height_mm is 30 mm; allowed is more than 35.0 mm between these two lines",
        ),
    ],
)
def test_what_no_band_has_is_refused_in_a_sentence(given: dict[str, float], sentence: str) -> None:
    with pytest.raises(BadInput) as refused:
        cone_development(**{"feather_mm": 240, "topline_mm": 226, "height_mm": 50, **given})
    assert str(refused.value) == sentence


def test_the_calculation_gives_no_radius_for_a_straight_strip() -> None:
    (calculation,) = CALCULATIONS
    worked = calculation.work(feather_mm=240.0, topline_mm=240.0, height_mm=50.0)
    assert (worked.figures, worked.sheets[0].result) == ({"radius_mm": None, "angle_deg": 0.0}, "straight strip")


def test_the_workings_say_where_the_centre_lies() -> None:
    flaring = cone_development(feather_mm=240, topline_mm=250, height_mm=50).workings.result
    assert flaring == "radius 1200.0 mm, 11.5°; centre under the feather edge: the band flares"
