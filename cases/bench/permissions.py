"""Who may do what at the bench."""

from workshop.staff.models import Person

BENCH = ("maker", "manager")
"""Who ticks, checks and raises differences."""
READERS = ("maker", "manager", "clinician")
OPENERS = ("maker", "manager", "clinician", "reception")
"""Who opens a pair: everybody who may be at the telephone when it is wanted."""


def may_accept_differences(person: Person) -> bool:
    """Only a person who may prescribe takes as built what was not prescribed."""
    return person.may_prescribe and person.retired_on is None
