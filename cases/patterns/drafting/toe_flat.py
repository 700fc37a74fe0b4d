"""The toe of a last laid flat: over the toes from feather edge to feather edge, and the band of a wall round them.

Lengths in mm. The last's section across the toes is taken as half an ellipse on the outline's width and the profile's
depth (from memory): wet leather takes up the rest. u runs towards medial, v towards the toe.
"""

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from cases.lasts.profile import TOE_DEPTH_AT
from cases.patterns.drafting.cone import Cone, cone_development
from cases.patterns.drafting.figures import PatternFigures
from cases.patterns.drafting.pieces import Points
from cases.patterns.drafting.rings import plain
from cases.prescriptions.cut_away.edges import edge_of_outline
from cases.prescriptions.cut_away.shell import WALL_MM, puff_length
from cases.prescriptions.cut_away.toes import ahead_of, depth_of_last, over_the_toe, quarter_of_ellipse
from cases.prescriptions.shoe import Shoe
from shared.calculations import BadInput, check_within
from shared.sides import Edge

Values = NDArray[np.float64]
BEHIND_MM = 40.0
"""How far the feather edge is drawn on behind a puff, to lay out the margin beside its end."""
STEP_MM = 3.0
CORNER_POINTS = 8
LEAST_ROUND_MM = 0.1
LEAST_WALL_MM, MOST_OF_SECTION = 4.0, 0.7
"""Of a quarter of the section: a higher wall meets its fellow over the toes."""
LEAST_TOP_MM = 15.0


@dataclass(frozen=True)
class FlatToe:
    """The feather edge of both sides flat, each from the back edge of the puff at v = 0 to the tip.

    (0, 0) is the middle of the back edge, `over_mm` the way from there over the ridge down to the feather edge at the tip.
    """

    medial: Points
    lateral: Points
    over_mm: float

    @property
    def feather(self) -> Points:
        """From the medial end of the back edge round the tip to the lateral end."""
        return np.concatenate([self.medial, self.lateral[-2::-1]])

    @property
    def drawn_out(self) -> Points:
        """The same with both ends drawn on behind the back edge, so that a margin beside it ends square there."""
        ends = [side[0] + (side[0] - side[1]) / np.hypot(*(side[0] - side[1])) * BEHIND_MM for side in self._sides]
        return np.concatenate([[ends[0]], self.feather, [ends[1]]])

    @property
    def _sides(self) -> tuple[Points, Points]:
        return self.medial, self.lateral


def toes_laid_flat(shoe: Shoe) -> FlatToe:
    """The toe of a last as far back as its puff reaches. Raises `BadInput` for a form that no last has.

    From the middle of the back edge every way down to the feather edge is laid flat in its own direction: to the sides
    a quarter of the section, to the tip the ridge of the profile, and between them by parts of both.
    """
    start = shoe.form.length_mm - puff_length(shoe)
    paths = {edge: ahead_of(shoe, edge, start) for edge in Edge}
    medial, lateral = paths[Edge.MEDIAL], paths[Edge.LATERAL]
    crown = np.array([start, (medial[0, 1] + lateral[0, 1]) / 2])
    ridge, depth = over_the_toe(shoe, start), depth_of_last(shoe, start)
    # In the plan x runs forward and y towards medial; flat, u towards medial and v towards the toe.
    flat = [_laid_down(path[:, ::-1] - crown[::-1], depth_mm=depth, ridge_mm=ridge) for path in (medial, lateral)]
    return FlatToe(flat[0], flat[1], ridge)


def _laid_down(plan: Points, *, depth_mm: float, ridge_mm: float) -> Points:
    """One side of the feather edge as seen from the crown, with its distances along the leather for those in the plan."""
    far = np.hypot(*plan.T)
    bearing = np.arctan2(plan[:, 1], plan[:, 0] * np.sign(plan[0, 0]))
    part = np.clip((bearing - bearing[0]) / (bearing[-1] - bearing[0]), 0, 1)
    along = quarter_of_ellipse(far, np.full_like(far, depth_mm))
    along = along * (1 + part**2 * (3 - 2 * part) * (ridge_mm / along[-1] - 1))
    flat: Points = plan * (along / far)[:, None]
    return flat


