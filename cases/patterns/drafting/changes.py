"""What a maker may change on the patterns of one pair: figures of the prescription, and points of a cut line.

A change that the part's own check would still pass is an adjustment; one that it would not is a difference from what
is prescribed. The tolerances are the workshop's settings of the part checks, from memory.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from cases.prescriptions.cut_away.bottom import SCOURED_BEFORE_TOE_MM, SCOURED_BEHIND_JOINT_MM, SCOURED_RIM_MM
from cases.prescriptions.cut_away.shell import back_height, puff_length, reach_of
from cases.prescriptions.shoe import Shoe
from shared.sides import Edge, Side

Tolerances = Mapping[str, float]
"""By the names of the workshop's settings, in mm."""

REACH, HEIGHT = "tolerance_stiffener_reach_mm", "tolerance_stiffener_height_mm"
TO_JOINT_LEAST = "tolerance_stiffener_to_joint_least_mm"
PUFF_LENGTH = "tolerance_puff_length_mm"
TURN_UP = "tolerance_turn_up_mm"
SCOURED_LINE, SCOURED_RIM_LEAST = "tolerance_scoured_line_mm", "tolerance_scoured_rim_least_mm"
SHANK_LENGTH = "tolerance_shank_length_mm"
SHANK_LEAST, SHANK_MOST = "tolerance_shank_behind_joint_least_mm", "tolerance_shank_behind_joint_most_mm"
SUPPORT_PLACE = "tolerance_support_place_mm"
CUT_LINE = "tolerance_cut_line_mm"
TOLERANCES = (
    REACH,
    HEIGHT,
    TO_JOINT_LEAST,
    PUFF_LENGTH,
    TURN_UP,
    SCOURED_LINE,
    SCOURED_RIM_LEAST,
    SHANK_LENGTH,
    SHANK_LEAST,
    SHANK_MOST,
    SUPPORT_PLACE,
    CUT_LINE,
)
EXACT_MM = 0.05
"""Figures are kept to a tenth of a millimetre: nearer than this two of them are the same."""


@dataclass(frozen=True)
class ShoeFigure:
    """A figure of a shoe that may be changed before its pieces are drafted, in mm.

    `piece` is the piece it is changed on, `checked_as` the bench's key of its part. `now` is what the drawing and the pieces take where
    nobody prescribed it; None where this shoe has no such part. `differs` says whether the part's check would refuse.
    """

    key: str
    words: str
    piece: str
    checked_as: str
    now: Callable[[Shoe], float | None]
    put: Callable[[Shoe, float], Shoe]
    differs: Callable[[Shoe, float, float, Tolerances], bool]


def _of_part(part: str, field: str, default: Callable[[Shoe], float | None]) -> dict[str, Any]:
    """How a figure that stands on one part of the shoe is read and put; the part's first piece bears its name."""

    def now(shoe: Shoe) -> float | None:
        row = getattr(shoe, part)
        if row is None:
            return None
        given: float | None = getattr(row, field)
        return given if given is not None else default(shoe)

    def put(shoe: Shoe, mm: float) -> Shoe:
        changed: dict[str, Any] = {part: replace(getattr(shoe, part), **{field: mm})}
        return replace(shoe, **changed)

    return {"piece": part, "now": now, "put": put}


def _apart(name: str) -> Callable[[Shoe, float, float, Tolerances], bool]:
    """Further from what is prescribed than one tolerance."""
    return lambda shoe, was, mm, tolerances: abs(mm - was) > tolerances[name] + EXACT_MM


def _reach_differs(edge: Edge) -> Callable[[Shoe, float, float, Tolerances], bool]:
    def differs(shoe: Shoe, was: float, mm: float, tolerances: Tolerances) -> bool:
        is_near = mm > was and mm > shoe.form.arc_mm(edge) - tolerances[TO_JOINT_LEAST] + EXACT_MM
        return is_near or abs(mm - was) > tolerances[REACH] + EXACT_MM

    return differs


def _rim_differs(shoe: Shoe, was: float, mm: float, tolerances: Tolerances) -> bool:
    return mm < tolerances[SCOURED_RIM_LEAST] - EXACT_MM or abs(mm - was) > tolerances[SCOURED_LINE] + EXACT_MM


def _shank_differs(shoe: Shoe, was: float, mm: float, tolerances: Tolerances) -> bool:
    within = tolerances[SHANK_LEAST] - EXACT_MM <= mm <= tolerances[SHANK_MOST] + EXACT_MM
    return not within or abs(mm - was) > tolerances[SHANK_LENGTH] + EXACT_MM


def _reach(edge: Edge) -> ShoeFigure:
    def now(shoe: Shoe) -> float | None:
        return reach_of(shoe, edge) or None

    return ShoeFigure(
        key=f"{edge.value}-reach",
        words=f"{edge.value} reach",
        checked_as="stiffener",
        differs=_reach_differs(edge),
        **_of_part("stiffener", f"{edge.value}_reach_mm", now) | {"now": now},
    )


