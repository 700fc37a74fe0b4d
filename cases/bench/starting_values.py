"""The kinds of stage every workshop starts with."""

from datetime import datetime

from cases.bench.models import StageKind, StageKindAfter
from cases.bench.stage_table import BENCHES, TABLE, StageRow
from shared.history import Program, acting
from workshop.figures.models import Standing
from workshop.hours.models import Bench


def load(*, at: datetime) -> None:
    """Add the benches and kinds of stage that are missing. What a workshop changed stays as it is."""
    known = set(StageKind.objects.values_list("key", flat=True))
    missing = [row for row in TABLE if row.key not in known]
    if not missing:
        return
    with acting(by=Program(), action="load_stage_kinds", says="Loaded the kinds of stage to start with.", at=at):
        for key, name in BENCHES:
            Bench.objects.get_or_create(key=key, defaults={"name": name})
        benches = {bench.key: bench for bench in Bench.objects.all()}
        StageKind.objects.bulk_create(_kind(row, benches[row.bench]) for row in missing)
        kinds = {kind.key: kind for kind in StageKind.objects.all()}
        StageKindAfter.objects.bulk_create(
            StageKindAfter(
                kind=kinds[row.key],
                needs=kinds[need.key],
                started_is_enough=need.started_is_enough,
                hours_between=need.hours_between,
            )
            for row in missing
            for need in row.needs
        )


def _kind(row: StageRow, bench: Bench) -> StageKind:
    standing = Standing.COMMON_PRACTICE if row.hours_are_common_practice else Standing.FROM_MEMORY
    return StageKind(
        key=row.key,
        name=row.name,
        bench=bench,
        order=TABLE.index(row) + 1,
        minutes=row.minutes if not row.per_shoe else 2 * row.minutes,
        hours_after=row.hours_after,
        hours_standing=standing,
        waiting_word=row.waiting_word,
        look_for=row.look_for,
        by_visit=row.by_visit,
    )
