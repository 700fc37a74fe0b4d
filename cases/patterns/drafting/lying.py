"""What pieces that lie in the bottom of the shoe are drafted with: their cut line, their edges, their points."""

from functools import lru_cache

import numpy as np
import shapely

from cases.patterns.drafting.pieces import Handle, Line, LineKind, MedialEdge, Points
from cases.prescriptions.cut_away.edges import edge_of_outline
from cases.prescriptions.cut_away.plan import Points as PlanPoints
from cases.prescriptions.cut_away.plan import largest
from cases.prescriptions.shoe import Shoe
from shared.calculations import BadInput
from shared.sides import Edge

NARROWEST_MM = 3.0
"""Narrower than this nothing is cut."""
STEP_MM = 4.0
"""No two points of a cut line lie further apart, so that it can follow a shifted point."""


def up(points: PlanPoints) -> Points:
    """From x forward, y towards medial to u towards medial, v forward."""
    return np.asarray(points)[:, ::-1]


def cut_line(polygon: shapely.Polygon, *, name: str) -> Points:
    """The points of a piece, in u and v, from the plan of it. Strips narrower than anything that is cut are left out.

    Raises `BadInput` where nothing broad enough is left; `name` says in its sentence what it would have been.
    """
    outline = _cut_points(polygon)
    if outline is None:
        raise BadInput(name, "too narrow to be cut", allowed=f"a piece at least {NARROWEST_MM:g} mm broad")
    return outline


@lru_cache(maxsize=256)
def _cut_points(polygon: shapely.Polygon) -> Points | None:
    """Socks and layers of one form are cut on one line: it is worked out once. None where nothing is broad enough."""
    core = polygon.buffer(-NARROWEST_MM / 2)
    if core.is_empty:
        return None
    if core.geom_type != "Polygon":
        polygon = largest(largest(core).buffer(NARROWEST_MM / 2))
    outline = up(np.asarray(polygon.exterior.segmentize(STEP_MM).coords)[:-1])
    outline.flags.writeable = False
    return outline


def closed_line(kind: LineKind, polygon: shapely.Polygon, words: str = "") -> Line:
    return Line(kind, up(np.asarray(polygon.exterior.coords)[:-1]), closed=True, words=words)


def crossings(outline: Points, through: tuple[float, float], along: tuple[float, float]) -> Points:
    """Where a closed line crosses a straight one, in the order in which it runs. Shape (n, 2), n even."""
    closed = np.concatenate([outline, outline[:1]])
    to_u, to_v = along
    away = closed @ (to_v, -to_u) - (through[0] * to_v - through[1] * to_u)
    beyond = away >= 0
    found = (beyond[1:] != beyond[:-1]).nonzero()[0]
    here, after = closed[found], closed[found + 1]
    part = away[found] / (away[found] - away[found + 1])
    points: Points = here + part[:, None] * (after - here)
    return points[(points @ along).argsort()]


ACROSS, ALONG = (1.0, 0.0), (0.0, 1.0)


def medial_at(outline: Points, v: float) -> tuple[float, float]:
    """The point of the medial edge so far forward."""
    return _point(crossings(outline, (0.0, v), ACROSS)[-1])


def lateral_at(outline: Points, v: float) -> tuple[float, float]:
    return _point(crossings(outline, (0.0, v), ACROSS)[0])


def front_at(outline: Points, u: float) -> tuple[float, float]:
    """The foremost point of a line so far towards medial."""
    return _point(crossings(outline, (u, 0.0), ALONG)[-1])


def back_at(outline: Points, u: float) -> tuple[float, float]:
    return _point(crossings(outline, (u, 0.0), ALONG)[0])


def middle_u(outline: Points) -> float:
    return float(outline[:, 0].min() + outline[:, 0].max()) / 2


def medial_edge(outline: Points, *, v: float | None = None) -> MedialEdge:
    """The medial edge at a place along the piece, in its middle where none is given."""
    at = float(outline[:, 1].min() + outline[:, 1].max()) / 2 if v is None else v
    before, behind = medial_at(outline, at + 1.0), medial_at(outline, at - 1.0)
    along = np.array(before) - np.array(behind)
    along /= np.hypot(*along)
    return MedialEdge(at=medial_at(outline, at), inwards=(-float(along[1]), float(along[0])))


def front_and_back(outline: Points) -> tuple[Handle, Handle]:
    u = middle_u(outline)
    return Handle("front", "front", front_at(outline, u)), Handle("back", "back", back_at(outline, u))


def joint_line(shoe: Shoe, outline: Points, words: str = "") -> tuple[Line, ...]:
    """The joint line as far as it crosses a piece."""
    here = shoe.form.joint_line_mm(0.0)
    return _within(outline, (0.0, here), (1.0, shoe.form.joint_line_mm(1.0) - here), LineKind.JOINT, words)


def centre_line(outline: Points, words: str = "") -> tuple[Line, ...]:
    """The long axis, from the back of the heel to the 2nd toe, as far as it crosses a piece."""
    return _within(outline, (0.0, 0.0), ALONG, LineKind.CENTRE, words)


def across_line(outline: Points, v: float, kind: LineKind, words: str = "") -> tuple[Line, ...]:
    """A line straight across a piece."""
    return _within(outline, (0.0, v), ACROSS, kind, words)


def _within(
    outline: Points, through: tuple[float, float], along: tuple[float, float], kind: LineKind, words: str
) -> tuple[Line, ...]:
    """The longest stretch of a straight line on a piece."""
    ends = _stretch(outline, through, along)
    return () if ends is None else (Line(kind, ends, words=words),)


def _stretch(outline: Points, through: tuple[float, float], along: tuple[float, float]) -> Points | None:
    ends = crossings(outline, through, along).reshape(-1, 2, 2)
    if not len(ends):
        return None
    longest: Points = ends[np.hypot(*(ends[:, 1] - ends[:, 0]).T).argmax()]
    return longest


def widths(shoe: Shoe, x: Points) -> Points:
    """How broad the form is at places along the foot; nothing behind and before it."""
    medial, lateral = (edge_of_outline(shoe, edge) for edge in Edge)
    broad: Points = np.interp(x, medial[:, 0], medial[:, 1]) - np.interp(x, lateral[:, 0], lateral[:, 1])
    return broad


def mean_over_form(shoe: Shoe, x: Points, high: Points) -> float:
    """The mean of a height over as much of the form as lies between the first and the last of these places."""
    broad = widths(shoe, x)
    return float(np.trapezoid(broad * high, x) / np.trapezoid(broad, x))


def grain(outline: Points, words: str, *, u: float) -> Line:
    """An arrow towards the toe, along a piece so far towards medial; in its middle where it does not reach so far."""
    ends = _stretch(outline, (u, 0.0), ALONG)
    if ends is None:
        ends = _stretch(outline, (middle_u(outline), 0.0), ALONG)
    assert ends is not None
    (at, start), (_, end) = ends
    return Line(LineKind.GRAIN, np.array([(at, start + part * (end - start)) for part in (0.25, 0.6)]), words=words)


def _point(at: Points) -> tuple[float, float]:
    return float(at[0]), float(at[1])
