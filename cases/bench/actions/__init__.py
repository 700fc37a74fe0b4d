"""Every change at the bench, one verb each. Callers import this package, not its files."""

from cases.bench.actions.opening import (
    REPAIR_JOBS,
    link_visit,
    open_pair,
    open_repair,
    promise_again,
    repeat_pair,
)
from cases.bench.actions.ticking import (
    AlreadyTicked,
    StillDrying,
    begin_stages,
    finish_pair,
    hand_over_pair,
    take_back_ticks,
    tick_by_visit,
    tick_stages,
)

__all__ = [
    "REPAIR_JOBS",
    "AlreadyTicked",
    "StillDrying",
    "begin_stages",
    "finish_pair",
    "hand_over_pair",
    "link_visit",
    "open_pair",
    "open_repair",
    "promise_again",
    "repeat_pair",
    "take_back_ticks",
    "tick_by_visit",
    "tick_stages",
]
