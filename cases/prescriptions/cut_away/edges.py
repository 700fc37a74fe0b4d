"""Places in the plan of a shoe: along its feather edge, and in the parts that lie on its outline.

Lengths in mm; x forward from the back of the heel, y towards medial.
"""

from functools import lru_cache

import numpy as np
import shapely

from cases.lasts.outline import PlanShape
from cases.prescriptions.cut_away.bottom import sock_end
from cases.prescriptions.cut_away.sheet import Points
from cases.prescriptions.shoe import Shoe, feather_line
from shared.sides import Edge

SIGNS = ((Edge.MEDIAL, 1.0), (Edge.LATERAL, -1.0))
POSTED_FROM_TO = {"rear": (0.03, 0.28), "fore": (0.60, 0.92)}
"""Of the length. From memory."""


def edge_of_outline(shoe: Shoe, edge: Edge) -> Points:
    """One edge of the form's outline from centre back to the tip: x forward, y towards medial."""
    return feather_line(shoe.form.plan_shape, edge)[0]


def along(shoe: Shoe, edge: Edge, way: float) -> tuple[float, float]:
    """The place on an edge that lies so far along it from centre back."""
    line, gone = feather_line(shoe.form.plan_shape, edge)
    return float(np.interp(way, gone, line[:, 0])), float(np.interp(way, gone, line[:, 1]))


def way_at(shoe: Shoe, edge: Edge, x: float) -> float:
    """How far along an edge from centre back the place lies that is so far forward."""
    line, gone = feather_line(shoe.form.plan_shape, edge)
    return float(np.interp(x, line[:, 0], gone))


def place_at(shoe: Shoe, edge: Edge, x: float) -> tuple[float, float]:
    """The place on an edge that lies so far forward."""
    line = edge_of_outline(shoe, edge)
    ahead = line[:, 0]
    at = int(np.argmin(np.abs(ahead - x)))
    return x, float(line[at, 1])


def edge_band(shoe: Shoe, edge: Edge, start: float, end: float, *, broad: float) -> Points:
    """A band along the feather edge between two ways from centre back; a negative breadth lies outside the edge.

    The first half of the points lies on the edge, the second, backwards, on the other side of the band.
    """
    on_edge, inward = _stretch(shoe.form.plan_shape, edge, start, end)
    return np.concatenate([on_edge, (on_edge + broad * inward)[::-1]])


@lru_cache(maxsize=256)
def _stretch(shape: PlanShape, edge: Edge, start: float, end: float) -> tuple[Points, Points]:
    """Points on an edge between two ways along it, and at each the direction inward, of length 1."""
    line, gone = feather_line(shape, edge)
    ways = np.concatenate([[start], gone[(gone > start) & (gone < end)], [end]])
    on_edge = np.column_stack([np.interp(ways, gone, line[:, axis]) for axis in (0, 1)])
    course = np.gradient(on_edge, axis=0)
    course /= np.maximum(np.hypot(*course.T), 1e-9)[:, None]
    return on_edge, course[:, ::-1] * ([1, -1] if edge == Edge.MEDIAL else [-1, 1])


def sock_ends(shoe: Shoe) -> tuple[tuple[float, float], tuple[float, float]] | None:
    """Where the front of a half or heel sock meets the medial and the lateral edge: a half one ends along the joints."""
    end, form = sock_end(shoe), shoe.form
    if end is None or end >= form.length_mm:
        return None
    (medial, inner), (lateral, outer) = form.outline.medial_joint, form.outline.lateral_joint
    if "half" in (shoe.insole.sock.casefold() if shoe.insole else ""):
        behind = form.heel_to_joint_mm - end
        return (medial - behind, inner), (lateral - behind, outer)
    return place_at(shoe, Edge.MEDIAL, end), place_at(shoe, Edge.LATERAL, end)


def apex_line(shoe: Shoe) -> Points:
    """An apex line over 90 degrees lies further forward on the medial edge."""
    rocker, half = shoe.rocker, 0.5 * shoe.form.joint_width_mm
    if rocker is None:
        return np.zeros((0, 2))
    apex = rocker.apex_percent / 100 * shoe.form.length_mm
    skew = float(np.tan(np.radians((rocker.apex_angle_deg or 90.0) - 90))) * half
    return np.array([(apex + skew, half), (apex - skew, -half)])


def posted(shoe: Shoe) -> list[tuple[Edge, str, float]]:
    """Where the insole is posted, and by how many degrees."""
    insole = shoe.insole
    if insole is None:
        return []
    given = (
        (Edge.MEDIAL, "rear", insole.posting_rear_medial_deg),
        (Edge.LATERAL, "rear", insole.posting_rear_lateral_deg),
        (Edge.MEDIAL, "fore", insole.posting_fore_medial_deg),
        (Edge.LATERAL, "fore", insole.posting_fore_lateral_deg),
    )
    return [(edge, place, degrees) for edge, place, degrees in given if degrees]


def ring(polygon: shapely.Polygon) -> Points:
    return np.asarray(polygon.exterior.coords)[:-1]


def ends_across(polygon: shapely.Polygon) -> tuple[tuple[float, float], tuple[float, float]]:
    """Places in a part near its lateral and its medial end, as u and v."""
    if polygon.is_empty:
        return (0.0, 0.0), (0.0, 0.0)
    points = ring(polygon)
    lateral, medial = points[points[:, 1].argmin()], points[points[:, 1].argmax()]
    return (float(lateral[1]) + 3, float(lateral[0])), (float(medial[1]) - 3, float(medial[0]))
