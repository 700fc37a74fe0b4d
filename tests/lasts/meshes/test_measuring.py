"""A scan as a whole: how it is laid, and what is measured on it."""

import json
import math
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from cases.lasts.meshes.files import BadMesh
from cases.lasts.meshes.measuring import measure
from cases.lasts.meshes.placing import turned
from demo.scans import foot_mesh
from tests.lasts.meshes.shapes import Mesh, binary_stl, elliptic_tube, sphere
from tests.lasts.meshes.test_sections import by_ramanujan_mm

RIGHT = foot_mesh(side="right", length_mm=268, bulge_mm=8)
LEFT = foot_mesh(side="left", length_mm=268, bulge_mm=8)


def measured(mesh: Mesh, *, side: str = "right", **asked: Any) -> dict[str, Any]:
    return measure(binary_stl(mesh), side=side, asked=asked)


def girths(found: dict[str, Any]) -> dict[str, float]:
    return {key: girth["tape_mm"] for key, girth in found["girths"].items()}


def assert_measures_as(one: dict[str, Any], other: dict[str, Any]) -> None:
    assert one["lengths"] == other["lengths"]
    assert girths(one) == pytest.approx(girths(other), abs=0.01)


AS_IT_STANDS = measured(RIGHT)


def test_an_ellipse_comes_out_as_the_published_formula_through_the_whole_path() -> None:
    found = girths(measured(elliptic_tube(across_mm=50, up_mm=20)))
    assert (found["waist_girth"], found["instep_girth"]) == pytest.approx([by_ramanujan_mm(50, 20)] * 2, abs=0.2)


def test_a_cylinder_comes_out_through_the_whole_path() -> None:
    assert girths(measured(elliptic_tube(across_mm=45, up_mm=45)))["waist_girth"] == pytest.approx(
        2 * math.pi * 45, abs=0.2
    )


def test_a_sphere_comes_out_through_the_whole_path() -> None:
    """The waist lies 0.62 of the diameter from one pole."""
    found = girths(measured(sphere(radius_mm=60), axes=np.eye(3).ravel().tolist()))
    assert found["waist_girth"] == pytest.approx(2 * math.pi * math.sqrt(60**2 - (0.12 * 120) ** 2), abs=0.2)


def test_a_foot_of_known_proportions_is_measured_as_it_was_made() -> None:
    lengths = AS_IT_STANDS["lengths"]
    assert (lengths["foot_length"], lengths["heel_width"], lengths["instep_height"]) == pytest.approx(
        (268, 0.26 * 268, 0.262 * 268), abs=2
    )


def test_every_measure_of_a_whole_foot_is_found() -> None:
    assert ([*AS_IT_STANDS["lengths"]], [*AS_IT_STANDS["girths"]]) == (
        ["foot_length", "heel_to_joint", "heel_to_fifth", "joint_width", "heel_width", "instep_height"],
        ["joint_girth", "waist_girth", "instep_girth", "short_heel_girth", "long_heel_girth"],
    )


def test_a_big_toe_joint_that_stands_out_makes_the_joint_wider_and_its_girth_greater() -> None:
    without = measured(foot_mesh(side="right", length_mm=268))
    wider = AS_IT_STANDS["lengths"]["joint_width"] - without["lengths"]["joint_width"]
    greater = girths(AS_IT_STANDS)["joint_girth"] - girths(without)["joint_girth"]
    assert (5 < wider < 9, greater > wider) == (True, True)


def test_a_left_foot_is_its_right_one_mirrored() -> None:
    left = measured(LEFT, side="left")
    assert_measures_as(left, AS_IT_STANDS)


def test_a_mirrored_file_is_put_right_by_saying_so() -> None:
    put_right = measured(LEFT, side="right", mirrored=True, axes=AS_IT_STANDS["placing"]["axes"])
    assert girths(put_right)["joint_girth"] != pytest.approx(
        girths(measured(LEFT, side="right"))["joint_girth"], abs=0.5
    )


def test_a_mirrored_file_is_laid_along_its_axis_too() -> None:
    found = measured(LEFT, side="right", mirrored=True)
    assert_measures_as(found, AS_IT_STANDS)


@pytest.mark.parametrize(("unit", "in_mm"), [("mm", 1.0), ("cm", 10.0), ("inch", 25.4), ("m", 1000.0)])
def test_the_unit_is_guessed_from_the_size(unit: str, in_mm: float) -> None:
    found = measured(RIGHT / in_mm)
    assert (found["placing"]["unit"], found["placing"]["unit_guessed"]) == (unit, True)
    assert found["lengths"]["foot_length"] == pytest.approx(268, abs=1)


def test_a_unit_that_a_person_chose_is_kept() -> None:
    found = measured(RIGHT, unit="mm")
    assert (found["placing"]["unit"], found["placing"]["unit_guessed"]) == ("mm", False)


def test_a_wrong_unit_is_refused_in_a_sentence() -> None:
    with pytest.raises(BadMesh, match=r"Read in inch, this mesh would be 6,807 × [\d,]+ × [\d,]+ mm: no foot"):
        measured(RIGHT, unit="inch")


@pytest.mark.parametrize("factor", [0.01, 100.0, 1e30])
def test_a_mesh_of_no_size_of_a_foot_is_refused(factor: float) -> None:
    with pytest.raises(BadMesh, match="no foot and no cast is that size"):
        measured(RIGHT * factor, unit="mm")


TURNS = [(a, b, c) for a in (0, 90, 180, 270) for b in (0, 90) for c in (0, 180) if (a, b, c) != (0, 0, 0)]


