"""Who may do what at the bench."""

from workshop.staff.models import Person

BENCH = ("maker", "manager")
"""Who ticks, checks and raises differences."""
READERS = ("maker", "manager", "clinician")
OPENERS = ("maker", "manager", "clinician")
"""Who opens a pair from a signed prescription: those who read it."""
SIGNERS = ("clinician",)
"""Who makes a pair once more: it is signed as it is opened."""
TAKE_IN = ("reception", "clinician", "manager")
"""Who takes in a repair and promises a day: everybody who meets the client."""


def may_accept_differences(person: Person) -> bool:
    """Only a person who may prescribe takes as built what was not prescribed."""
    return person.may_prescribe and person.retired_on is None
