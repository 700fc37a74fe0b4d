"""Girths by plane section, held against published formulas and against a kept mesh library."""

import math

import numpy as np
import pytest
from scipy.special import ellipe
from shapely import Polygon

from cases.lasts.meshes.sections import Plane, cut, foot_section
from demo.scans import foot_mesh
from tests.lasts.meshes.shapes import Mesh, elliptic_tube, sphere, tube

FOOT = foot_mesh(side="right", length_mm=268)


def by_ramanujan_mm(a: float, b: float) -> float:
    """Circumference of an ellipse: S. Ramanujan, Modular equations and approximations to pi, Quarterly Journal of
    Mathematics 1914;45:350-372, the second of his two approximations."""
    h = ((a - b) / (a + b)) ** 2
    return math.pi * (a + b) * (1 + 3 * h / (10 + math.sqrt(4 - 3 * h)))


def girth_mm(mesh: Mesh, plane: Plane) -> float:
    section = foot_section(mesh, plane)
    assert section is not None
    return section.tape_mm


def test_the_published_approximation_agrees_with_the_elliptic_integral() -> None:
    """4·a·E(m), m = 1 - (b/a)²: the complete elliptic integral of the second kind."""
    assert by_ramanujan_mm(50, 20) == pytest.approx(4 * 50 * ellipe(1 - (20 / 50) ** 2), abs=1e-4)


def test_the_girth_of_an_ellipse_is_that_of_the_published_formula() -> None:
    found = girth_mm(elliptic_tube(across_mm=50, up_mm=20), Plane.across(0, 133.3))
    assert found == pytest.approx(by_ramanujan_mm(50, 20), abs=0.2)


@pytest.mark.parametrize("from_middle_mm", [0.0, 20.5, -33.0])
def test_the_girth_of_a_sphere_is_that_of_its_circle(from_middle_mm: float) -> None:
    """A plane at distance d from the middle of a sphere of radius r cuts a circle of radius √(r² − d²)."""
    found = girth_mm(sphere(radius_mm=60), Plane.across(0, from_middle_mm))
    assert found == pytest.approx(2 * math.pi * math.sqrt(60**2 - from_middle_mm**2), abs=0.2)


def test_the_girth_of_a_cylinder_is_that_of_its_circle() -> None:
    found = girth_mm(elliptic_tube(across_mm=45, up_mm=45), Plane.across(0, 100))
    assert found == pytest.approx(2 * math.pi * 45, abs=0.2)


@pytest.mark.parametrize("degrees", [15.0, 40.0])
def test_a_cylinder_cut_aslant_gives_an_ellipse(degrees: float) -> None:
    """The longer semi-axis is r / cos of the slant."""
    slant = math.radians(degrees)
    plane = Plane.through((130, 0, 0), along=(0, 1, 0), and_along=(math.sin(slant), 0, math.cos(slant)))
    found = girth_mm(elliptic_tube(across_mm=40, up_mm=40, corners=360), plane)
    assert found == pytest.approx(by_ramanujan_mm(40 / math.cos(slant), 40), abs=0.2)


PLANES = {
    "upright": Plane.across(0, 140.0),
    "level": Plane.across(2, 30.0),
    "aslant": Plane.through((20, 0, 10), along=(0, 1, 0), and_along=(0.8, 0, 0.6)),
}


@pytest.mark.parametrize("plane", PLANES.values(), ids=PLANES)
def test_a_cut_is_the_same_as_that_of_a_kept_mesh_library(plane: Plane) -> None:
    import trimesh

    mesh = trimesh.Trimesh(**trimesh.triangles.to_kwargs(FOOT), process=False)
    theirs = trimesh.intersections.mesh_plane(mesh, plane.normal, plane.normal * plane.offset_mm)
    ours = cut(FOOT, plane)
    lengths = [np.linalg.norm(each[:, 1] - each[:, 0], axis=1).sum() for each in (ours, theirs)]
    assert lengths[0] == pytest.approx(lengths[1], abs=1e-6)


