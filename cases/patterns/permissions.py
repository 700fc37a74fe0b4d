"""Who sees the patterns of a pair and who adjusts them: those who read the bench, and those who work at it."""

from cases.bench.permissions import BENCH, READERS
from shared.refusals import NotAllowed
from workshop.staff.models import Person

READS = READERS
ADJUSTS = BENCH


def require_bench(person: Person) -> None:
    """Raises `NotAllowed` for anybody who does not work at the bench."""
    if person.retired_on is not None or not person.holds_any_of(ADJUSTS):
        raise NotAllowed("A maker adjusts patterns. You may look at them.")
