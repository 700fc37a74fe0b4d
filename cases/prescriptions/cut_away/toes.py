"""How far it is over the toes of a last, along its top and across it. Lengths in mm.

The section across the toes is taken as half an ellipse on the outline's width and the profile's depth: from memory.
"""

import numpy as np

from cases.prescriptions.cut_away.edges import edge_of_outline
from cases.prescriptions.cut_away.sheet import Points
from cases.prescriptions.shoe import Shoe
from shared.sides import Edge

CLOSE_MM = 0.05


def ahead_of(shoe: Shoe, edge: Edge, start: float) -> Points:
    """One edge of the outline from a place along the foot to the tip."""
    points = edge_of_outline(shoe, edge)
    first = (start, float(np.interp(start, points[:, 0], points[:, 1])))
    return np.concatenate([[first], points[points[:, 0] > start + CLOSE_MM]])


def over_the_toe(shoe: Shoe, start: float) -> float:
    """Along the top from a place along the foot down to the feather edge at the tip."""
    profiles = [shoe.form.profile(edge) for edge in Edge]
    x = profiles[0].top[:, 0]
    x = np.concatenate([[start], x[x > start + CLOSE_MM]])
    top = np.mean([np.interp(x, each.top[:, 0], each.top[:, 1]) for each in profiles], axis=0)
    return float(np.hypot(np.diff(x), np.diff(top)).sum())


def across_the_toes(shoe: Shoe, at: float) -> float:
    """Over the top at a place along the foot, from feather edge to feather edge."""
    width = sum(abs(float(ahead_of(shoe, edge, at)[0, 1])) for edge in Edge)
    return 2 * float(quarter_of_ellipse(np.array(width / 2), np.array(depth_of_last(shoe, at))))


def depth_of_last(shoe: Shoe, at: float) -> float:
    """Over its bottom, at a place along the foot."""
    return float(np.mean([shoe.form.profile(edge).depth_at(at) for edge in Edge]))


def quarter_of_ellipse(one: Points, other: Points) -> Points:
    """A quarter of the way round an ellipse of these half axes: Ramanujan's approximation of 1914."""
    total = np.maximum(one + other, 1e-9)
    part = ((one - other) / total) ** 2
    way: Points = np.pi * total * (1 + 3 * part / (10 + np.sqrt(4 - 3 * part))) / 4
    return way