def test_a_tape_spans_the_hollow_that_the_surface_follows() -> None:
    turn = np.linspace(0, 2 * np.pi, 200, endpoint=False)
    reach = 40 - 12 * np.exp(-(((turn - np.pi) / 0.4) ** 2))
    ring = np.stack([np.zeros(200), reach * np.cos(turn), reach * np.sin(turn)], axis=-1)
    section = foot_section(tube(np.stack([ring, ring + np.array([100, 0, 0])])), Plane.across(0, 50))
    assert section is not None
    outline = Polygon(ring[:, 1:])
    lengths = outline.length, outline.convex_hull.length
    assert lengths[0] - lengths[1] > 1.5
    assert (section.surface_mm, section.tape_mm) == pytest.approx(lengths, abs=1e-3)


def test_round_a_shape_without_hollows_tape_and_surface_are_one() -> None:
    section = foot_section(elliptic_tube(across_mm=50, up_mm=20), Plane.across(0, 133.3))
    assert section is not None
    assert section.tape_mm == pytest.approx(section.surface_mm, abs=1e-3)


def test_a_smaller_piece_beside_the_foot_is_not_measured() -> None:
    beside = elliptic_tube(across_mm=10, up_mm=10) + np.array([0, 200, 0])
    section = foot_section(np.concatenate([beside, elliptic_tube(across_mm=45, up_mm=45)]), Plane.across(0, 100))
    assert section is not None
    assert (section.pieces, section.is_closed) == (2, True)
    assert section.tape_mm == pytest.approx(2 * math.pi * 45, abs=0.2)


def test_an_open_sheet_larger_than_the_foot_is_not_measured() -> None:
    floor = np.array([[[-500, -400, -46], [900, -400, -46], [0, 900, -46]]], dtype=float)
    section = foot_section(np.concatenate([floor, elliptic_tube(across_mm=45, up_mm=45)]), Plane.across(0, 100))
    assert section is not None
    assert (section.pieces, section.is_closed) == (2, True)
    assert section.tape_mm == pytest.approx(2 * math.pi * 45, abs=0.2)


def test_a_mesh_with_a_hole_says_that_it_does_not_close() -> None:
    mesh = elliptic_tube(across_mm=45, up_mm=45)
    section = foot_section(mesh[mesh[:, :, 2].mean(axis=1) < 30], Plane.across(0, 100))
    assert section is not None
    assert section.is_closed is False


def test_a_mesh_torn_by_its_rounding_is_one_piece() -> None:
    mesh = elliptic_tube(across_mm=45, up_mm=45)
    torn = mesh + np.random.default_rng(5).uniform(-0.005, 0.005, mesh.shape)
    section = foot_section(torn, Plane.across(0, 103))
    assert section is not None
    assert (section.pieces, section.is_closed) == (1, True)


def test_a_crumb_that_closes_is_not_taken_for_the_foot() -> None:
    crumb = elliptic_tube(across_mm=2, up_mm=2) + np.array([0, 200, 0])
    foot = elliptic_tube(across_mm=45, up_mm=45)
    open_foot = foot[foot[:, :, 2].mean(axis=1) < 30]
    section = foot_section(np.concatenate([crumb, open_foot]), Plane.across(0, 100))
    assert section is not None
    assert (section.is_closed, section.tape_mm > 100) == (False, True)


def test_a_plane_that_meets_nothing_gives_nothing() -> None:
    assert foot_section(FOOT, Plane.across(0, 900)) is None


def test_a_corner_exactly_in_the_plane_tears_nothing() -> None:
    section = foot_section(elliptic_tube(across_mm=45, up_mm=45, length_mm=200, rings=5), Plane.across(0, 100.0))
    assert section is not None
    assert (section.pieces, section.is_closed) == (1, True)