@pytest.mark.parametrize("turn", TURNS, ids=str)
def test_whichever_way_a_scanner_wrote_its_axes_the_foot_stands_up(turn: tuple[int, int, int]) -> None:
    mesh = RIGHT @ Rotation.from_euler("xyz", turn, degrees=True).as_matrix().T
    assert girths(measured(mesh)) == pytest.approx(girths(AS_IT_STANDS), abs=0.1)


@settings(max_examples=15, deadline=None)
@given(degrees=st.floats(-180, 180), moved=st.tuples(*[st.floats(-300, 300)] * 3))
def test_turning_a_mesh_on_the_floor_and_moving_it_leaves_its_girths(
    degrees: float, moved: tuple[float, float, float]
) -> None:
    mesh = RIGHT @ Rotation.from_euler("z", degrees, degrees=True).as_matrix().T + moved
    assert girths(measured(mesh)) == pytest.approx(girths(AS_IT_STANDS), abs=0.2)


@settings(max_examples=15, deadline=None)
@given(factor=st.floats(0.6, 1.3))
def test_a_mesh_scaled_has_girths_scaled(factor: float) -> None:
    stands = {"axes": AS_IT_STANDS["placing"]["axes"], "short_heel_deg": 33.0}
    scaled, plain = girths(measured(RIGHT * factor, **stands)), girths(measured(RIGHT, **stands))
    assert scaled == pytest.approx({key: mm * factor for key, mm in plain.items()}, abs=0.1)


@settings(max_examples=10, deadline=None)
@given(length_mm=st.floats(160, 320), full=st.floats(0.85, 1.2))
def test_a_left_foot_measures_as_the_right_one_it_mirrors(length_mm: float, full: float) -> None:
    left, right = (
        measured(foot_mesh(side=side, length_mm=length_mm, full=full), side=side) for side in ("left", "right")
    )
    assert girths(left) == pytest.approx(girths(right), abs=0.01)


def test_turning_four_quarters_ends_where_it_began() -> None:
    axes = np.array(AS_IT_STANDS["placing"]["axes"]).reshape(3, 3)
    for about in ("forward", "left", "up"):
        again = axes
        for _ in range(4):
            again = turned(again, about=about, degrees=90)
        np.testing.assert_allclose(again, axes, atol=1e-9)


def test_a_station_that_a_person_moved_is_measured_where_it_was_moved_to() -> None:
    found = measured(RIGHT, stations={"waist": 150.0})
    instep_there = measured(RIGHT, stations={"instep": 150.0})
    assert found["placing"]["stations"]["waist"] == 150.0
    assert girths(found)["waist_girth"] == pytest.approx(girths(instep_there)["instep_girth"], abs=0.001)


def test_the_toe_and_the_heel_are_where_a_person_set_them() -> None:
    found = measured(RIGHT, heel_mm=4.0, toe_mm=262.0)
    assert (found["lengths"]["foot_length"], found["placing"]["heel_mm"]) == (262.0, 4.0)


def test_a_heel_set_forward_moves_the_stations_with_it() -> None:
    axes = AS_IT_STANDS["placing"]["axes"]
    moved = measured(RIGHT, axes=axes, heel_mm=10.0, stations={"waist": 150.0})
    plain = measured(RIGHT, axes=axes, stations={"waist": 160.0})
    assert girths(moved)["waist_girth"] == pytest.approx(girths(plain)["waist_girth"], abs=0.001)


def test_a_station_beyond_the_toe_is_not_measured_and_the_others_are() -> None:
    found = measured(RIGHT, stations={"waist": 440.0})
    assert sorted(found["girths"]) == ["instep_girth", "joint_girth", "long_heel_girth", "short_heel_girth"]


def test_stations_that_are_all_beyond_the_toe_leave_the_length() -> None:
    found = measured(RIGHT, stations=dict.fromkeys(AS_IT_STANDS["placing"]["stations"], 440.0))
    assert (sorted(found["girths"]), "joint_width" in found["lengths"]) == (["short_heel_girth"], False)


def test_a_foot_laid_across_is_too_short_to_measure() -> None:
    with pytest.raises(BadMesh, match="is it turned the right way"):
        measured(RIGHT, toe_mm=50)


def test_a_scan_cut_off_below_the_ankle_has_no_short_heel_girth_to_trust() -> None:
    low = RIGHT[RIGHT[:, :, 2].max(axis=1) < 45]
    assert measured(low)["girths"]["short_heel_girth"]["is_closed"] is False


def test_what_is_found_can_be_kept_and_is_small() -> None:
    assert len(json.dumps(AS_IT_STANDS, allow_nan=False)) < 20_000


def test_the_silhouettes_reach_from_heel_to_toe_and_from_the_floor_to_the_top() -> None:
    above, side = (np.array(AS_IT_STANDS["views"][view]) for view in ("above", "side"))
    length = AS_IT_STANDS["lengths"]["foot_length"]
    assert (above[:, 0].min(), above[:, 0].max(), side[:, 1].min()) == pytest.approx((0, length, 0), abs=3)
    assert side[:, 1].max() == pytest.approx(np.ptp(RIGHT[:, :, 2]), abs=3)


def test_the_silhouette_shows_the_hollow_over_the_heel_and_the_bend_of_the_ankle() -> None:
    from shapely import Point, Polygon

    side = Polygon(AS_IT_STANDS["views"]["side"])
    assert [side.contains(Point(*place)) for place in ((100, 30), (4, 120), (200, 100), (60, 120))] == [
        True,
        False,
        False,
        True,
    ]
