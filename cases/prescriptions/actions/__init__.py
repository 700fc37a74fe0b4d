"""Every change of a prescription: begun, saved, signed, followed by a new version, repeated, withdrawn."""

from cases.prescriptions.actions.drafts import copy_foot, save_draft, start_prescription
from cases.prescriptions.actions.signing import Incomplete, sign_prescription, withdraw_prescription
from cases.prescriptions.actions.versions import repeat_prescription, write_new_version

__all__ = [
    "Incomplete",
    "copy_foot",
    "repeat_prescription",
    "save_draft",
    "sign_prescription",
    "start_prescription",
    "withdraw_prescription",
    "write_new_version",
]
