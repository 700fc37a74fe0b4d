"""The signed version that a pair is not built to yet."""

from dataclasses import dataclass

from cases.bench.models import Pair
from cases.bench.queries.planning import current_version
from cases.prescriptions.described import PartDifference, differences_in_words
from cases.prescriptions.models import Prescription
from cases.prescriptions.models.prescription import PrescriptionStatus
from cases.prescriptions.queries import wholes


@dataclass(frozen=True)
class VersionAhead:
    """The signed version that a pair is not built to yet, and what it changes; no version where it was withdrawn."""

    version: Prescription | None
    changes: tuple[PartDifference, ...]

    @property
    def left(self) -> tuple[PartDifference, ...]:
        return self._of("left")

    @property
    def right(self) -> tuple[PartDifference, ...]:
        return self._of("right")

    @property
    def of_the_pair(self) -> tuple[PartDifference, ...]:
        """What is said once for both shoes."""
        return self._of("")

    def _of(self, side: str) -> tuple[PartDifference, ...]:
        return tuple(change for change in self.changes if change.side == side)


def version_ahead(pair: Pair) -> VersionAhead | None:
    """What to take up before work goes on, or None. No query where the pair is built to the signed version."""
    old = pair.working_to
    if old is None or old.status == PrescriptionStatus.SIGNED:
        return None
    signed = current_version(old)
    if signed is None:
        return VersionAhead(None, ())
    both = wholes([old.uuid, signed.uuid])
    return VersionAhead(both[signed.uuid], differences_in_words(both[old.uuid], both[signed.uuid]))
