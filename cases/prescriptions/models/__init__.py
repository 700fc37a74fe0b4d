"""A prescription: one version, two feet, three parts each: visible, closed in, underfoot."""

from cases.prescriptions.models.beginnings import DraftPresence, OrderDocument, OrderKind, StartingPattern
from cases.prescriptions.models.closed_in import (
    CarbonZone,
    Cushion,
    Insole,
    MetatarsalSupport,
    Relief,
    Shank,
    Stiffener,
    ToeProp,
    ToePuff,
)
from cases.prescriptions.models.prescription import Foot, Prescription, PrescriptionStatus
from cases.prescriptions.models.questions import NoteAnswer, NoteSwitch
from cases.prescriptions.models.underfoot import Flare, Heel, Raise, Rocker, Sole, Wedge
from cases.prescriptions.models.visible import SoftZone, Upper
from cases.prescriptions.models.weighing import WeighedShoe

__all__ = [
    "CarbonZone",
    "Cushion",
    "DraftPresence",
    "Flare",
    "Foot",
    "Heel",
    "Insole",
    "MetatarsalSupport",
    "NoteAnswer",
    "NoteSwitch",
    "OrderDocument",
    "OrderKind",
    "Prescription",
    "PrescriptionStatus",
    "Raise",
    "Relief",
    "Rocker",
    "Shank",
    "SoftZone",
    "Sole",
    "StartingPattern",
    "Stiffener",
    "ToeProp",
    "ToePuff",
    "Upper",
    "Wedge",
    "WeighedShoe",
]
