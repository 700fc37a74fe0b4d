"""Every page, room by room."""

from tests.page_queries import (
    bench_pages,
    casts_pages,
    diary_pages,
    fittings_pages,
    lasts_pages,
    overview_pages,
    patients_pages,
    patterns_pages,
    prescriptions_pages,
    rack_pages,
    shaping_pages,
    workshop_pages,
)

ROOMS = (
    workshop_pages,
    patients_pages,
    diary_pages,
    casts_pages,
    lasts_pages,
    rack_pages,
    shaping_pages,
    prescriptions_pages,
    bench_pages,
    patterns_pages,
    fittings_pages,
    overview_pages,
)
PAGES = [page for room in ROOMS for page in room.PAGES]
