"""A last that was to be altered: the tick of that stage waits until it was, and until it is agreed."""

from collections.abc import Sequence

from cases.bench.actions.replanning import LAST_ALTERED
from cases.bench.models import Stage
from cases.bench.queries import last_when_it_came_again
from shared.refusals import Refused


def refuse_unaltered(rows: Sequence[Stage]) -> None:
    """Raises `Refused` where altering the last came again and the last is as it was, or is not agreed as it is now.

    The first time round nothing is asked: a last may have been made and agreed long before the pair was opened.
    Where the prescription names no last there is nothing to look at.
    """
    for stage in rows:
        if stage.kind.key != LAST_ALTERED or stage.round == 1:
            continue
        found = last_when_it_came_again(stage)
        if found is None:
            continue
        if not found.is_another_state:
            raise Refused(
                f"Last {found.last} is as it was when it was asked to be altered: alter it on its page, measure it and "
                "have it agreed, then tick this."
            )
        if not found.last.is_agreed:
            raise Refused(f"Last {found.last} is not agreed as it is now: measure it and have it agreed on its page.")
