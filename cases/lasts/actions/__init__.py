"""Everything that changes measures, casts and lasts."""

from cases.lasts.actions.casts import destroy_cast, register_cast, register_casts
from cases.lasts.actions.lasts import agree_last, alter_last
from cases.lasts.actions.measures import MeasureValue, record_measures
from cases.lasts.actions.rack import LastFoot, SameForBoth, move_last, register_last, register_lasts

__all__ = [
    "LastFoot",
    "MeasureValue",
    "SameForBoth",
    "agree_last",
    "alter_last",
    "destroy_cast",
    "move_last",
    "record_measures",
    "register_cast",
    "register_casts",
    "register_last",
    "register_lasts",
]
