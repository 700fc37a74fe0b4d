"""Pairs past their promised day, the worst first."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import date

from django.db.models import Count, Q

from cases.bench.models import DifferenceState, Pair, PairState, Stage
from cases.bench.queries.planning import next_stages
from cases.bench.queries.stitches import with_stages
from cases.bench.wording import feet_words
from cases.prescriptions.models.prescription import PrescriptionStatus


@dataclass(frozen=True)
class LatePair:
    """A pair past its promised day: what comes next, where it stands, and whom it waits for."""

    pair: Pair
    days_late: int
    next_stage: str
    stands_at: str
    waits_for: str


def late_pairs(today: date) -> list[LatePair]:
    """Open and finished pairs past their promised day, the most days first, with their stages. Two queries."""
    pairs = list(
        with_stages(Pair.objects.filter(state__in=[PairState.OPEN, PairState.FINISHED], promised_day__lt=today))
        .annotate(waiting=Count("differences", filter=Q(differences__state=DifferenceState.OPEN)))
        .order_by("promised_day", "number")
    )
    following: dict[int, list[Stage]] = defaultdict(list)
    stages = next_stages().filter(pair__in=[pair.pk for pair in pairs]).select_related("kind__bench")
    for stage in stages.order_by("order", "side"):
        following[stage.pair_id].append(stage)
    return [_late(pair, following[pair.pk], waiting=pair.waiting, today=today) for pair in pairs]


def _late(pair: Pair, stages: list[Stage], *, waiting: int, today: date) -> LatePair:
    first = [stage for stage in stages if stage.kind_id == stages[0].kind_id]
    return LatePair(
        pair=pair,
        days_late=(today - pair.promised_day).days,
        next_stage=f"{first[0].kind.name}, {feet_words(stage.side for stage in first)}" if first else "hand-over",
        stands_at=first[0].kind.bench.name if first else "Ready to be fetched",
        waits_for=_waits_for(pair, first, waiting=waiting),
    )


def _waits_for(pair: Pair, first: list[Stage], *, waiting: int) -> str:
    version = pair.working_to
    if pair.state == PairState.FINISHED:
        return "the client: final fitting"
    if version is not None and version.status == PrescriptionStatus.WITHDRAWN:
        return "the clinician: the prescription was withdrawn"
    if version is not None and version.status != PrescriptionStatus.SIGNED:
        return "a maker: take up the newer version"
    if waiting:
        return "the clinician: a difference" if waiting == 1 else f"the clinician: {waiting} differences"
    if first and first[0].kind.by_visit:
        return f"the client: {first[0].kind.name[:1].lower()}{first[0].kind.name[1:]}"
    return "a maker"
