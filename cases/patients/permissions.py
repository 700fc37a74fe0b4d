"""Who may read and change what of a client's record.

Reception has contact, consent, communication needs and letters. A clinician has all. A manager reads all, and leaves
what was found on a foot to a clinician. A maker or an administrator has no client's record, unless they opened it with
a typed reason; then they read, until the day ends.
"""

from collections.abc import Collection
from dataclasses import dataclass

CONTACT_ROLES = frozenset({"reception", "clinician", "manager"})
CLINICAL_ROLES = frozenset({"clinician", "manager"})
CLINICAL_WRITERS = frozenset({"clinician"})
OUTSIDE_ROLES = frozenset({"maker", "administrator"})

CLINICAL_ACTIONS = frozenset(
    {"record_finding", "end_finding", "record_allergy", "end_allergy", "raise_red_flag", "answer_red_flag"}
)
"""Deeds of this room whose sentences tell what was found: for those alone who read findings."""


@dataclass(frozen=True)
class Reading:
    """What one person may do with one client's record now."""

    contact: bool
    findings: bool
    change_contact: bool
    change_findings: bool


def reading(roles: Collection[str], *, opened: bool) -> Reading:
    """What these roles may do. `opened`: the person opened this record with a reason, and the day has not ended."""
    held = frozenset(roles)
    reads_by_reason = opened and bool(held & OUTSIDE_ROLES)
    return Reading(
        contact=bool(held & CONTACT_ROLES) or reads_by_reason,
        findings=bool(held & CLINICAL_ROLES) or reads_by_reason,
        change_contact=bool(held & CONTACT_ROLES),
        change_findings=bool(held & CLINICAL_WRITERS),
    )


def may_open_with_a_reason(roles: Collection[str]) -> bool:
    """Whether a typed reason opens a record to these roles. What they may read already needs none."""
    held = frozenset(roles)
    return bool(held & OUTSIDE_ROLES) and not held & CLINICAL_ROLES


def opens_job_cards(roles: Collection[str]) -> bool:
    """A job card is read at the bench, whoever may open the record of its client."""
    return bool(frozenset(roles) & (CLINICAL_ROLES | {"maker"}))