@dataclass(frozen=True)
class WallBand:
    """A wall round the toe: `along` runs along the feather edge from the tip, medial more and lateral less than 0."""

    lateral_mm: float
    medial_mm: float
    wall_mm: float
    fade_mm: float
    margin_mm: float
    cone: Cone

    @property
    def feather_mm(self) -> float:
        return self.lateral_mm + self.medial_mm

    @property
    def high_mm(self) -> float:
        """From the feather edge to where nothing is left."""
        return self.wall_mm + self.fade_mm

    @cached_property
    def round_mm(self) -> float:
        return max(min(self.fade_mm, self.high_mm / 2, self.feather_mm / 4), LEAST_ROUND_MM)

    def laid(self, along: Values | float, up: Values | float) -> Points:
        """Flat, with the feather edge towards the toe: what stands up from it lies behind it."""
        flat: Points = self.cone.laid(along, up) * np.array([1.0, -1.0])
        return flat

    def at(self, along: float, *, low: float, high: float) -> Points:
        return self.laid(np.array([along, along]), np.array([low, high]))

    def parallel(self, up: float) -> Points:
        """A line at one height from the lateral to the medial end, with a point at the tip."""
        count = math.ceil(self.feather_mm / STEP_MM) + 1
        along = np.unique(np.append(np.linspace(-self.lateral_mm, self.medial_mm, count), 0.0))
        return self.laid(along, np.full_like(along, up))

    @cached_property
    def top(self) -> Points:
        """The upper line from the lateral to the medial end, both corners round."""
        turn, radius = np.linspace(0, np.pi / 2, CORNER_POINTS), self.round_mm
        low, high = -self.lateral_mm + radius, self.medial_mm - radius
        between = np.linspace(low, high, math.ceil((high - low) / STEP_MM) + 1)[1:-1]
        along = np.concatenate([low - radius * np.cos(turn), between, high + radius * np.sin(turn)])
        corner = self.high_mm - radius
        up = np.concatenate(
            [corner + radius * np.sin(turn), np.full_like(between, self.high_mm), corner + radius * np.cos(turn)]
        )
        return self.laid(along, up)

    def end(self, edge: Edge) -> Points:
        """One end from its corner over the feather edge down to the margin's edge."""
        along = self.medial_mm if edge == Edge.MEDIAL else -self.lateral_mm
        up = np.array([self.high_mm - self.round_mm, 0.0, -self.margin_mm])
        return self.laid(np.full_like(up, along), up)

    @cached_property
    def outline(self) -> Points:
        """The cut line, from the lateral corner of the margin round the toe."""
        medial, lateral = self.end(Edge.MEDIAL), self.end(Edge.LATERAL)
        return plain(np.concatenate([self.parallel(-self.margin_mm), medial[1:2], self.top[::-1], lateral[1:2]]))


def wall_band(shoe: Shoe, figures: PatternFigures) -> WallBand:
    """The band of a wall puff, laid flat as a cone. Raises `BadInput` where the toe has no room for the wall.

    Where the wall ends it stands inwards of the feather edge by what the section leans in, so that its line is shorter
    there by that much for each radian that the feather edge turns (Steiner's formula for parallel curves).
    """
    puff, form, long = shoe.toe_puff, shoe.form, puff_length(shoe)
    wall = (puff.wall_height_mm if puff else None) or WALL_MM
    paths = {edge: ahead_of(shoe, edge, form.length_mm - long) for edge in Edge}
    lengths = {edge: float(np.hypot(*np.diff(path, axis=0).T).sum()) for edge, path in paths.items()}
    feather = sum(lengths.values())
    widest = paths[Edge.MEDIAL][0, 1] - paths[Edge.LATERAL][0, 1]
    lean = _lean(shoe, wall, half_mm=min(widest / 2, _half_at_toes(shoe)))
    turning = _turning(np.concatenate([paths[Edge.LATERAL], paths[Edge.MEDIAL][-2::-1]]))
    cone = cone_development(feather_mm=feather, topline_mm=feather - turning * lean, height_mm=wall).cone
    band = WallBand(
        lateral_mm=lengths[Edge.LATERAL],
        medial_mm=lengths[Edge.MEDIAL],
        wall_mm=wall,
        fade_mm=figures.puff_wall_fade_mm,
        margin_mm=figures.puff_margin_mm,
        cone=cone,
    )
    if feather * (1 - band.high_mm * cone.bend) < LEAST_TOP_MM:
        raise BadInput("toe puff wall height", wall, allowed="a wall that does not close over the toes with its fade")
    return band


def _half_at_toes(shoe: Shoe) -> float:
    at = TOE_DEPTH_AT * shoe.form.length_mm
    medial, lateral = (
        np.interp(at, points[:, 0], points[:, 1])
        for points in (edge_of_outline(shoe, Edge.MEDIAL), edge_of_outline(shoe, Edge.LATERAL))
    )
    return float(medial - lateral) / 2


def _lean(shoe: Shoe, wall: float, *, half_mm: float) -> float:
    """How far the section leans in, so far up the leather from the feather edge."""
    turn = np.linspace(0, np.pi / 2, 181)
    inwards, up = half_mm * (1 - np.cos(turn)), shoe.form.toe_depth_mm * np.sin(turn)
    gone = np.concatenate([[0.0], np.cumsum(np.hypot(np.diff(inwards), np.diff(up)))])
    check_within("toe puff wall height", wall, LEAST_WALL_MM, MOST_OF_SECTION * float(gone[-1]))
    return float(np.interp(wall, gone, inwards))


def _turning(path: Points) -> float:
    """How far a line turns from its beginning to its end, in radians."""
    heading = np.unwrap(np.arctan2(*np.diff(path, axis=0).T[::-1]))
    return float(abs(heading[-1] - heading[0]))
