"""A prescription: one version, two feet, three parts each: visible, closed in, underfoot."""

from cases.prescriptions.models.closed_in import (
    CarbonZone,
    Cushion,
    Insole,
    MetatarsalSupport,
    Relief,
    Shank,
    Stiffener,
    ToePuff,
)
from cases.prescriptions.models.prescription import Foot, Prescription, PrescriptionStatus
from cases.prescriptions.models.underfoot import Flare, Heel, Raise, Rocker, Sole, Wedge
from cases.prescriptions.models.visible import Upper

__all__ = [
    "CarbonZone",
    "Cushion",
    "Flare",
    "Foot",
    "Heel",
    "Insole",
    "MetatarsalSupport",
    "Prescription",
    "PrescriptionStatus",
    "Raise",
    "Relief",
    "Rocker",
    "Shank",
    "Sole",
    "Stiffener",
    "ToePuff",
    "Upper",
    "Wedge",
]
