"""Cutting a mesh by a plane, and the girths of what is cut. All lengths are mm."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from cases.lasts.meshes.files import Triangles

JOINED_WITHIN_MM = 0.05
"""Ends of a section nearer to each other than half of this are one point: a mesh may be torn by its rounding."""

LEAST_GIRTH_MM = 60.0
"""A piece with a smaller girth is a toe, a crumb or a slip of the mesh, and not the foot at any station."""

Vector = NDArray[np.float64]


@dataclass(frozen=True)
class Plane:
    """All points p with normal · p = offset. `normal` has length 1."""

    normal: Vector
    offset_mm: float

    @classmethod
    def through(cls, point: Iterable[float], *, along: Iterable[float], and_along: Iterable[float]) -> "Plane":
        """The plane through a point that holds two directions."""
        normal = np.cross(np.array([*along]), np.array([*and_along]))
        normal = normal / np.linalg.norm(normal)
        return cls(normal, float(normal @ np.array([*point])))

    @classmethod
    def across(cls, axis: int, at_mm: float) -> "Plane":
        """The plane square to an axis."""
        return cls(np.eye(3)[axis], at_mm)


@dataclass(frozen=True)
class Section:
    """One piece of what a plane cuts out of a mesh.

    `surface_mm` follows every hollow; `tape_mm` spans them, as a tape does, and is the circumference of the convex
    hull. `is_closed`: it goes all round; else the mesh has a hole or an edge there, and no tape could be trusted.
    `pieces` says how many pieces the plane cut in all.
    """

    points: NDArray[np.float64]
    surface_mm: float
    tape_mm: float
    is_closed: bool
    pieces: int


def cut(triangles: Triangles, plane: Plane) -> NDArray[np.float64]:
    """The segments, of shape (segment, end, axis), in which a plane meets a mesh.

    A corner exactly in the plane counts as above it. Ends that two triangles share are equal to the last digit.
    """
    x, y, z = plane.normal
    height = triangles[:, :, 0] * x + triangles[:, :, 1] * y + triangles[:, :, 2] * z - plane.offset_mm
    above = height >= 0
    count = above.sum(axis=1)
    met = np.flatnonzero((count == 1) | (count == 2))
    if not len(met):
        return np.empty((0, 2, 3))
    corners, height, above = triangles[met], height[met], above[met]
    # The one corner that is alone on its side, and the other two: the plane meets the two edges between them.
    alone = np.argmax(above == (count[met] == 1)[:, None], axis=1)
    rows = np.arange(len(met))
    ends = [_between(corners, height, rows, alone, (alone + step) % 3) for step in (1, 2)]
    return np.stack(ends, axis=1)


def _between(
    corners: Triangles,
    height: NDArray[np.float64],
    rows: NDArray[np.intp],
    one: NDArray[np.intp],
    other: NDArray[np.intp],
) -> NDArray[np.float64]:
    # Always from the corner below to the one above, so that both triangles of an edge come to the same point.
    swap = height[rows, one] > height[rows, other]
    low, high = np.where(swap, other, one), np.where(swap, one, other)
    below, over = height[rows, low], height[rows, high]
    part = (below / (below - over))[:, None]
    return np.asarray(corners[rows, low] + part * (corners[rows, high] - corners[rows, low]))


def foot_section(triangles: Triangles, plane: Plane) -> Section | None:
    """The piece that belongs to the foot: the largest that goes all round; the largest of all where none does.

    None where the plane meets nothing.
    """
    segments = cut(triangles, plane)
    if not len(segments):
        return None
    flat = _in_plane(segments, plane)
    labels, open_labels = _pieces(flat)
    names = np.unique(labels)
    girths = {name: shapely.MultiPoint(flat[labels == name].reshape(-1, 2)).convex_hull.length for name in names}
    closed = [name for name in names if name not in open_labels and girths[name] >= LEAST_GIRTH_MM]
    chosen = max(closed or names, key=girths.__getitem__)
    piece = segments[labels == chosen]
    return Section(
        points=piece.reshape(-1, 3),
        surface_mm=float(np.linalg.norm(piece[:, 1] - piece[:, 0], axis=1).sum()),
        tape_mm=float(girths[chosen]),
        is_closed=bool(closed),
        pieces=len(names),
    )


def _in_plane(segments: NDArray[np.float64], plane: Plane) -> NDArray[np.float64]:
    """The same segments in two coordinates of their own plane."""
    first = np.cross(plane.normal, np.eye(3)[int(np.argmin(np.abs(plane.normal)))])
    first = first / np.linalg.norm(first)
    second = np.cross(plane.normal, first)
    return np.stack([segments @ first, segments @ second], axis=-1)


def _pieces(segments: NDArray[np.float64]) -> tuple[NDArray[np.intp], set[int]]:
    """For each segment the name of its piece, and the names of pieces that have a loose end."""
    parent = list(range(2 * len(segments)))

    def root(place: int) -> int:
        while parent[place] != place:
            parent[place] = parent[parent[place]]
            place = parent[place]
        return place

    ends = segments.reshape(-1, 2)
    # Near points fall into one cell of at least one of four grids, shifted by half a cell.
    for shift in ((0.0, 0.0), (0.5, 0.0), (0.0, 0.5), (0.5, 0.5)):
        _join_equals(np.floor(ends / JOINED_WITHIN_MM + shift), parent, root)
    corner = np.array([root(place) for place in range(len(parent))])
    _, met = np.unique(corner, return_counts=True)
    loose = set(np.unique(corner)[met == 1].tolist())
    for place in range(len(segments)):
        parent[root(2 * place)] = root(2 * place + 1)
    labels = np.array([root(2 * place) for place in range(len(segments))])
    return labels, {root(place) for place in loose}


def _join_equals(cells: NDArray[np.float64], parent: list[int], root: Callable[[int], int]) -> None:
    first: dict[tuple[float, float], int] = {}
    for place, cell in enumerate(map(tuple, cells.tolist())):
        parent[root(place)] = root(first.setdefault(cell, place))
