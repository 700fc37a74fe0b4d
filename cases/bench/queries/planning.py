"""What a route is planned from, and what of it comes next."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import replace
from datetime import date
from decimal import Decimal

from django.db.models import Exists, Max, OuterRef, QuerySet

from cases.bench import measured
from cases.bench.checks_asked import Lines
from cases.bench.models import (
    CoverRequirement,
    Difference,
    DifferenceSource,
    DifferenceState,
    Pair,
    PairState,
    Stage,
    StageAfter,
    StageKind,
    StageKindAfter,
)
from cases.bench.stage_table import TABLE, Need, StageRow
from cases.prescriptions.models import Prescription
from cases.prescriptions.models.prescription import PrescriptionStatus
from workshop.figures.queries import FigureKnown, figure, figures_known

HOURS_A_DAY = 24


def workshop_table(*, on: date) -> tuple[StageRow, ...]:
    """The stage table with this workshop's own minutes, hours and order, and its least days on the last.

    Stages that came with a newer program and were not loaded yet keep their starting values.
    """
    kinds = {kind.key: kind for kind in StageKind.objects.all()}
    needs: dict[str, list[Need]] = defaultdict(list)
    for edge in StageKindAfter.objects.select_related("kind", "needs").order_by("pk"):
        needs[edge.kind.key].append(Need(edge.needs.key, edge.started_is_enough, edge.hours_between))
    least_h = figure("days_on_last_least", on=on) * HOURS_A_DAY
    return tuple(_own(row, kinds[row.key], needs[row.key], least_h) if row.key in kinds else row for row in TABLE)


def _own(row: StageRow, kind: StageKind, needs: Iterable[Need], least_on_last_h: Decimal) -> StageRow:
    return replace(
        row,
        minutes=kind.minutes // 2 if row.per_shoe else kind.minutes,
        hours_after=kind.hours_after,
        needs=tuple(replace(need, hours_between=least_on_last_h) if need.hours_between else need for need in needs),
    )


def season_factor(*, on: date) -> Decimal:
    """What drying hours are multiplied by: above 1 in damp weather, below 1 with a warm cabinet."""
    return figure("drying_season_factor", on=on)


def measuring(*, on: date) -> dict[str, FigureKnown]:
    """What is measured blind on stages planned on a day, and within what. One query."""
    return figures_known(measured.SETTINGS, on=on)


def live_stages(pair: Pair) -> dict[tuple[str, str], Stage]:
    """The stages that this pair still has, by foot and kind."""
    stages = Stage.objects.filter(pair=pair, retired_at__isnull=True).select_related("kind")
    return {(stage.side, stage.kind.key): stage for stage in stages}


def latest_rounds(pair: Pair) -> dict[tuple[str, str], int]:
    """How often each stage of each foot was planned."""
    rows = Stage.objects.filter(pair=pair).values_list("side", "kind__key").annotate(latest=Max("round"))
    return {(side, key): latest for side, key, latest in rows.order_by()}


def _unmet_needs() -> QuerySet[StageAfter]:
    """Edges to stages that must come first and are not done."""
    return StageAfter.objects.filter(needs__retired_at__isnull=True, needs__ticked_at__isnull=True).exclude(
        started_is_enough=True, needs__begun_at__isnull=False
    )


def unmet_needs_of(stages: Collection[int]) -> QuerySet[StageAfter]:
    """What must still come before any of these stages."""
    return _unmet_needs().filter(stage__in=stages)


def next_stages() -> QuerySet[Stage]:
    """Stages of open pairs that nothing else must come before, in the order of their route."""
    return Stage.objects.filter(
        ~Exists(_unmet_needs().filter(stage=OuterRef("pk"))),
        pair__state=PairState.OPEN,
        retired_at__isnull=True,
        ticked_at__isnull=True,
    ).select_related("kind")


def current_version(version: Prescription) -> Prescription | None:
    """The signed version of the same prescription; None where it was withdrawn."""
    return Prescription.objects.filter(
        patient_id=version.patient_id, number=version.number, status=PrescriptionStatus.SIGNED
    ).first()


def pairs_on_an_older_version() -> QuerySet[Pair]:
    """Open pairs whose version of the prescription is no longer the signed one."""
    return (
        Pair.objects.filter(state=PairState.OPEN, working_to__isnull=False)
        .exclude(working_to__status=PrescriptionStatus.SIGNED)
        .select_related("patient", "working_to")
        .order_by("promised_day", "number")
    )


def built_before_the_version(pair: Pair) -> dict[tuple[str, str], list[Difference]]:
    """Differences from new versions that are open or accepted, by foot and part: what is made stays as it is."""
    found: dict[tuple[str, str], list[Difference]] = defaultdict(list)
    rows = Difference.objects.filter(
        pair=pair,
        source=DifferenceSource.NEW_VERSION,
        state__in=[DifferenceState.OPEN, DifferenceState.ACCEPTED],
        stage__retired_at__isnull=True,
    ).order_by("pk")
    for difference in rows:
        found[(difference.side, difference.part)].append(difference)
    return found


def edges_forward(pair: Pair) -> dict[int, list[int]]:
    """The stages that wait for each stage of this pair, by its key."""
    found: dict[int, list[int]] = defaultdict(list)
    for needs, stage in StageAfter.objects.filter(stage__pair=pair).values_list("needs_id", "stage_id"):
        found[needs].append(stage)
    return found


def checks_asked_of(pair: Pair) -> dict[int, set[tuple[str, str, Lines]]]:
    """What each live stage of this pair asks to be checked: part, moment and prescribed lines."""
    found: dict[int, set[tuple[str, str, Lines]]] = defaultdict(set)
    rows = CoverRequirement.objects.filter(stage__pair=pair, stage__retired_at__isnull=True)
    for stage, part, moment, lines in rows.values_list("stage_id", "part", "moment", "prescribed"):
        found[stage].add((part, moment, tuple((label, value) for label, value in lines)))
    return found
