"""The end of a pair's time on the bench."""

from datetime import datetime

from django.db import transaction

from cases.bench.actions.locking import lock_open_pair, lock_pair
from cases.bench.models import Pair, PairState
from shared.history import acting
from shared.refusals import Refused
from workshop.staff.models import Person


@transaction.atomic
def hand_over_pair(pair: Pair, *, by: Person, at: datetime) -> None:
    """The client has it now. Raises `Refused` where the pair is not finished."""
    pair = lock_pair(pair)
    if pair.state != PairState.FINISHED:
        raise Refused(f"Pair {pair.number} is not finished: {pair.get_state_display()}.")
    says = f"Handed over pair {pair.number}."
    with acting(by=by, action="hand_over_pair", says=says, at=at, patient=pair.patient.uuid, pair=pair.uuid):
        pair.state = PairState.HANDED_OVER
        pair.save(update_fields=["state"])


@transaction.atomic
def give_up_pair(pair: Pair, *, why: str, by: Person, at: datetime) -> None:
    """Stop work on a pair for good. What was done stays on record. Raises `Refused` without a word of why."""
    pair = lock_open_pair(pair)
    if not why.strip():
        raise Refused("Say why the pair is given up.")
    says = f"Gave up pair {pair.number}: {why.strip()}"
    with acting(by=by, action="give_up_pair", says=says, at=at, patient=pair.patient.uuid, pair=pair.uuid):
        pair.state = PairState.CLOSED
        pair.save(update_fields=["state"])
