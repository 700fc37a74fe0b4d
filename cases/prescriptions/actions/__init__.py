"""Every change of a prescription: begun, saved, signed, followed by a new version, repeated, withdrawn."""

from cases.prescriptions.actions.drafts import copy_foot, save_draft, start_prescription
from cases.prescriptions.actions.notes import answer_note, switch_note, take_back_answer
from cases.prescriptions.actions.orders import keep_order_document, take_order_document_off, take_order_over
from cases.prescriptions.actions.patterns import keep_pattern, retire_pattern
from cases.prescriptions.actions.presence import be_present
from cases.prescriptions.actions.signing import Incomplete, sign_prescription, withdraw_prescription
from cases.prescriptions.actions.versions import repeat_prescription, write_new_version
from cases.prescriptions.actions.weighing import record_weights

__all__ = [
    "Incomplete",
    "answer_note",
    "be_present",
    "copy_foot",
    "keep_order_document",
    "keep_pattern",
    "record_weights",
    "repeat_prescription",
    "retire_pattern",
    "save_draft",
    "sign_prescription",
    "start_prescription",
    "switch_note",
    "take_back_answer",
    "take_order_document_off",
    "take_order_over",
    "withdraw_prescription",
    "write_new_version",
]
