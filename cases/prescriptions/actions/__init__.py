"""Every change of a prescription: begun, saved, signed, followed by a new version, repeated, withdrawn."""

from cases.prescriptions.actions.drafts import copy_foot, save_draft, start_prescription
from cases.prescriptions.actions.notes import answer_note, switch_note, take_back_answer
from cases.prescriptions.actions.signing import Incomplete, sign_prescription, withdraw_prescription
from cases.prescriptions.actions.versions import repeat_prescription, write_new_version

__all__ = [
    "Incomplete",
    "answer_note",
    "copy_foot",
    "repeat_prescription",
    "save_draft",
    "sign_prescription",
    "start_prescription",
    "switch_note",
    "take_back_answer",
    "withdraw_prescription",
    "write_new_version",
]
