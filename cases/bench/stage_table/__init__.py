"""The stages a workshop starts with: what each takes, waits for, covers and looks at.

Minutes and hours are starting values that a workshop replaces by its own. Their standing is said with each row:
common practice means that benches do so and no source can be named; all else is from memory, unchecked.

Features that a row asks for are the keys of prescribed parts ("carbon", "toe_puff"), constructions ("moccasin"),
and the few words of `FEATURES`. There are no expressions here: a row is asked for by any one of its features.
"""

from collections.abc import Mapping

from cases.bench.stage_table.adaptation import ADAPTATION
from cases.bench.stage_table.new_pair import NEW_PAIR, SEVEN_DAYS_H
from cases.bench.stage_table.repair import REPAIR
from cases.bench.stage_table.shape import BENCHES, FEATURES, HIDDEN_PARTS, PART, PLACED, SHELL, WELTED, Need, StageRow

__all__ = [
    "ADAPTATION",
    "BENCHES",
    "FEATURES",
    "HIDDEN_PARTS",
    "NEW_PAIR",
    "PART",
    "PLACED",
    "REPAIR",
    "ROWS",
    "SEVEN_DAYS_H",
    "SHELL",
    "TABLE",
    "WELTED",
    "Need",
    "StageRow",
]

TABLE: tuple[StageRow, ...] = (*NEW_PAIR, *ADAPTATION, *REPAIR)
ROWS: Mapping[str, StageRow] = {row.key: row for row in TABLE}
