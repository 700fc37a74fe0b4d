"""Pages of measures, casts and lasts."""

from cases.lasts.views.casts import cast_destroy, cast_new
from cases.lasts.views.lasts import last, last_agree, last_alter
from cases.lasts.views.measures import measures, measures_new
from cases.lasts.views.rack import last_move, last_new, last_rack, stock_last_new

__all__ = [
    "cast_destroy",
    "cast_new",
    "last",
    "last_agree",
    "last_alter",
    "last_move",
    "last_new",
    "last_rack",
    "measures",
    "measures_new",
    "stock_last_new",
]
