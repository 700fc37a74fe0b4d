"""A pattern that is cut otherwise than prescribed, told to the bench before the piece is cut."""

from collections.abc import Collection
from datetime import datetime

from django.db import transaction

from cases.bench import queries
from cases.bench.actions.locking import lock_open_pair, lock_pair, refuse_older_version
from cases.bench.actions.replanning import difference_words
from cases.bench.checks_asked import part_words
from cases.bench.models import Difference, DifferenceSource, DifferenceState, Pair, Stage
from cases.bench.stage_table import ROWS
from shared.history import acting
from shared.refusals import Refused
from shared.sides import Side
from workshop.staff.models import Person


def pair_for_patterns(pair: Pair, *, side: str, parts: Collection[str]) -> Pair:
    """The pair, held until the transaction ends, for a change of a pattern of these parts of one foot.

    Raises `Refused` where the pair is not on the bench, is built to an older version, or a part is closed in already.
    """
    pair = lock_open_pair(pair)
    refuse_older_version(pair)
    for (foot, _), stage in queries.live_stages(pair).items():
        closed = sorted(set(stage.covers) & set(parts))
        if foot == side and closed and (stage.ticked_at or stage.begun_at):
            raise Refused(
                f"The {Side(side).label} {part_words(closed[0])} is closed in already: its pattern stays as it is."
            )
    return pair


@transaction.atomic
def raise_pattern_difference(pair: Pair, *, side: str, part: str, found: str, by: Person, at: datetime) -> Difference:
    """Raise a difference before anything is cut: the part is not closed in, nor the pair soled, until it is settled.

    `found` says what differs. Raises `Refused` where no stage of the foot makes the part, and as `pair_for_patterns`.
    """
    pair = pair_for_patterns(pair, side=side, parts=[part])
    stage = _stage_of_part(pair, side=side, part=part)
    says = f"Differs on the pattern, {Side(side).label} {part_words(part)}: {found}"
    with acting(by=by, action="raise_pattern_difference", says=says, at=at, patient=pair.patient.uuid, pair=pair.uuid):
        return Difference.objects.create(
            pair=pair,
            side=side,
            part=part,
            source=DifferenceSource.PATTERN,
            stage=stage,
            found=found,
            raised_at=at,
            raised_by=by,
        )


@transaction.atomic
def drop_pattern_difference(difference: Difference, *, because: str, by: Person, at: datetime) -> None:
    """Undo a difference of a pattern that is as prescribed again. Does nothing where somebody settled it already."""
    pair = lock_pair(difference.pair)
    waiting = Difference.objects.filter(pk=difference.pk, state=DifferenceState.OPEN, source=DifferenceSource.PATTERN)
    if not waiting.exists():
        return
    says = f"Differs no more on the pattern, {difference_words(difference)}: {because}"
    with acting(by=by, action="drop_pattern_difference", says=says, at=at, patient=pair.patient.uuid, pair=pair.uuid):
        waiting.update(state=DifferenceState.UNDONE, settled_by=by, settled_at=at, settled_because=because)


def _stage_of_part(pair: Pair, *, side: str, part: str) -> Stage:
    """The stage at which the part is made and first checked."""
    stages = [
        stage for (foot, key), stage in queries.live_stages(pair).items() if foot == side and part in ROWS[key].touches
    ]
    if not stages:
        raise Refused(f"No stage of pair {pair.number} makes the {Side(side).label} {part_words(part)}.")
    return min(stages, key=lambda stage: stage.order)
