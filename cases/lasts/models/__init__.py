"""Measures, casts, scans and lasts, foot by foot."""

from cases.lasts.models.casts import Cast, CastKind, Scan, ScanFormat
from cases.lasts.models.lasts import MEASURED_MM, Last, LastAgreement, Making, Origin, ReadOn
from cases.lasts.models.measuring import (
    Answer,
    LegGirth,
    Load,
    Measure,
    MeasureSet,
    MeasuringDraft,
    Method,
    OutlineDeviation,
    SlipAnswer,
)
from cases.lasts.models.rack_files import RackFile
from cases.lasts.models.shaping import (
    BottomCheck,
    BottomPart,
    FootwearKind,
    Handled,
    Hose,
    LastDeformity,
    LastPatch,
    LastPhoto,
    LastTarget,
    PatchWork,
    Verdict,
)

__all__ = [
    "MEASURED_MM",
    "Answer",
    "BottomCheck",
    "BottomPart",
    "Cast",
    "CastKind",
    "FootwearKind",
    "Handled",
    "Hose",
    "Last",
    "LastAgreement",
    "LastDeformity",
    "LastPatch",
    "LastPhoto",
    "LastTarget",
    "LegGirth",
    "Load",
    "Making",
    "Measure",
    "MeasureSet",
    "MeasuringDraft",
    "Method",
    "Origin",
    "OutlineDeviation",
    "PatchWork",
    "RackFile",
    "ReadOn",
    "Scan",
    "ScanFormat",
    "SlipAnswer",
    "Verdict",
]
