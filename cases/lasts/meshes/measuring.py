"""The measures of a placed scan, in mm, and its silhouettes from above and from the side."""

import math
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from cases.lasts.meshes.files import BadMesh, Triangles, read_mesh
from cases.lasts.meshes.placing import low_part, placed
from cases.lasts.meshes.sections import Plane, Section, cut, foot_section
from cases.lasts.meshes.stations import HEEL_WIDTH_BELOW, SHORT_HEEL_DEG, STATIONS

SLICES = 90
"""How many cuts along and up a silhouette is made of."""
SIMPLER_BY_MM = 0.4
DRAWN_POINTS = 120
LEAST_LENGTH_MM = 60.0

ACROSS = (0.0, 1.0, 0.0)
UP = (0.0, 0.0, 1.0)


def measure(file: bytes, *, side: str, asked: Mapping[str, Any]) -> dict[str, Any]:
    """Everything about a scan of a left or right foot, ready to be kept as JSON. Raises `BadMesh`.

    `asked` is what a person set: unit, axes, mirrored, heel_mm, toe_mm, short_heel_deg, and stations in mm from the
    heel. All that is absent is guessed. Girths are circumferences of plane sections: geometry, checked against the
    published circumference of an ellipse.
    """
    mesh = read_mesh(file)
    triangles, placing = placed(mesh.triangles, asked)
    length_mm = float(asked.get("toe_mm") or low_part(triangles)[:, 0].max())
    if length_mm < LEAST_LENGTH_MM:
        raise BadMesh(
            f"From heel to toe this would be {length_mm:.0f} mm: is it turned the right way, and the unit right?"
        )
    foot = _Foot(triangles, side=side, length_mm=length_mm, by_hand=asked.get("stations", {}))
    short_heel_deg = float(asked.get("short_heel_deg") or foot.likeliest_short_heel_deg())
    sections = foot.sections(short_heel_deg)
    return {
        "format": mesh.format,
        "faces": len(mesh.triangles),
        "placing": {
            "unit": placing.unit,
            "unit_guessed": placing.unit_guessed,
            "axes": [round(part, 9) for part in placing.axes],
            "mirrored": placing.mirrored,
            "heel_mm": placing.heel_mm,
            "toe_mm": _tenth(length_mm),
            "short_heel_deg": short_heel_deg,
            "stations": {key: _tenth(at_mm) for key, at_mm in foot.at_mm.items()},
        },
        "lengths": {key: _tenth(mm) for key, mm in foot.lengths(sections)},
        "girths": {key: _girth(section) for key, section in sections.items() if section is not None},
        "views": _silhouettes(triangles),
    }


class _Foot:
    """A mesh in the frame of the foot, with its stations."""

    def __init__(self, triangles: Triangles, *, side: str, length_mm: float, by_hand: Mapping[str, float]) -> None:
        self.triangles = triangles
        self.length_mm = length_mm
        self.medial = 1.0 if side == "right" else -1.0
        self.at_mm = {each.key: float(by_hand.get(each.key, each.fraction * length_mm)) for each in STATIONS}
        corners = low_part(triangles)
        self.heel = corners[int(np.argmin(corners[:, 0] + corners[:, 2]))]

    def across(self, station: str) -> Section | None:
        return foot_section(self.triangles, Plane.across(0, self.at_mm[station]))

    def joint(self) -> Section | None:
        """Upright over the medial and the lateral joint, which lie at different distances from the heel."""
        medial, lateral = self.across("joint_medial"), self.across("joint_lateral")
        if medial is None or lateral is None:
            return None
        from_edge = max(medial.points, key=lambda point: point[1] * self.medial)
        to_edge = min(lateral.points, key=lambda point: point[1] * self.medial)
        between = (from_edge[0] - to_edge[0], from_edge[1] - to_edge[1], 0.0)
        return foot_section(self.triangles, Plane.through(from_edge, along=between, and_along=UP))

    def from_heel(self, rises_deg: float) -> Section | None:
        """In a plane that rises forward from the lowest point at the back of the heel."""
        forward = (math.cos(math.radians(rises_deg)), 0.0, math.sin(math.radians(rises_deg)))
        return foot_section(self.triangles, Plane.through(self.heel, along=ACROSS, and_along=forward))

    def likeliest_short_heel_deg(self) -> float:
        """Where the girth is least: a tape slips into the bend of the ankle. 45 where the scan has no ankle."""
        least, most = SHORT_HEEL_DEG
        coarse = self._tightest(np.arange(least, most + 1, 5.0))
        if coarse is None:
            return 45.0
        fine = self._tightest(np.arange(max(least, coarse - 4), min(most, coarse + 4) + 0.1, 1.0))
        return coarse if fine is None else fine

    def _tightest(self, degrees: Sequence[float] | NDArray[np.float64]) -> float | None:
        found = [
            (section.tape_mm, float(each))
            for each in degrees
            if (section := self.from_heel(each)) is not None and section.is_closed
        ]
        return min(found)[1] if found else None

    def sections(self, short_heel_deg: float) -> dict[str, Section | None]:
        instep = self.across("instep")
        return {
            "joint_girth": self.joint(),
            "waist_girth": self.across("waist"),
            "instep_girth": instep,
            "short_heel_girth": self.from_heel(short_heel_deg),
            "long_heel_girth": self._over_the_instep(instep),
        }

    def _over_the_instep(self, instep: Section | None) -> Section | None:
        if instep is None:
            return None
        rise = float(instep.points[:, 2].max()) - self.heel[2]
        return self.from_heel(math.degrees(math.atan2(rise, self.at_mm["instep"] - self.heel[0])))

    def lengths(self, sections: Mapping[str, Section | None]) -> Iterator[tuple[str, float]]:
        """Lengths, widths and heights by the keys of `measures.py`, in its order."""
        yield "foot_length", self.length_mm
        yield "heel_to_joint", self.at_mm["joint_medial"]
        yield "heel_to_fifth", self.at_mm["joint_lateral"]
        if joint := sections["joint_girth"]:
            yield "joint_width", float(np.ptp(joint.points[:, 1]))
        if heel := self.across("heel_width"):
            low = heel.points[heel.points[:, 2] <= HEEL_WIDTH_BELOW * self.length_mm, 1]
            if len(low):
                yield "heel_width", float(np.ptp(low))
        if instep := sections["instep_girth"]:
            yield "instep_height", float(instep.points[:, 2].max())


