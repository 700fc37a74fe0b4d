"""The pages of a prescription: begun, written on while a draft, read and signed, followed by a new version."""

from cases.prescriptions.views.beginning import pattern_keep, pattern_retire, patterns, prescription_new
from cases.prescriptions.views.drafts import prescription_keep, prescription_open, prescription_panel
from cases.prescriptions.views.orders import order_document, order_document_add, order_document_off, order_take_over
from cases.prescriptions.views.reading import (
    prescription,
    prescription_drawing,
    prescription_new_version,
    prescription_withdraw,
)
from cases.prescriptions.views.signing import prescription_sign

__all__ = [
    "order_document",
    "order_document_add",
    "order_document_off",
    "order_take_over",
    "pattern_keep",
    "pattern_retire",
    "patterns",
    "prescription",
    "prescription_drawing",
    "prescription_keep",
    "prescription_new",
    "prescription_new_version",
    "prescription_open",
    "prescription_panel",
    "prescription_sign",
    "prescription_withdraw",
]
