"""Every change at the bench, one verb each. Callers import this package, not its files."""

from cases.bench.actions.adjusting import drop_pattern_difference, pair_for_patterns, raise_pattern_difference
from cases.bench.actions.checking import (
    Found,
    record_check,
    record_checks,
    record_found,
    settle_difference,
    withdraw_check,
)
from cases.bench.actions.closing import give_up_pair, hand_over_pair
from cases.bench.actions.final import FinalEntry, record_final
from cases.bench.actions.opening import (
    REPAIR_JOBS,
    link_visit,
    open_pair,
    open_repair,
    promise_again,
    repeat_pair,
)
from cases.bench.actions.photographing import keep_placed_photo, leave_photo_out
from cases.bench.actions.replanning import LAST_AGAIN, MAKE_AGAIN, come_again
from cases.bench.actions.taking_up import change_words, take_up_version
from cases.bench.actions.ticking import (
    AlreadyTicked,
    StillDrying,
    begin_stages,
    take_back_ticks,
    tick_by_visit,
    tick_stages,
)
from cases.bench.actions.weighing import weigh_pair

__all__ = [
    "LAST_AGAIN",
    "MAKE_AGAIN",
    "REPAIR_JOBS",
    "AlreadyTicked",
    "FinalEntry",
    "Found",
    "StillDrying",
    "begin_stages",
    "change_words",
    "come_again",
    "drop_pattern_difference",
    "give_up_pair",
    "hand_over_pair",
    "keep_placed_photo",
    "leave_photo_out",
    "link_visit",
    "open_pair",
    "open_repair",
    "pair_for_patterns",
    "promise_again",
    "raise_pattern_difference",
    "record_check",
    "record_checks",
    "record_final",
    "record_found",
    "repeat_pair",
    "settle_difference",
    "take_back_ticks",
    "take_up_version",
    "tick_by_visit",
    "tick_stages",
    "weigh_pair",
    "withdraw_check",
]
