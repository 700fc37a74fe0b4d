"""The bench: pairs, their promised days, their stages, the checks before a part is covered, and differences."""

from cases.bench.models.checks import (
    CheckMoment,
    CoverCheck,
    CoverRequirement,
    Difference,
    DifferenceSource,
    DifferenceState,
    Outcome,
)
from cases.bench.models.final import FinalFigure
from cases.bench.models.pair import Pair, PairState, PairVisit, Promise
from cases.bench.models.photos import PlacedPhoto
from cases.bench.models.stages import Stage, StageAfter, StageKind, StageKindAfter

__all__ = [
    "CheckMoment",
    "CoverCheck",
    "CoverRequirement",
    "Difference",
    "DifferenceSource",
    "DifferenceState",
    "FinalFigure",
    "Outcome",
    "Pair",
    "PairState",
    "PairVisit",
    "PlacedPhoto",
    "Promise",
    "Stage",
    "StageAfter",
    "StageKind",
    "StageKindAfter",
]
