"""What one flat piece is: the line it is cut on, the lines that are marked on it, and what stands on it in words.

Lengths in mm. A piece is drafted without left and right: u runs towards the medial side, v towards the toe, or upwards
on a piece that stands in the shoe. It is seen from its grain side: an insole from above, a stiffener from without. So a
piece of the LEFT shoe lies on paper with u to the right, one of the RIGHT shoe with u to the left (`on_paper`).

Every piece is a starting piece: it is cut full and trimmed on the last.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import Enum
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray

from shared.calculations import BadInput
from shared.sides import Side

Points = NDArray[np.float64]
"""Shape (n, 2): u towards medial, v towards the toe or up, in mm. A closed line does not repeat its first point."""

NICK_DEEP_MM = 3.0
NICK_BROAD_MM = 3.0
NICKS_APART_MM = 6.0
SHIFT_REACHES_MM = 30.0
"""Along the cut line, to each side of a shifted point: how far the line follows. From memory."""


class LineKind(Enum):
    """What a line on a piece is for. The value is the word beside it on paper and the layer in a file."""

    CUT = "cut"
    FINISHED = "finished"
    FEATHER = "feather edge"
    SKIVE = "skive from here"
    THIN = "thin"
    ZONE = "zone"
    JOINT = "joint line"
    CENTRE_BACK = "centre back"
    CENTRE = "centre"
    GRAIN = "grain"
    PLACE = "place"
    NICK = "medial edge"


@dataclass(frozen=True)
class Line:
    """A line marked on a piece. `words` say what the kind alone does not: a width, a thickness, what lies there."""

    kind: LineKind
    points: Points
    closed: bool = False
    words: str = ""


@dataclass(frozen=True)
class MedialEdge:
    """Where the nicks of the medial edge are cut, and the unit direction from there into the piece."""

    at: tuple[float, float]
    inwards: tuple[float, float]


@dataclass(frozen=True)
class Handle:
    """A point of the cut line that a maker may shift. `key` stays the same for the same piece of another shoe."""

    key: str
    words: str
    at: tuple[float, float]


@dataclass(frozen=True)
class Piece:
    """One flat piece. `serves` holds both sides where the same piece serves either foot.

    `part` is the name of the shoe's part it belongs to; `count` is how many are cut for each foot it serves.
    `thickness_mm` is that of the sheet it is cut from; `split_to_mm` what it is split to first, where that is less.
    `mean_thickness_mm` is what is left on average after skiving, for its weight.
    """

    key: str
    part: str
    name: str
    serves: tuple[Side, ...]
    material: str
    thickness_mm: float | None
    outline: Points
    holes: tuple[Points, ...] = ()
    lines: tuple[Line, ...] = ()
    medial_edge: MedialEdge | None = None
    handles: tuple[Handle, ...] = ()
    words: tuple[str, ...] = ()
    facts: tuple[tuple[str, float], ...] = ()
    """Figures in mm that the piece is cut to, in words: ("medial reach", 128.0)."""
    count: int = 1
    split_to_mm: float | None = None
    mean_thickness_mm: float | None = None

    @cached_property
    def polygon(self) -> shapely.Polygon:
        return shapely.Polygon(self.outline, list(self.holes))

    @property
    def area_cm2(self) -> float:
        """What is left of the sheet: without the holes."""
        return float(self.polygon.area) / 100

    @property
    def perimeter_mm(self) -> float:
        """Of the cut line, holes not counted."""
        return float(self.polygon.exterior.length)

    def weight_g(self, density_kg_m3: float) -> float | None:
        """Of one, skived; None where its thickness is not said."""
        thick = self.mean_thickness_mm if self.mean_thickness_mm is not None else self.thickness_mm
        return None if thick is None else self.area_cm2 * thick / 10 * density_kg_m3 / 1000

    def marked(self, side: Side) -> tuple[Line, ...]:
        """All lines of a side's piece as it is cut, with the nicks of its medial edge: one LEFT, two RIGHT, V-shaped.

        A piece that serves either foot has none: it has no medial edge of its own.
        """
        cut = (Line(LineKind.CUT, self.outline, closed=True), *(Line(LineKind.CUT, h, closed=True) for h in self.holes))
        if self.medial_edge is None or len(self.serves) > 1:
            return (*cut, *self.lines)
        return (*cut, *self.lines, *_nicks(self.medial_edge, count=1 if side is Side.LEFT else 2))


def on_paper(points: Points, side: Side) -> Points:
    """Drafted points as they lie on paper for a side: x to the right, y up. Medial of LEFT lies to the right."""
    laid: Points = points * np.array([1.0 if side is Side.LEFT else -1.0, 1.0])
    return laid


def shifted(piece: Piece, key: str, *, medial_mm: float, along_mm: float) -> Piece:
    """The piece with one of its points moved, the cut line following to both sides; the other lines stay.

    `medial_mm` moves it towards medial, `along_mm` towards the toe or up. Raises `KeyError` for a point it does not
    have, and `BadInput` where the cut line would cross itself or one of its holes.
    """
    handle = {each.key: each for each in piece.handles}[key]
    ring = shapely.LinearRing(piece.outline)
    at = ring.project(shapely.Point(handle.at))
    along = np.array([ring.project(shapely.Point(point)) for point in piece.outline])
    away = np.abs(along - at)
    away = np.minimum(away, ring.length - away)
    follows = np.where(away < SHIFT_REACHES_MM, np.cos(np.minimum(away / SHIFT_REACHES_MM, 1) * np.pi / 2) ** 2, 0.0)
    outline = piece.outline + follows[:, None] * np.array([medial_mm, along_mm])
    moved = replace(
        piece,
        outline=outline,
        handles=tuple(
            replace(each, at=(each.at[0] + medial_mm, each.at[1] + along_mm)) if each is handle else each
            for each in piece.handles
        ),
    )
    if not moved.polygon.is_valid:
        raise BadInput("shift", f"{medial_mm:g} and {along_mm:g} mm", allowed="a cut line that does not cross itself")
    return moved


def _nicks(edge: MedialEdge, *, count: int) -> Sequence[Line]:
    at, inwards = np.array(edge.at), np.array(edge.inwards)
    beside = np.array([-inwards[1], inwards[0]])
    middles = [at + beside * NICKS_APART_MM * (number - (count - 1) / 2) for number in range(count)]
    return [
        Line(
            LineKind.NICK,
            np.array(
                [
                    middle - beside * NICK_BROAD_MM / 2,
                    middle + inwards * NICK_DEEP_MM,
                    middle + beside * NICK_BROAD_MM / 2,
                ]
            ),
        )
        for middle in middles
    ]
