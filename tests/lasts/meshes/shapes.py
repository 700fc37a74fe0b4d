"""Meshes of known shape, and the files they come in."""

import struct

import numpy as np
from numpy.typing import NDArray

Mesh = NDArray[np.float64]


def tube(rings: Mesh) -> Mesh:
    """A closed skin over rings of corners, of shape (ring, corner, axis)."""
    one, two = rings[:-1], rings[1:]
    next_one, next_two = np.roll(one, -1, axis=1), np.roll(two, -1, axis=1)
    sides = [np.stack([one, next_one, two], axis=2), np.stack([next_one, next_two, two], axis=2)]
    lids = [
        np.stack([np.broadcast_to(ring.mean(axis=0), ring.shape), ring, np.roll(ring, -1, axis=0)], axis=1)
        for ring in (rings[0], rings[-1])
    ]
    return np.concatenate([*(side.reshape(-1, 3, 3) for side in sides), *lids])


def elliptic_tube(
    *, across_mm: float, up_mm: float, length_mm: float = 260, corners: int = 256, rings: int = 40
) -> Mesh:
    """A tube along x whose section is an ellipse with these semi-axes."""
    turn, along = np.linspace(0, 2 * np.pi, corners, endpoint=False), np.linspace(0, length_mm, rings)
    ring = np.stack([np.zeros(corners), across_mm * np.cos(turn), up_mm * np.sin(turn)], axis=-1)
    return tube(ring[None] + along[:, None, None] * np.array([1.0, 0, 0]))


def sphere(*, radius_mm: float, corners: int = 360, rings: int = 181) -> Mesh:
    """A sphere whose poles lie along x."""
    turn, down = np.linspace(0, 2 * np.pi, corners, endpoint=False), np.linspace(0, np.pi, rings)[:, None]
    return radius_mm * tube(
        np.stack(
            [
                np.broadcast_to(-np.cos(down), (rings, corners)),
                np.sin(down) * np.cos(turn),
                np.sin(down) * np.sin(turn),
            ],
            axis=-1,
        )
    )


def binary_stl(mesh: Mesh, *, says: int | None = None, head: bytes = b"a scan") -> bytes:
    """An STL file that holds the mesh, and says that it holds `says` triangles."""
    facets = np.zeros(len(mesh), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
    facets["corners"] = mesh
    return head.ljust(80) + struct.pack("<I", len(mesh) if says is None else says) + facets.tobytes()


def text_stl(mesh: Mesh) -> bytes:
    facets = (
        "facet normal 0 0 0\nouter loop\n"
        + "".join(f"vertex {x:.6f} {y:.6f} {z:.6f}\n" for x, y, z in triangle)
        + "endloop\nendfacet\n"
        for triangle in mesh
    )
    return f"solid scan\n{''.join(facets)}endsolid scan\n".encode()


def obj(mesh: Mesh) -> bytes:
    points, faces = np.unique(mesh.reshape(-1, 3), axis=0, return_inverse=True)
    lines = [f"v {x:.6f} {y:.6f} {z:.6f}" for x, y, z in points]
    lines += [f"f {a} {b} {c}" for a, b, c in faces.reshape(-1, 3) + 1]
    return "\n".join(["# a scan", *lines, ""]).encode()


ROUND = elliptic_tube(across_mm=45, up_mm=45, corners=32, rings=6)
"""Something small that is measured without complaint."""
