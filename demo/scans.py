"""Scans of invented feet: a mesh worked out from a few proportions, since no scanned foot of a real person is here.

The proportions are from memory and for the invented workshop alone.
"""

import struct
from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal

import numpy as np
from django.utils import timezone
from numpy.typing import NDArray

from cases.lasts.actions.scans import add_scan, take_measures
from cases.patients.models import Patient
from demo.clients import BOTH, CLIENTS, Client
from demo.clinic import Clinic

Rings = NDArray[np.float64]

CORNERS = 48
"""Of each ring round the foot."""
ANKLE_HEIGHT = 0.30
BEND = 0.44
"""Where the instep bends into the leg: height above the floor and distance from the heel, as parts of the length."""
LEG_TO = 0.52

FROM_HEEL = (0.44, 0.52, 0.62, 0.70, 0.78, 0.86, 0.93, 0.97, 1.0)
HEIGHT = (0.300, 0.262, 0.215, 0.168, 0.125, 0.098, 0.080, 0.060, 0.012)
WIDTH = (0.285, 0.330, 0.352, 0.370, 0.372, 0.335, 0.270, 0.190, 0.040)
ARCH = (0.015, 0.048, 0.025, 0.004, 0.000, 0.000, 0.006, 0.014, 0.020)
TO_MEDIAL = (0.000, 0.004, 0.008, 0.012, 0.018, 0.022, 0.030, 0.040, 0.050)
"""The forefoot, ring by ring: how high, how wide, how far the arch lifts and the middle swings to medial."""


def foot_mesh(*, side: str, length_mm: float, full: float = 1.0, bulge_mm: float = 0.0) -> NDArray[np.float64]:
    """A foot with its ankle as triangles in mm, standing on the floor, toes along x, the wearer's left along y.

    `full` widens and heightens it, `bulge_mm` is how far the big-toe joint stands out to medial.
    """
    rings = np.concatenate([_forefoot(full, bulge_mm / length_mm)[::-1], _round_the_heel(full), _leg(full)])
    mesh = _skin(rings) * length_mm
    if side == "left":
        mesh[:, :, 1] *= -1
        mesh = mesh[:, ::-1]
    mesh[:, :, 0] -= mesh[:, :, 0].min()
    mesh[:, :, 2] -= mesh[:, :, 2].min()
    # The shape gives the proportions, not the length to the millimetre.
    mesh[:, :, 0] *= length_mm / mesh[:, :, 0].max()
    return mesh