def _turn_up(where: str, words: str) -> ShoeFigure:
    return ShoeFigure(
        key=f"turn-up-{where}",
        words=words,
        checked_as="insole",
        differs=_apart(TURN_UP),
        **_of_part("insole", f"turn_up_{where}_mm", lambda shoe: None),
    )


def _scoured(field: str, key: str, words: str, ordinary: float, differs: Any) -> ShoeFigure:
    """Of the scoured zone, where the insole has one."""
    return ShoeFigure(
        key=key,
        words=words,
        checked_as="scoured_zone",
        differs=differs,
        **_of_part("insole", field, lambda shoe: ordinary if shoe.insole and shoe.insole.scoured_to_mm else None),
    )


FIGURES: tuple[ShoeFigure, ...] = (
    _reach(Edge.MEDIAL),
    _reach(Edge.LATERAL),
    ShoeFigure(
        key="back-height",
        words="back height",
        checked_as="stiffener",
        differs=_apart(HEIGHT),
        **_of_part("stiffener", "back_height_mm", back_height),
    ),
    ShoeFigure(
        key="puff-length",
        words="length from the toe",
        checked_as="toe_puff",
        differs=_apart(PUFF_LENGTH),
        **_of_part("toe_puff", "length_mm", lambda shoe: puff_length(shoe) or None),
    ),
    _turn_up("medial", "turn-up, medial"),
    _turn_up("lateral", "turn-up, lateral"),
    _turn_up("heel", "turn-up, heel"),
    _scoured(
        "scoured_behind_joint_mm",
        "scoured-behind-joint",
        "scoured from behind the joint line",
        SCOURED_BEHIND_JOINT_MM,
        _apart(SCOURED_LINE),
    ),
    _scoured(
        "scoured_before_toe_mm",
        "scoured-before-toe",
        "scoured to short of the toe",
        SCOURED_BEFORE_TOE_MM,
        _apart(SCOURED_LINE),
    ),
    _scoured("scoured_rim_mm", "scoured-rim", "rim left round the scoured zone", SCOURED_RIM_MM, _rim_differs),
    ShoeFigure(
        key="shank-behind-joint",
        words="front end behind the joint line",
        checked_as="shank",
        differs=_shank_differs,
        **_of_part("shank", "front_end_behind_joint_mm", lambda shoe: None),
    ),
)
FIGURE: Mapping[str, ShoeFigure] = {figure.key: figure for figure in FIGURES}


def figures_of(shoe: Shoe, *, piece: str) -> tuple[tuple[ShoeFigure, float], ...]:
    """The figures that may be changed on a piece of this shoe, each with what is prescribed in mm."""
    found = ((figure, figure.now(shoe)) for figure in FIGURES if figure.piece == piece)
    return tuple((figure, mm) for figure, mm in found if mm is not None)


@dataclass(frozen=True)
class FigureChange:
    """A figure of one foot that is drafted otherwise. It holds only while `from_mm` is what is prescribed."""

    side: Side
    figure: str
    from_mm: float
    to_mm: float


@dataclass(frozen=True)
class PointShift:
    """A point of a piece of one foot, moved on the drafted piece."""

    side: Side
    piece: str
    point: str
    medial_mm: float
    along_mm: float


@dataclass(frozen=True)
class Changes:
    """What a maker did to the patterns of a pair. `own` names what he cuts by his own template, as `cut_as` does."""

    figures: tuple[FigureChange, ...] = ()
    shifts: tuple[PointShift, ...] = ()
    own: frozenset[tuple[Side, str]] = frozenset()


POINT_TOLERANCES: Mapping[str, tuple[str, str]] = {
    "stiffener": (REACH, HEIGHT),
    "toe_puff": (PUFF_LENGTH, PUFF_LENGTH),
    "shank": (SHANK_LENGTH, SHANK_LENGTH),
    "metatarsal_supports": (SUPPORT_PLACE, SUPPORT_PLACE),
    "cushions": (SCOURED_LINE, SCOURED_LINE),
}
"""By the shoe's part: how far a point may go across and along before its check would refuse the piece."""


def shift_differs(part: str, *, medial_mm: float, along_mm: float, tolerances: Tolerances) -> bool:
    """Whether a shifted point of a piece of this part is more than its check passes.

    Pieces without a tolerance of their own are cut full and trimmed on the last: theirs is that of a cut line.
    """
    across, along = POINT_TOLERANCES.get(part, (CUT_LINE, CUT_LINE))
    return abs(medial_mm) > tolerances[across] + EXACT_MM or abs(along_mm) > tolerances[along] + EXACT_MM
