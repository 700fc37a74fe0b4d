"""Every read of the bench that more than one place needs. Callers import this package, not its files."""

from cases.bench.queries.ahead import VersionAhead, version_ahead
from cases.bench.queries.altering import LastComeAgain, last_when_it_came_again
from cases.bench.queries.board import BenchBoard, Drying, Job, Step, bench_of, drying_now, find_pair
from cases.bench.queries.checks_seen import differs_field, figure_field
from cases.bench.queries.differences import open_differences
from cases.bench.queries.final import (
    FINAL_CHECK,
    FinalSeen,
    FinalSheet,
    FinalTold,
    differs_at_the_end,
    final_sheet,
)
from cases.bench.queries.late import LatePair, late_pairs
from cases.bench.queries.pair import (
    FITTING,
    PairOnBench,
    last_fitting,
    pair_named,
    pair_on_bench,
)
from cases.bench.queries.photos import PhotoSeen, photo_rows
from cases.bench.queries.planning import (
    built_before_the_version,
    checks_asked_of,
    current_version,
    edges_forward,
    latest_rounds,
    live_stages,
    measuring,
    next_stages,
    pairs_on_an_older_version,
    season_factor,
    unmet_needs_of,
    workshop_table,
)
from cases.bench.queries.stitches import PairSeen, seen, with_stages
from cases.bench.queries.waits import Wait, hours, waits_before

__all__ = [
    "FINAL_CHECK",
    "FITTING",
    "BenchBoard",
    "Drying",
    "FinalSeen",
    "FinalSheet",
    "FinalTold",
    "Job",
    "LastComeAgain",
    "LatePair",
    "PairOnBench",
    "PairSeen",
    "PhotoSeen",
    "Step",
    "VersionAhead",
    "Wait",
    "bench_of",
    "built_before_the_version",
    "checks_asked_of",
    "current_version",
    "differs_at_the_end",
    "differs_field",
    "drying_now",
    "edges_forward",
    "figure_field",
    "final_sheet",
    "find_pair",
    "hours",
    "last_fitting",
    "last_when_it_came_again",
    "late_pairs",
    "latest_rounds",
    "live_stages",
    "measuring",
    "next_stages",
    "open_differences",
    "pair_named",
    "pair_on_bench",
    "pairs_on_an_older_version",
    "photo_rows",
    "season_factor",
    "seen",
    "unmet_needs_of",
    "version_ahead",
    "waits_before",
    "with_stages",
    "workshop_table",
]
