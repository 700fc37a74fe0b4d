"""A band that stands round a heel or a toe, laid flat: the mantle of a frustum is a sector of a ring.

Lengths in mm. The band's lower line is its feather edge, its upper one its topline; heights are taken along the leather.
Source: solid geometry. With the feather edge P_f, the topline P_t and the height H, the ring's radius at the feather
edge is H·P_f / (P_f − P_t), and the band turns by P_f over that radius.
"""

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from cases.patterns.drafting.pieces import Points
from shared.calculations import BadInput, check_within
from shared.workings import Status, Workings

MANTLE = "solid geometry: the mantle of a frustum of a cone lies flat as a sector of a ring"
LEAST_LINE_MM, MOST_LINE_MM = 5.0, 1000.0
LEAST_HEIGHT_MM, MOST_HEIGHT_MM = 1.0, 400.0
STRAIGHT_RAD = 1e-7
"""A band that turns by less lies straight: over a metre that is a tenth of a micrometre."""


@dataclass(frozen=True)
class Cone:
    """The surface of a band. `bend` is 1 over its radius at the feather edge: 0 where it is a straight strip, more
    where the topline is the shorter one, less where it flares outwards.
    """

    bend: float

    def laid(self, along: NDArray[np.float64] | float, up: NDArray[np.float64] | float) -> Points:
        """Flat places of points so far along the feather edge and so high over it: u along, v up, from (0, 0)."""
        along, up = np.broadcast_arrays(np.asarray(along, dtype=np.float64), np.asarray(up, dtype=np.float64))
        turn = along * self.bend
        # sin(s/R)·R and (1 − cos(s/R))·R without dividing by a bend that may be none.
        chord = along * np.sinc(turn / np.pi)
        rise = along * np.sin(turn / 2) * np.sinc(turn / 2 / np.pi)
        return np.stack([chord - up * np.sin(turn), rise + up * np.cos(turn)], axis=-1)

    def upwards(self, along: float) -> tuple[float, float]:
        """The direction up the leather so far along the feather edge."""
        return -math.sin(along * self.bend), math.cos(along * self.bend)


@dataclass(frozen=True)
class Developed:
    """A band laid flat. `flares` where its topline is the longer line: its centre then lies under the feather edge."""

    feather_mm: float
    topline_mm: float
    height_mm: float

    @cached_property
    def cone(self) -> Cone:
        turn = (self.feather_mm - self.topline_mm) / self.height_mm
        return Cone(0.0 if abs(turn) < STRAIGHT_RAD else turn / self.feather_mm)

    @property
    def radius_mm(self) -> float | None:
        """At the feather edge; None for a straight strip."""
        return None if self.cone.bend == 0 else 1 / abs(self.cone.bend)

    @property
    def angle_deg(self) -> float:
        """How far the band turns."""
        return math.degrees(self.feather_mm * abs(self.cone.bend))

    @property
    def flares(self) -> bool:
        return self.cone.bend < 0

    @property
    def workings(self) -> Workings:
        radius = self.radius_mm
        shape = "straight strip" if radius is None else f"radius {radius:.1f} mm, {self.angle_deg:.1f}°"
        centre = "under the feather edge: the band flares" if self.flares else "over the topline"
        return Workings(
            name="band laid flat",
            result=shape if radius is None else f"{shape}; centre {centre}",
            formula="radius = height × feather edge / (feather edge − topline); angle = feather edge / radius",
            inputs=(
                ("Feather edge", f"{self.feather_mm:g} mm"),
                ("Topline", f"{self.topline_mm:g} mm"),
                ("Height along the leather", f"{self.height_mm:g} mm"),
            ),
            source=MANTLE,
            status=Status.GEOMETRY,
            cautions=("A heel is no cone: wet leather takes up the rest. A starting piece, trimmed on the last.",),
        )


def cone_development(*, feather_mm: float, topline_mm: float, height_mm: float) -> Developed:
    """A band of these two lines and this height along the leather, in mm, laid flat.

    Raises `BadInput` for lines that no band has, and for a pair that no height joins.
    """
    check_within("feather_mm", feather_mm, LEAST_LINE_MM, MOST_LINE_MM)
    check_within("topline_mm", topline_mm, LEAST_LINE_MM, MOST_LINE_MM)
    check_within("height_mm", height_mm, LEAST_HEIGHT_MM, MOST_HEIGHT_MM)
    band = Developed(feather_mm, topline_mm, height_mm)
    if band.angle_deg >= 360:
        least = abs(feather_mm - topline_mm) / (2 * math.pi)
        raise BadInput("height_mm", height_mm, allowed=f"more than {least:.1f} mm between these two lines")
    return band
