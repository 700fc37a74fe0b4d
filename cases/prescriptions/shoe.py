"""One foot's shoe as it is prescribed, on its last: what drawings, figures and notes are worked out from.

Lengths in mm. A part that is not prescribed is None; a figure that nobody gave is None. Sides of a foot are named, never
signed. Pure: filled by `shoes_of.py` from what is on record, or by hand in a test.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from functools import cached_property, lru_cache

import numpy as np

from cases.lasts.outline import Bulge, Outline, PlanShape, Points, ToeShape, outline_of
from cases.lasts.profile import Profile, SideShape, profile_of
from shared.sides import Edge, Side


@dataclass(frozen=True)
class Form:
    """The last under the shoe. `drawn_from` says in words what the figures are of: the drawing shows it."""

    drawn_from: str
    is_agreed: bool
    length_mm: float
    joint_width_mm: float
    heel_width_mm: float
    heel_to_joint_mm: float
    heel_to_fifth_mm: float
    heel_height_mm: float
    toe_spring_mm: float
    toe_depth_mm: float
    instep_height_mm: float
    girths_mm: Mapping[str, float] = field(default_factory=dict, hash=False)
    """By the keys of `stations.py`: joint, waist, instep, short_heel, long_heel, ankle."""
    medial_malleolus_mm: float | None = None
    lateral_malleolus_mm: float | None = None
    toe_shape: ToeShape = ToeShape.ROUND
    bulges: tuple[Bulge, ...] = ()
    is_partial: bool = False

    @cached_property
    def plan_shape(self) -> PlanShape:
        return PlanShape(
            length_mm=self.length_mm,
            joint_width_mm=self.joint_width_mm,
            heel_width_mm=self.heel_width_mm,
            heel_to_joint_mm=None if self.is_partial else self.heel_to_joint_mm,
            heel_to_fifth_mm=None if self.is_partial else self.heel_to_fifth_mm,
            toe_shape=self.toe_shape,
            bulges=self.bulges,
            is_partial=self.is_partial,
        )

    @cached_property
    def outline(self) -> Outline:
        return outline_once(self.plan_shape)

    def arc_mm(self, edge: Edge) -> float:
        """Along the feather edge from centre back to the joint of one side: what a stiffener's reach is a part of."""
        line, ways = feather_line(self.plan_shape, edge)
        joint = self.heel_to_joint_mm if edge == Edge.MEDIAL else self.heel_to_fifth_mm
        return float(np.interp(joint, line[:, 0], ways))

    def joint_line_mm(self, y: float) -> float:
        """How far forward the line from the 1st to the 5th joint lies so far towards medial, running on beyond both."""
        (medial_x, medial_y), (lateral_x, lateral_y) = self.outline.medial_joint, self.outline.lateral_joint
        return medial_x + (medial_x - lateral_x) * (y - medial_y) / (medial_y - lateral_y)

    def side_shape(self, edge: Edge) -> SideShape:
        """The figures of one edge: medial ends its waist at the 1st joint, lateral at the 5th."""
        return SideShape(
            length_mm=self.length_mm,
            heel_to_joint_mm=self.heel_to_joint_mm if edge == Edge.MEDIAL else self.heel_to_fifth_mm,
            heel_height_mm=self.heel_height_mm,
            toe_spring_mm=self.toe_spring_mm,
            toe_depth_mm=self.toe_depth_mm,
            instep_height_mm=self.instep_height_mm,
        )

    def profile(self, edge: Edge) -> Profile:
        """The side profile of one edge, as the last was made."""
        return profile_once(self.side_shape(edge))


@lru_cache(maxsize=256)
def outline_once(shape: PlanShape) -> Outline:
    """A last stays while a prescription is written on it: its lines are worked out once, not at every change."""
    outline = outline_of(shape)
    outline.points.flags.writeable = False
    return outline


@lru_cache(maxsize=256)
def feather_line(shape: PlanShape, edge: Edge) -> tuple[Points, Points]:
    """One edge of an outline from centre back to the tip, and how far along it each of its points lies, in mm."""
    points = outline_once(shape).points
    tip = int(points[:, 0].argmax())
    line = points[: tip + 1] if edge == Edge.MEDIAL else np.concatenate([points[tip:], points[:1]])[::-1]
    ways: Points = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))])
    return line, ways


@lru_cache(maxsize=512)
def profile_once(shape: SideShape) -> Profile:
    profile = profile_of(shape)
    for points in (profile.bottom, profile.top, profile.back):
        points.flags.writeable = False
    return profile


@dataclass(frozen=True)
class Upper:
    style: str
    height: str
    fastening: str
    fastening_count: float | None
    fastening_hand: str
    leather: str
    vamp_lining: str
    quarter_lining: str
    seam_free_lining: bool
    collar_padding_mm: float | None
    topline_medial_mm: float | None
    topline_lateral_mm: float | None
    tongue: str


@dataclass(frozen=True)
class SoftZone:
    """Where the upper gives: `place` and `softness` by the keys of `SoftPlace` and `Softness`."""

    place: str
    softness: str


