"""The pages of a client's record."""

from cases.patients.views.access import open_record, paper
from cases.patients.views.clients import client_edit, client_new, clients
from cases.patients.views.findings import allergy_add, allergy_end, finding_add, finding_end
from cases.patients.views.red_flags import red_flag_answer, red_flag_raise

__all__ = [
    "allergy_add",
    "allergy_end",
    "client_edit",
    "client_new",
    "clients",
    "finding_add",
    "finding_end",
    "open_record",
    "paper",
    "red_flag_answer",
    "red_flag_raise",
]
