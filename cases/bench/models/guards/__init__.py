"""What the database itself refuses at the bench.

Each tick writes the pair's row, and each check writes its stage's row: both sides of every rule take the same lock,
so that two people cannot pass each other at any isolation level. The actions lock the pair first, then the rest.
"""

from cases.bench.models.guards.checks import (
    check_locks_its_stage,
    difference_is_settled_once,
    final_figure_comes_before_the_tick,
    photo_comes_before_the_cover,
    requirement_is_asked_once_and_for_all,
)
from cases.bench.models.guards.pair import pair_moves_by_its_rules, visit_is_of_the_same_client
from cases.bench.models.guards.stage import edge_stays_on_one_foot, stage_moves_by_its_rules

__all__ = [
    "check_locks_its_stage",
    "difference_is_settled_once",
    "edge_stays_on_one_foot",
    "final_figure_comes_before_the_tick",
    "pair_moves_by_its_rules",
    "photo_comes_before_the_cover",
    "requirement_is_asked_once_and_for_all",
    "stage_moves_by_its_rules",
    "visit_is_of_the_same_client",
]