def _girth(section: Section) -> dict[str, Any]:
    """What is kept of a section: its girths, and where it lies as seen from above and from the side."""
    points = section.points
    return {
        "tape_mm": round(section.tape_mm, 3),
        "surface_mm": round(section.surface_mm, 3),
        "is_closed": section.is_closed,
        "pieces": section.pieces,
        "above": _ends(points[:, [0, 1]], by=1),
        "side": _ends(points[:, [0, 2]], by=1),
    }


def _ends(points: NDArray[np.float64], *, by: int) -> list[list[float]]:
    """The two ends of a line of points that is seen edge-on."""
    order = np.argsort(points[:, by])
    return [[_tenth(x), _tenth(y)] for x, y in points[[order[0], order[-1]]]]


def _silhouettes(triangles: Triangles) -> dict[str, list[list[float]]]:
    low_mm = float(low_part(triangles)[:, 2].max())
    above = _columns(triangles, along=0, measured=1, below_mm=low_mm)
    side = _columns(triangles, along=0, measured=2).intersection(_swapped(_columns(triangles, along=2, measured=0)))
    return {"above": _outline(above), "side": _outline(side)}


def _columns(triangles: Triangles, *, along: int, measured: int, below_mm: float = math.inf) -> Any:
    """What is covered, seen square to both axes: at each step along one, from the least to the greatest of the other."""
    corners = triangles.reshape(-1, 3)
    corners = corners[corners[:, 2] <= below_mm]
    first, last = corners[:, along].min(), corners[:, along].max()
    least, most = triangles[:, :, along].min(axis=1), triangles[:, :, along].max(axis=1)
    steps = []
    for at_mm in np.linspace(first, last, SLICES + 1)[1:-1]:
        met = triangles[(least <= at_mm) & (most >= at_mm)]
        points = cut(met, Plane.across(along, float(at_mm))).reshape(-1, 3)
        points = points[points[:, 2] <= below_mm]
        if len(points):
            steps.append((at_mm, points[:, measured].min(), points[:, measured].max()))
    rear, front = (corners[index, measured] for index in (corners[:, along].argmin(), corners[:, along].argmax()))
    up = [(first, rear), *((at, high) for at, _, high in steps), (last, front)]
    return shapely.Polygon([*up, *((at, low) for at, low, _ in reversed(steps))]).buffer(0)


def _swapped(polygon: Any) -> Any:
    return shapely.transform(polygon, lambda points: points[:, ::-1])


def _outline(shape: Any) -> list[list[float]]:
    largest = max(getattr(shape, "geoms", [shape]), key=lambda piece: piece.area)
    by_mm = SIMPLER_BY_MM
    while len(outline := largest.simplify(by_mm).exterior.coords) > DRAWN_POINTS:
        by_mm *= 1.5
    return [[_tenth(x), _tenth(y)] for x, y in outline]


def _tenth(value: float) -> float:
    return round(float(value), 1)
