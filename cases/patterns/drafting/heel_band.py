"""The band of a stiffener round the heel: how far it goes, how high it stands, and where each point of it lies flat.

Lengths in mm. `along` runs along the feather edge from centre back, medial more and lateral less than 0; `up` runs up
the leather from the feather edge. The reaches and heights are those that the shoe's drawing shows.
"""

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from cases.patterns.drafting.cone import Cone, cone_development
from cases.patterns.drafting.figures import PatternFigures
from cases.patterns.drafting.pieces import Points
from cases.patterns.drafting.rings import plain
from cases.prescriptions.cut_away.edges import edge_of_outline, way_at
from cases.prescriptions.cut_away.sheet import along_edge
from cases.prescriptions.cut_away.shell import (
    FRONT_HEIGHT_MM,
    ankle_height,
    back_height,
    reach_of,
    stiffener_height,
    under_the_ankle,
)
from cases.prescriptions.shoe import Shoe
from shared.calculations import BadInput, check_within
from shared.sides import Edge

TOPLINE_UP_MM = 50.0
"""How high up the heel `stiffener_topline_part` says how much tighter the topline is than the feather edge."""
LEAST_REACH_MM = 15.0
LEAST_HEIGHT_MM, MOST_HEIGHT_MM = 12.0, 250.0
LEAST_ROUND_MM = 0.1
STEP_MM = 3.0
CORNER_POINTS = 8


@dataclass(frozen=True)
class HalfBand:
    """The band on one side of centre back. `like` is the side whose outline its heights are taken over."""

    shoe: Shoe
    edge: Edge
    reach_mm: float
    round_mm: float
    like: Edge

    @property
    def sign(self) -> float:
        return 1.0 if self.edge == Edge.MEDIAL else -1.0

    @cached_property
    def end_x(self) -> float:
        return along_edge(self._outline, self.reach_mm)[0]

    @cached_property
    def _outline(self) -> Points:
        return edge_of_outline(self.shoe, self.like)

    @cached_property
    def _gone(self) -> Points:
        return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(self._outline, axis=0).T))])

    @property
    def whole_edge_mm(self) -> float:
        """From centre back to the tip."""
        return float(self._gone[-1])

    @property
    def joint_along_mm(self) -> float | None:
        """How far along the feather edge the joint of this side lies; None where the foot has lost it."""
        if self.shoe.form.is_partial:
            return None
        outline = self.shoe.form.outline
        joint = outline.medial_joint if self.edge == Edge.MEDIAL else outline.lateral_joint
        return way_at(self.shoe, self.edge, joint[0])

    def along_at(self, x: float) -> float:
        """How far along the feather edge a place lies that is x ahead of the back of the heel."""
        return way_at(self.shoe, self.like, x)

    def height_at(self, along: Points) -> Points:
        """How high the band stands, its end rounded."""
        x = np.minimum(np.interp(along, self._gone, self._outline[:, 0]), self.end_x)
        near = np.clip((along - (self.reach_mm - self.round_mm)) / self.round_mm, 0, 1)
        return stiffener_height(self.shoe, self.like, x, self.end_x) - self.round_mm * (1 - np.sqrt(1 - near**2))

    @cached_property
    def top(self) -> Points:
        """`along` and `up` of the topline from centre back to where the end comes straight down."""
        straight = self.reach_mm - self.round_mm
        along = np.concatenate(
            [
                np.linspace(0, straight, math.ceil(straight / STEP_MM) + 1)[:-1],
                straight + self.round_mm * np.sin(np.linspace(0, np.pi / 2, CORNER_POINTS)),
            ]
        )
        return np.column_stack([self.sign * along, self.height_at(along)])


