"""Rockers against the right-angled triangle, the papers' bands, and what the bench expects under a last."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.prescriptions.rocker import RockerSole, apex_skew, rocker_lift, rocker_sole
from shared.calculations import BadInput


@pytest.mark.parametrize(
    ("apex", "lever_mm", "lifts_mm"),
    [
        (0.52, 134.4, {10: 23.7, 15: 36.0, 20: 48.9}),
        (0.60, 112.0, {10: 19.7, 15: 30.0, 20: 40.8}),
        (0.67, 92.4, {10: 16.3, 15: 24.8, 20: 33.6}),
    ],
)
def test_the_lift_of_a_280_mm_sole_by_hand(apex: float, lever_mm: float, lifts_mm: dict[int, float]) -> None:
    """h = (1 − a)·L·tan φ, worked out apart from the program."""
    found = {angle: rocker_lift(sole_length_mm=280, apex_fraction=apex, rocker_angle_deg=angle) for angle in lifts_mm}
    assert {angle: (round(each.lift_mm, 1), round(each.lever_mm, 1)) for angle, each in found.items()} == {
        angle: (lift, lever_mm) for angle, lift in lifts_mm.items()
    }


@pytest.mark.parametrize(("angle", "skew_mm"), [(95, 8.75), (100, 17.63), (90, 0)])
def test_the_apex_line_skews_by_hand(angle: float, skew_mm: float) -> None:
    """W·tan(θ − 90°) for a width of 100 mm."""
    assert apex_skew(width_mm=100, apex_angle_deg=angle).skew_mm == pytest.approx(skew_mm, abs=0.005)


def under_a_last(angle: float = 15, *, curved: bool = False, least_mm: float = 0, spring: float = 15) -> RockerSole:
    return rocker_sole(
        sole_length_mm=280,
        apex_fraction=0.52,
        rocker_angle_deg=angle,
        heel_to_joint_mm=202,
        heel_height_mm=0,
        toe_spring_mm=spring,
        least_mm=least_mm,
        curved=curved,
    )


@pytest.mark.parametrize(("angle", "apex_mm"), [(15, 21), (20, 34)])
def test_the_lasts_toe_spring_is_taken_off_the_sole(angle: float, apex_mm: float) -> None:
    """Chord lift less 15 mm of spring: 36 − 15 and 48.9 − 15, whole millimetres; a curved rocker is thinnest at the tip."""
    assert round(under_a_last(angle, curved=True).apex_mm) == apex_mm


@given(st.floats(5, 25), st.booleans(), st.floats(0, 12))
def test_the_least_thickness_is_left_everywhere_and_reached_somewhere(angle: float, curved: bool, least: float) -> None:  # noqa: FBT001
    _, ground, last = under_a_last(angle, curved=curved, least_mm=least).profile.T
    assert (last - ground).min() == pytest.approx(least, abs=1e-6)


@given(st.floats(5, 25), st.floats(0.5, 6))
def test_a_steeper_rocker_is_never_thinner_at_the_apex(angle: float, more: float) -> None:
    assert under_a_last(angle + more).apex_mm >= under_a_last(angle).apex_mm


def test_a_curved_rocker_leaves_the_ground_without_a_corner() -> None:
    x, ground, _ = under_a_last(curved=True).profile.T
    just_ahead = (x > 0.52 * 280) & (x < 0.56 * 280)
    assert math.degrees(math.atan((ground[just_ahead] / (x[just_ahead] - 0.52 * 280)).max())) < 3


def cautions(apex: float, angle: float) -> list[str]:
    sheet = rocker_lift(sole_length_mm=280, apex_fraction=apex, rocker_angle_deg=angle).workings
    return [said.split(" lies ")[0] for said in sheet.cautions if " lies " in said]


@pytest.mark.parametrize(
    ("apex", "angle", "said"),
    [
        (0.55, 15, []),
        (0.50, 20, []),
        (0.60, 15, []),
        (0.61, 15, ["The apex at 61 %"]),
        (0.49, 21, ["The apex at 49 %", "The angle of 21°"]),
        (0.60, 12, ["The angle of 12°"]),
    ],
)
def test_a_rocker_beyond_the_papers_bands_says_so(apex: float, angle: float, said: list[str]) -> None:
    """50 to 60 % and 15 to 20 degrees hold both: J Foot Ankle Res 2017;10:27 and Clin Biomech 2013;28:679-685."""
    assert cautions(apex, angle) == said


def test_a_rocker_that_cannot_be_is_refused_in_a_sentence() -> None:
    with pytest.raises(BadInput) as refused:
        rocker_lift(sole_length_mm=280, apex_fraction=52, rocker_angle_deg=15)
    assert str(refused.value) == "apex_fraction is 52; allowed is 0.3 to 0.9"
