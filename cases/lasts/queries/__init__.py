"""Every read of measures, casts and lasts that more than one place needs."""

from cases.lasts.queries.casts import casts_of, casts_to_work_from, people_who_cast
from cases.lasts.queries.lasts import Rack, fellow_of, lasts_of, people_who_make_lasts, rack, with_agreement
from cases.lasts.queries.measuring import (
    MeasureRow,
    Shown,
    last_time,
    measure_sets_of,
    questions_of,
    rows_of,
    takes_of,
    values_of,
    visit_of_today,
    visits_to_measure_at,
)
from cases.lasts.queries.shaping import (
    Shaped,
    StationRow,
    bottom_of,
    deformities,
    latest_target,
    live_findings_of_the_foot,
    patches_of,
    shape_of,
)
from cases.lasts.queries.sizes import FootSizes, sizes_of, sizes_of_a_last

__all__ = [
    "FootSizes",
    "MeasureRow",
    "Rack",
    "Shaped",
    "Shown",
    "StationRow",
    "bottom_of",
    "casts_of",
    "casts_to_work_from",
    "deformities",
    "fellow_of",
    "last_time",
    "lasts_of",
    "latest_target",
    "live_findings_of_the_foot",
    "measure_sets_of",
    "patches_of",
    "people_who_cast",
    "people_who_make_lasts",
    "questions_of",
    "rack",
    "rows_of",
    "shape_of",
    "sizes_of",
    "sizes_of_a_last",
    "takes_of",
    "values_of",
    "visit_of_today",
    "visits_to_measure_at",
    "with_agreement",
]
