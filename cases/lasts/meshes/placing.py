"""How a mesh lies: its unit, which way is up and where the toe is. By default guessed, and changed by a person.

In the frame of the foot x runs from the back of the heel to the toe, y to the wearer's left, z up from the floor, all
in mm. The wearer's left is medial on a right foot and lateral on a left one.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from cases.lasts.meshes.files import BadMesh, Triangles
from cases.lasts.meshes.sections import Plane, foot_section

UNITS: Mapping[str, float] = {"mm": 1.0, "cm": 10.0, "inch": 25.4, "m": 1000.0}
"""Millimetres in each unit that a scan may be saved in."""

LEAST_MM = 20.0
MOST_MM = 800.0
"""No extent of a foot or of its cast is less or more."""

UNSAID_MM = 1_000_000.0
"""A greater extent is not written out in figures."""

GREATEST_EXTENT: tuple[tuple[str, float], ...] = (("mm", 60.0), ("cm", 18.0), ("inch", 3.0), ("m", 0.0))
"""The unit a file is likeliest in, by its greatest extent being this or more: feet are 100 to 350 mm, with a piece of
leg up to 500. From memory."""

SOLE_MM = 4.0
FACING = 0.9
"""What lies within so much of the lowest point and faces it within 26 degrees counts as standing on the floor."""

LOW_MM = 60.0
TALL_MM = 130.0
"""Of a mesh taller than this, heel and toe are looked for below `LOW_MM`: a calf or shin may stand out further."""

HEEL_FRACTION, JOINT_FRACTION = 0.17, 0.70
"""Where along the length the middles lie through which the long axis runs. From memory."""

Matrix = NDArray[np.float64]


@dataclass(frozen=True)
class Placing:
    """How a mesh was laid. `axes`: forward, left and up in the file's own axes, row by row. `heel_mm`: how far a person
    set the heel point ahead of the rearmost one.
    """

    unit: str
    unit_guessed: bool
    axes: tuple[float, ...]
    mirrored: bool
    heel_mm: float


def placed(triangles: Triangles, asked: Mapping[str, Any]) -> tuple[Triangles, Placing]:
    """The mesh in the frame of the foot, its back of the heel at x = 0. Raises `BadMesh` for an impossible size."""
    extents = np.ptp(triangles.reshape(-1, 3), axis=0)
    unit = asked.get("unit") or _likeliest_unit(float(extents.max()))
    _check_extents(extents * UNITS[unit], unit=unit, is_guessed="unit" not in asked)
    in_mm = triangles * UNITS[unit]
    mirrored, heel_mm = bool(asked.get("mirrored", False)), float(asked.get("heel_mm", 0.0))
    axes = np.array(asked["axes"]).reshape(3, 3) if "axes" in asked else _likely_axes(in_mm)
    lying = _laid(in_mm, axes, mirrored=mirrored)
    if "axes" not in asked:
        axes = turned(axes, about="up", degrees=_off_axis_deg(lying) * (-1 if mirrored else 1))
        lying = _laid(in_mm, axes, mirrored=mirrored)
    lying[:, :, 0] -= heel_mm
    return lying, Placing(unit, "unit" not in asked, tuple(axes.ravel().tolist()), mirrored, heel_mm)


def _likeliest_unit(greatest: float) -> str:
    return next(unit for unit, least in GREATEST_EXTENT if greatest >= least)


def _check_extents(extents_mm: NDArray[np.float64], *, unit: str, is_guessed: bool) -> None:
    if extents_mm.min() >= LEAST_MM and extents_mm.max() <= MOST_MM:
        return
    size = " × ".join(f"{extent:,.0f}" for extent in sorted(extents_mm, reverse=True)) + " mm"
    if extents_mm.max() > UNSAID_MM:
        size = "more than a kilometre long"
    raise BadMesh(
        f"Read in {unit}, this mesh would be {size}: no foot and no cast is that size "
        f"({LEAST_MM:.0f} to {MOST_MM:.0f} mm). {'Is it a scan of a foot?' if is_guessed else 'Is it another unit?'}"
    )


def turned(axes: Matrix, *, about: str, degrees: float) -> Matrix:
    """The axes after the mesh is turned about its own `forward`, `left` or `up`, counter-clockwise seen from there."""
    angle, place = math.radians(degrees), {"forward": 0, "left": 1, "up": 2}[about]
    one, two = (place + 1) % 3, (place + 2) % 3
    turn = np.eye(3)
    turn[one, one] = turn[two, two] = math.cos(angle)
    turn[one, two], turn[two, one] = -math.sin(angle), math.sin(angle)
    return np.asarray(turn @ axes)


def low_part(triangles: Triangles) -> NDArray[np.float64]:
    """The corners among which heel and toe are looked for."""
    corners = triangles.reshape(-1, 3)
    top = corners[:, 2].max()
    return corners if top <= TALL_MM else corners[corners[:, 2] <= LOW_MM]


def _laid(triangles: Triangles, axes: Matrix, *, mirrored: bool) -> Triangles:
    """Turned, and moved so that the lowest point is on the floor and the rearmost of the low part at x = 0."""
    # Axis by axis: corners that are equal in the file stay equal to the last digit.
    lying = np.stack([_along(triangles, axes[row]) for row in range(3)], axis=-1)
    if mirrored:
        lying[:, :, 1] *= -1
    lying[:, :, 2] -= lying[:, :, 2].min()
    low = low_part(lying)
    lying[:, :, 0] -= low[:, 0].min()
    lying[:, :, 1] -= (low[:, 1].min() + low[:, 1].max()) / 2
    return lying


def _along(triangles: Triangles, direction: NDArray[np.float64]) -> NDArray[np.float64]:
    x, y, z = direction
    return np.asarray(triangles[:, :, 0] * x + triangles[:, :, 1] * y + triangles[:, :, 2] * z)


def _likely_axes(triangles: Triangles) -> Matrix:
    normals = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
    areas = np.linalg.norm(normals, axis=1) / 2
    up = _likely_up(triangles, normals / np.maximum(2 * areas, 1e-12)[:, None], areas)
    forward = _likely_forward(triangles, up, areas)
    return np.stack([forward, np.cross(up, forward), up])


def _likely_up(triangles: Triangles, normals: NDArray[np.float64], areas: NDArray[np.float64]) -> NDArray[np.float64]:
    """The direction against which the most surface stands on the floor: the sole is the flattest of a foot.

    The file's own axes come first; its principal axes only where they do clearly better.
    """
    corners = triangles.reshape(-1, 3)
    own = np.array([(0, 0, 1), (0, 1, 0), (0, 0, -1), (0, -1, 0), (1, 0, 0), (-1, 0, 0)], dtype=float)
    _, principal = np.linalg.eigh(np.cov(corners.T))
    best, most = own[0], 0.0
    for direction in [*own, *principal.T, *(-principal.T)]:
        height = _along(triangles, direction)
        stands = (height.max(axis=1) <= height.min() + SOLE_MM) & (np.abs(normals @ direction) > FACING)
        if (sole := float(areas[stands].sum())) > most * 1.2:
            best, most = direction, sole
    return np.asarray(best)


def _likely_forward(triangles: Triangles, up: NDArray[np.float64], areas: NDArray[np.float64]) -> NDArray[np.float64]:
    """Along the foot, to the end that is lower: the ankle stands over the heel."""
    middles = triangles.mean(axis=1)
    height = middles @ up
    height -= height.min()
    low = height <= (LOW_MM if height.max() > TALL_MM else height.max())
    plan = middles - np.outer(middles @ up, up)
    weights = np.maximum(areas[low], 1e-9)
    _, axes = np.linalg.eigh(np.cov(plan[low].T, aweights=weights))
    forward = axes[:, 2] - (axes[:, 2] @ up) * up
    forward /= np.linalg.norm(forward)
    along = plan @ forward
    rear, front = np.quantile(along, 0.0), np.quantile(along, 1.0)
    quarter = (front - rear) / 4
    behind, ahead = height[along <= rear + quarter].max(), height[along >= front - quarter].max()
    if not math.isclose(behind, ahead, rel_tol=0.05):
        return forward if ahead < behind else -forward
    return forward if forward[int(np.argmax(np.abs(forward)))] > 0 else -forward


def _off_axis_deg(lying: Triangles) -> float:
    """By how much the line from the middle of the heel to that of the joints lies off the x axis. 0 where unclear."""
    length = float(low_part(lying)[:, 0].max())
    middles = []
    for fraction in (HEEL_FRACTION, JOINT_FRACTION):
        found = foot_section(lying, Plane.across(0, fraction * length))
        if found is None:
            return 0.0
        low = found.points[found.points[:, 2] <= LOW_MM, 1]
        middles.append((low.min() + low.max()) / 2 if len(low) else 0.0)
    off = math.atan2(middles[1] - middles[0], (JOINT_FRACTION - HEEL_FRACTION) * length)
    return -math.degrees(off)