@dataclass(frozen=True)
class Stiffener:
    medial_reach: str
    medial_reach_mm: float | None
    lateral_reach: str
    lateral_reach_mm: float | None
    back_height_mm: float | None
    material: str
    thickness_mm: float | None
    thinned_to_mm: float | None
    front_height_mm: float | None
    medial_below_malleolus_mm: float | None
    lateral_below_malleolus_mm: float | None
    ankle_high: str
    above_malleolus_mm: float | None
    adhesive: str

    def reach(self, edge: Edge) -> str:
        return self.medial_reach if edge == Edge.MEDIAL else self.lateral_reach

    def reach_mm(self, edge: Edge) -> float | None:
        return self.medial_reach_mm if edge == Edge.MEDIAL else self.lateral_reach_mm

    def is_ankle_high(self, edge: Edge) -> bool:
        return self.ankle_high in {edge.value, "both"}


@dataclass(frozen=True)
class Relief:
    place: str
    width_mm: float
    height_mm: float
    above_seat_mm: float | None
    way: str
    thinned_to_mm: float | None


@dataclass(frozen=True)
class ToePuff:
    kind: str
    length_mm: float | None
    thickness_mm: float | None
    wall_height_mm: float | None
    toe_depth_mm: float | None
    material: str
    adhesive: str


@dataclass(frozen=True)
class Insole:
    leather: str
    thickness_mm: float | None
    blocked: bool
    finished_forepart_mm: float | None
    finished_waist_mm: float | None
    finished_heel_mm: float | None
    turn_up_medial_mm: float | None
    turn_up_lateral_mm: float | None
    turn_up_heel_mm: float | None
    scoured_to_mm: float | None
    scoured_behind_joint_mm: float | None
    scoured_before_toe_mm: float | None
    scoured_rim_mm: float | None
    rear_doubled_mm: float | None
    posting_rear_medial_deg: float | None
    posting_rear_lateral_deg: float | None
    posting_fore_medial_deg: float | None
    posting_fore_lateral_deg: float | None
    inlay_heel_mm: float | None
    inlay_forepart_mm: float | None
    sock: str
    hollowed_beneath: str


@dataclass(frozen=True)
class ToeProp:
    """A soft crest under bent toes. `toes` names the first and the last of them, as "2-4"."""

    toes: str
    material: str
    height_mm: float

    @property
    def first_toe(self) -> int:
        return int(self.toes[0])

    @property
    def last_toe(self) -> int:
        return int(self.toes[-1])


@dataclass(frozen=True)
class Cushion:
    place: str
    material: str
    thickness_mm: float


@dataclass(frozen=True)
class MetatarsalSupport:
    kind: str
    behind_joint_line_mm: float
    height_mm: float
    long_mm: float | None
    across_mm: float | None


@dataclass(frozen=True)
class Shank:
    count: float
    material: str
    width_mm: float
    thickness_mm: float
    front_end_behind_joint_mm: float
    rear_end_in_seat_mm: float | None
    apart_mm: float | None


@dataclass(frozen=True)
class CarbonZone:
    plies: float
    cloth_g_m2: float
    starts: str
    ends_before_toe_mm: float
    overlap_on_shank_mm: float


@dataclass(frozen=True)
class Sole:
    material: str
    thickness_mm: float | None
    tread: str
    toe_spring_extra_mm: float | None
    leading_edge: str


@dataclass(frozen=True)
class Heel:
    height_mm: float | None
    material: str
    extended_medial_mm: float | None
    extended_lateral_mm: float | None
    cushion_heel: bool


@dataclass(frozen=True)
class Rocker:
    apex_percent: float
    angle_deg: float
    curved: bool
    apex_angle_deg: float | None


@dataclass(frozen=True)
class Raise:
    in_shoe_heel_mm: float | None
    on_sole_heel_mm: float | None
    on_sole_ball_mm: float | None
    on_sole_toe_mm: float | None
    material: str


@dataclass(frozen=True)
class Wedge:
    place: str
    edge: str
    height_mm: float


@dataclass(frozen=True)
class Flare:
    edge: str
    width_mm: float


@dataclass(frozen=True)
class Shoe:
    """Everything prescribed for one foot. The names of its parts are those of the prescription's."""

    side: Side
    construction: str
    form: Form
    is_built_here: bool = True
    """Otherwise it is a shoe of the client's own, which keeps every part that is not prescribed."""
    orthosis_room: str = ""
    toe_filler: str = ""
    forepart_asked: str = ""
    """How stiff the forepart is to be: bends, firm, rigid; empty where nobody said."""
    upper: Upper | None = None
    stiffener: Stiffener | None = None
    toe_puff: ToePuff | None = None
    insole: Insole | None = None
    toe_prop: ToeProp | None = None
    shank: Shank | None = None
    carbon_zone: CarbonZone | None = None
    sole: Sole | None = None
    heel: Heel | None = None
    rocker: Rocker | None = None
    height_raise: Raise | None = None
    soft_zones: tuple[SoftZone, ...] = ()
    reliefs: tuple[Relief, ...] = ()
    cushions: tuple[Cushion, ...] = ()
    metatarsal_supports: tuple[MetatarsalSupport, ...] = ()
    wedges: tuple[Wedge, ...] = ()
    flares: tuple[Flare, ...] = ()

    @cached_property
    def _hash(self) -> int:
        return hash(tuple(getattr(self, each.name) for each in fields(self)))

    def __hash__(self) -> int:
        """Kept: what was drawn and worked out of a shoe is looked up by it a dozen times at every change."""
        return self._hash
