"""A pair that passed its final check is weighed: what it weighs teaches the estimates of the next ones."""

from collections.abc import Mapping
from datetime import datetime

from django.db import transaction

from cases.bench.actions.locking import lock_pair
from cases.bench.models import Pair, PairState, Stage
from cases.prescriptions.actions import record_weights
from shared.refusals import Refused
from shared.sides import Side
from workshop.staff.models import Person

FINAL_CHECK = "final-check"


@transaction.atomic
def weigh_pair(pair: Pair, *, weighed_g: Mapping[Side, int], by: Person, at: datetime) -> None:
    """Put the weights in g of finished shoes on record. Raises `Refused` before the final check of a shoe is ticked.

    A shoe that is weighed again has another entry, and the latest counts. Raises `Refused` as well where no
    prescription stands behind the pair, or `record_weights` does.
    """
    pair = lock_pair(pair)
    if pair.state == PairState.CLOSED or pair.working_to is None:
        raise Refused("This pair has no weight to learn from.")
    checked = set(
        Stage.objects.filter(
            pair=pair, kind__key=FINAL_CHECK, ticked_at__isnull=False, retired_at__isnull=True
        ).values_list("side", flat=True)
    )
    for side in weighed_g:
        if side not in checked:
            raise Refused(f"{side.label}: weighed once its final check is ticked.")
    record_weights(pair.working_to, pair_uuid=pair.uuid, weighed_g=weighed_g, by=by, at=at)
