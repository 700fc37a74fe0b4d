"""Every action takes the pair's row first: two people at one pair go one after the other, and none waits in a ring."""

from cases.bench.models import Pair, PairState
from cases.prescriptions.models import Prescription
from cases.prescriptions.models.prescription import PrescriptionStatus
from shared.refusals import Refused


def lock_pair(pair: Pair) -> Pair:
    """The pair as it stands now, held until the transaction ends."""
    return Pair.objects.select_for_update(of=("self",)).select_related("patient", "working_to").get(pk=pair.pk)


def lock_open_pair(pair: Pair) -> Pair:
    """The same, for work on the bench. Raises `Refused` where the pair is not on it."""
    pair = lock_pair(pair)
    if pair.state != PairState.OPEN:
        raise Refused(f"Pair {pair.number} is not on the bench: {pair.get_state_display()}.")
    return pair


def refuse_older_version(pair: Pair) -> None:
    """Raises `Refused` where the pair is built to a version that is not the signed one any more."""
    version: Prescription | None = pair.working_to
    if version is None or version.status == PrescriptionStatus.SIGNED:
        return
    if version.status == PrescriptionStatus.WITHDRAWN:
        raise Refused(f"Prescription {version.number} was withdrawn. Work on this pair stops; ask the clinician.")
    raise Refused(
        f"There is a newer version of prescription {version.number}. Take it up first: it shows what changed."
    )
