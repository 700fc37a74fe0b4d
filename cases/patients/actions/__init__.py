"""Every change of a client's record."""

from cases.patients.actions.access import open_record
from cases.patients.actions.findings import end_allergy, end_finding, record_allergy, record_finding
from cases.patients.actions.papers import keep_paper
from cases.patients.actions.record import change_patient, register_patient, register_referrer
from cases.patients.actions.red_flags import answer_red_flag, raise_red_flag

__all__ = [
    "answer_red_flag",
    "change_patient",
    "end_allergy",
    "end_finding",
    "keep_paper",
    "open_record",
    "raise_red_flag",
    "record_allergy",
    "record_finding",
    "register_patient",
    "register_referrer",
]