@dataclass(frozen=True)
class HeelBand:
    """The whole band: one half or both, on the cone that they are laid out on."""

    shoe: Shoe
    halves: tuple[HalfBand, ...]
    margin_mm: float
    topline_part: float
    cone: Cone

    def half(self, edge: Edge) -> HalfBand | None:
        return next((each for each in self.halves if each.edge == edge), None)

    def reach_mm(self, edge: Edge) -> float:
        half = self.half(edge)
        return half.reach_mm if half else 0.0

    def laid(self, points: Points) -> Points:
        """`along` and `up` laid flat: u towards medial, v up."""
        return self.cone.laid(points[:, 0], points[:, 1])

    def place(self, along: float, up: float) -> tuple[float, float]:
        u, v = self.cone.laid(along, up)
        return float(u), float(v)

    def at(self, along: float, *, low: float, high: float) -> Points:
        """The straight line up the leather at one place of the feather edge."""
        return self.laid(np.array([(along, low), (along, high)]))

    @cached_property
    def ends(self) -> tuple[float, float]:
        """`along` of the lateral and of the medial end."""
        return -self.reach_mm(Edge.LATERAL), self.reach_mm(Edge.MEDIAL)

    def parallel(self, up: float) -> Points:
        """A line at one height from the lateral to the medial end."""
        low, high = self.ends
        along = np.linspace(low, high, math.ceil((high - low) / STEP_MM) + 1)
        if low < 0 < high:
            along = np.unique(np.append(along, 0.0))
        return self.laid(np.column_stack([along, np.full_like(along, up)]))

    @cached_property
    def top(self) -> Points:
        """The topline flat, from the lateral to the medial end, its rounded ends among it."""
        lateral, medial = self.half(Edge.LATERAL), self.half(Edge.MEDIAL)
        halves = [] if lateral is None else [lateral.top[::-1]]
        halves += [] if medial is None else [medial.top[1:] if lateral is not None else medial.top]
        return self.laid(np.concatenate(halves))

    def end(self, edge: Edge) -> Points:
        """The end of one side flat, from its topline down to the margin's edge; at centre back without that side."""
        half = self.half(edge)
        along = self.reach_mm(edge) * (1 if edge == Edge.MEDIAL else -1)
        high = back_height(self.shoe) if half is None else float(half.top[-1, 1])
        return self.laid(np.array([(along, high), (along, 0.0), (along, -self.margin_mm)]))

    @cached_property
    def outline(self) -> Points:
        """The cut line, anticlockwise from the lateral corner of the margin."""
        return plain(
            np.concatenate(
                [
                    self.parallel(-self.margin_mm),
                    self.end(Edge.MEDIAL)[-2:0:-1],
                    self.top[::-1],
                    self.end(Edge.LATERAL)[1:-1],
                ]
            )
        )


def is_alike(shoe: Shoe) -> bool:
    """Whether it is short and alike on both sides, so that one piece serves either foot: cut by the lateral arc."""
    stiffener = shoe.stiffener
    if stiffener is None or {stiffener.medial_reach, stiffener.lateral_reach} != {"short"} or shoe.reliefs:
        return False
    changed = [ankle_height(shoe, edge) or under_the_ankle(shoe, edge) for edge in Edge]
    return changed == [None, None] and reach_of(shoe, Edge.MEDIAL) == reach_of(shoe, Edge.LATERAL)


def heel_band(shoe: Shoe, figures: PatternFigures) -> HeelBand | None:
    """The band of a shoe's stiffener; None where it has none. Raises `BadInput` for figures that no heel has."""
    reaches = {edge: reach_of(shoe, edge) for edge in Edge}
    if shoe.stiffener is None or not any(reaches.values()):
        return None
    front = shoe.stiffener.front_height_mm or FRONT_HEIGHT_MM
    check_within("stiffener back height", back_height(shoe), LEAST_HEIGHT_MM, MOST_HEIGHT_MM)
    check_within("stiffener front height", front, LEAST_HEIGHT_MM / 2, MOST_HEIGHT_MM)
    alike = is_alike(shoe)
    halves = tuple(
        _half(
            shoe,
            edge,
            reaches[edge],
            like=Edge.LATERAL if alike else edge,
            most_round=min(front, figures.stiffener_end_round_mm),
        )
        for edge in Edge
        if reaches[edge]
    )
    feather = sum(half.reach_mm for half in halves)
    high = max(float(half.top[:, 1].max()) for half in halves)
    part = figures.stiffener_topline_part
    topline = feather * (1 - (1 - part) * high / TOPLINE_UP_MM)
    if topline < LEAST_REACH_MM:
        most = TOPLINE_UP_MM / (1 - part) * (1 - LEAST_REACH_MM / feather)
        raise BadInput("stiffener height", high, least=LEAST_HEIGHT_MM, most=round(most))
    cone = cone_development(feather_mm=feather, topline_mm=topline, height_mm=high).cone
    return HeelBand(shoe, halves, figures.stiffener_margin_mm, part, cone)


def _half(shoe: Shoe, edge: Edge, reach: float, *, like: Edge, most_round: float) -> HalfBand:
    half = HalfBand(shoe, edge, reach, max(min(most_round, reach / 2), LEAST_ROUND_MM), like)
    check_within(f"{edge} reach", reach, LEAST_REACH_MM, half.whole_edge_mm)
    if float(half.top[:, 1].min()) < 0:
        raise BadInput(
            f"{edge} height of the stiffener", float(half.top[:, 1].min()), allowed="a height over the feather edge"
        )
    return half