def stl_of(mesh: NDArray[np.float64]) -> bytes:
    """The mesh as a binary STL file."""
    facets = np.zeros(len(mesh), dtype=[("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
    facets["corners"] = mesh
    return b"invented foot".ljust(80) + struct.pack("<I", len(mesh)) + facets.tobytes()


def _profile(values: tuple[float, ...]) -> Callable[[float], float]:
    return lambda at: float(np.interp(at, FROM_HEEL, values))


def _ring(*, near: tuple[float, float], far: tuple[float, float], width: float, y: float, square: float) -> Rings:
    """A rounded ring between two points of the side view, `near` above and `far` below. `square`: 2 is an ellipse."""
    turn = np.linspace(0, 2 * np.pi, CORNERS, endpoint=False)
    across = np.sign(np.sin(turn)) * np.abs(np.sin(turn)) ** (2 / square) * width / 2 + y
    along = (1 + np.sign(np.cos(turn)) * np.abs(np.cos(turn)) ** (2 / square)) / 2
    x = far[0] + along * (near[0] - far[0])
    z = far[1] + along * (near[1] - far[1])
    return np.stack([x, across, z], axis=-1)


def _forefoot(full: float, bulge: float) -> Rings:
    height, width, arch, swing = (_profile(values) for values in (HEIGHT, WIDTH, ARCH, TO_MEDIAL))
    rings = []
    for at in (*np.linspace(BEND, 0.95, 24), *np.linspace(0.955, 1.0, 10)):
        ring = _ring(
            near=(at, height(at) * full),
            far=(at, arch(at) * 0.4),
            width=width(at) * full,
            y=swing(at),
            square=2.6,
        )
        medial = ring[:, 1] > swing(at)
        # The arch lifts the medial half of the sole alone.
        lift = arch(at) * np.clip((ring[:, 1] - swing(at)) / (width(at) / 2), 0, 1)
        ring[:, 2] += np.where(ring[:, 2] < height(at) / 3, lift, 0)
        ring[:, 1] += np.where(medial, bulge * np.exp(-(((at - 0.74) / 0.05) ** 2)), 0)
        rings.append(ring)
    return np.stack(rings)


def _round_the_heel(full: float) -> Rings:
    """Rings fanned about the bend of the ankle, from upright under it to level behind it."""
    rings = []
    for turn in np.linspace(0, np.pi / 2, 26)[1:]:
        back, down = np.sin(turn), np.cos(turn)
        reach = ((back / BEND) ** 6 + (down / ANKLE_HEIGHT) ** 6) ** (-1 / 6)
        # Over the heel the tendon lies further forward.
        reach *= 1 - 0.16 * np.clip((turn - 1.15) / 0.42, 0, 1) ** 2
        far = (BEND - reach * back, ANKLE_HEIGHT - reach * down)
        rings.append(
            _ring(near=(BEND, ANKLE_HEIGHT * full), far=far, width=(0.27 - 0.01 * back) * full, y=0, square=2.4)
        )
    return np.stack(rings)


def _leg(full: float) -> Rings:
    heights = np.linspace(ANKLE_HEIGHT * full, LEG_TO, 14)[1:]
    part = np.linspace(0, 1, 14)[1:]
    return np.stack(
        [
            _ring(
                near=(BEND - 0.05 * up, z), far=(0.07 + 0.03 * up, z), width=(0.26 - 0.01 * up) * full, y=0, square=2.2
            )
            for z, up in zip(heights, part, strict=True)
        ]
    )


def _skin(rings: Rings) -> NDArray[np.float64]:
    """Triangles between neighbouring rings, and a lid at either end."""
    one, two = rings[:-1], rings[1:]
    next_one, next_two = np.roll(one, -1, axis=1), np.roll(two, -1, axis=1)
    sides = [np.stack([one, next_one, two], axis=2), np.stack([next_one, next_two, two], axis=2)]
    lids = []
    for ring in (rings[0], rings[-1]):
        middle = np.broadcast_to(ring.mean(axis=0), ring.shape)
        lids.append(np.stack([middle, ring, np.roll(ring, -1, axis=0)], axis=1))
    return np.concatenate([*(side.reshape(-1, 3, 3) for side in sides), *lids])


SCANNED_AND_TAKEN = "rheumatoid"
SCANNED_AND_WAITING = "haglund"
TAKEN = ("foot_length", "joint_width", "joint_girth", "instep_girth", "short_heel_girth")
BEFORE_THE_TAPE = timedelta(days=7)


def scan_feet(clinic: Clinic, patients: dict[str, Patient]) -> None:
    """One client whose feet were both scanned and taken as measures before the tape; another whose scan waits."""
    iris = clinic.staff["iris"]
    clients = {client.key: client for client in CLIENTS}
    taken, waiting = patients[SCANNED_AND_TAKEN], patients[SCANNED_AND_WAITING]
    at = taken.measure_sets.earliest("taken_at").taken_at - BEFORE_THE_TAPE
    scans = {
        add_scan(
            taken,
            side=side,
            file=_file_of(clients[SCANNED_AND_TAKEN], side),
            load="part",
            heel_height_mm=Decimal(0),
            made_on=timezone.localdate(at),
            by=iris,
            at=at,
        ): 1
        for side in BOTH
    }
    take_measures(scans, chosen=[(side, key) for side in BOTH for key in TAKEN], by=iris, at=at)
    lately = clinic.now - timedelta(days=2)
    add_scan(
        waiting,
        side="right",
        file=_file_of(clients[SCANNED_AND_WAITING], "right"),
        load="standing",
        heel_height_mm=Decimal(0),
        made_on=timezone.localdate(lately),
        by=iris,
        at=lately,
    )


def _file_of(client: Client, side: str) -> bytes:
    feet = client.feet
    length_mm = feet.left_length_mm if side == "left" else feet.right_length_mm
    bulge_mm = 6.0 if client.key == SCANNED_AND_TAKEN else 0.0
    return stl_of(foot_mesh(side=side, length_mm=length_mm, full=1.02, bulge_mm=bulge_mm))
