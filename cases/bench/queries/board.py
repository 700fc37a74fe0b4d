"""The bench's first page: what dries, what can be done next on each pair, in the order of the promised days."""

from collections import Counter, defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.db.models import Exists, F, OuterRef, Q, QuerySet
from django.utils import timezone

from cases.bench.models import (
    Difference,
    DifferenceState,
    Pair,
    PairState,
    Stage,
    StageAfter,
    StageKind,
)
from cases.bench.queries.planning import next_stages
from cases.bench.queries.stitches import checks_to_make, seen, with_stages
from cases.bench.queries.waits import Wait, longest, waits_before
from cases.bench.wording import feet_words
from cases.prescriptions.models.prescription import PrescriptionStatus
from shared.drawing.stitches import StitchLine
from workshop.hours.models import Bench

MOST_PAIRS = 60
"""How many pairs one page shows; the rest is a touch away."""


@dataclass(frozen=True)
class Step:
    """A stage that could be done next on one pair, on one foot or both."""

    pair: Pair
    stages: tuple[Stage, ...]
    waits: tuple[Wait, ...]
    dried: tuple[Stage, ...]
    checks_to_make: int

    @property
    def kind(self) -> StageKind:
        return self.stages[0].kind

    @property
    def feet(self) -> str:
        return feet_words(stage.side for stage in self.stages)

    @property
    def asked(self) -> str:
        """Its stages as one choice of a form names them."""
        return ",".join(str(stage.uuid) for stage in self.stages)

    @property
    def can_be_keyed_in(self) -> bool:
        """True where nothing has to be looked at first, by the maker or with the client."""
        return not self.kind.by_visit and not self.checks_to_make

    @property
    def wait(self) -> Wait | None:
        return longest(self.waits)


@dataclass(frozen=True)
class Drying:
    """A stage of one pair that dries, sets or cures until a moment."""

    pair: Pair
    kind: StageKind
    feet: str
    until: datetime


@dataclass(frozen=True)
class Job:
    """One pair on the bench with what could be done next."""

    pair: Pair
    steps: tuple[Step, ...]
    line: StitchLine
    open_differences: int
    answered_differences: int
    days_late: int

    @property
    def has_newer_version(self) -> bool:
        version = self.pair.working_to
        return version is not None and version.status != PrescriptionStatus.SIGNED


@dataclass(frozen=True)
class BenchBoard:
    """Everything on the first page of the bench."""

    jobs: tuple[Job, ...]
    to_soak: tuple[Step, ...]
    dry_now: tuple[Step, ...]
    drying: tuple[Drying, ...]
    off_the_last: tuple[Step, ...]
    benches: tuple[Bench, ...]
    chosen: str
    pairs_not_shown: int

    @property
    def first_block_is_empty(self) -> bool:
        return not (self.to_soak or self.dry_now or self.drying or self.off_the_last)


def bench_of(*, bench: str = "", everything: bool = False, now: datetime) -> BenchBoard:
    """What can be done at one bench, or at all, the earliest promise first. Six queries."""
    pairs = list(_pairs_with_work_at(bench))
    shown = pairs if everything else pairs[:MOST_PAIRS]
    pks = [pair.pk for pair in shown]
    steps = _steps(shown, checks_to_make(shown), now=now)
    here = {pair: [step for step in of_pair if _is_at(step, bench)] for pair, of_pair in steps.items()}
    waiting, answered = _differences(pks)
    today = timezone.localdate(now)
    ready = [step for pair in shown for step in here[pair.pk]]
    return BenchBoard(
        jobs=tuple(
            Job(
                pair=pair,
                steps=tuple(here[pair.pk]),
                line=seen(pair, now=now).line,
                open_differences=waiting[pair.pk],
                answered_differences=answered[pair.pk],
                days_late=max(0, (today - pair.promised_day).days),
            )
            for pair in shown
        ),
        to_soak=tuple(step for step in ready if step.kind.key == "soak" and not step.waits),
        dry_now=tuple(step for step in ready if step.dried and not step.waits),
        drying=tuple(_drying_here(drying_now(now), ready, bench)),
        off_the_last=tuple(step for step in ready if step.kind.key == "slip-last" and not step.waits),
        benches=tuple(Bench.objects.all()),
        chosen=bench,
        pairs_not_shown=len(pairs) - len(shown),
    )


def _pairs_with_work_at(bench: str) -> QuerySet[Pair]:
    """Open pairs, or those of them that have something to do at this bench; with client, version and stages."""
    pairs = with_stages(Pair.objects.filter(state=PairState.OPEN))
    if bench:
        here = next_stages().filter(pair=OuterRef("pk")).filter(_at(bench))
        pairs = pairs.filter(Exists(here))
    return pairs.order_by("promised_day", "number")


def _at(bench: str) -> Q:
    return Q(kind__bench__key__in=[bench, "any"])


def _is_at(step: Step, bench: str) -> bool:
    return not bench or step.kind.bench.key in (bench, "any")


def _steps(pairs: Iterable[Pair], to_make: Counter[int], *, now: datetime) -> dict[int, list[Step]]:
    """What could be done next on each pair. Two queries."""
    by_pk = {pair.pk: pair for pair in pairs}
    stages = list(next_stages().filter(pair__in=by_pk).select_related("kind__bench").order_by("order", "side"))
    pks = [stage.pk for stage in stages]
    edges: dict[int, list[StageAfter]] = defaultdict(list)
    for edge in StageAfter.objects.filter(stage__in=pks, needs__retired_at__isnull=True).select_related("needs__kind"):
        edges[edge.stage_id].append(edge)
    together: dict[tuple[int, int], list[Stage]] = defaultdict(list)
    for stage in stages:
        together[(stage.pair_id, stage.kind_id)].append(stage)
    found: dict[int, list[Step]] = {pk: [] for pk in by_pk}
    for (pair, _), of_kind in together.items():
        behind = [edge for stage in of_kind for edge in edges[stage.pk]]
        found[pair].append(
            Step(
                pair=by_pk[pair],
                stages=tuple(of_kind),
                waits=tuple(waits_before(behind, now)),
                dried=tuple(edge.needs for edge in behind if edge.needs.dry_at and not edge.started_is_enough),
                checks_to_make=sum(to_make[stage.pk] for stage in of_kind),
            )
        )
    return found


def _differences(pairs: Collection[int]) -> tuple[Counter[int], Counter[int]]:
    """How many of each pair wait for an answer, and how many somebody else answered since its last tick. One query."""
    ticked_since = Stage.objects.filter(
        pair=OuterRef("pair"), retired_at__isnull=True, ticked_at__gte=OuterRef("settled_at")
    )
    is_open = Q(state=DifferenceState.OPEN)
    answered = Q(settled_at__isnull=False) & ~Q(settled_by=F("raised_by")) & ~Exists(ticked_since)
    rows = Difference.objects.filter(is_open | answered, pair__in=pairs).values_list("pair_id", "state")
    waiting = [pair for pair, state in rows if state == DifferenceState.OPEN]
    return Counter(waiting), Counter(pair for pair, state in rows if state != DifferenceState.OPEN)


def drying_now(at: datetime) -> list[Drying]:
    """Everything on the bench that still dries at a moment, what is dry first. One query."""
    rows = (
        Stage.objects.filter(
            pair__state=PairState.OPEN,
            retired_at__isnull=True,
            ticked_at__isnull=False,
            felt_dry_at__isnull=True,
            dry_at__gt=at,
        )
        .select_related("kind__bench", "pair__patient")
        .order_by("dry_at", "pair__number", "side")
    )
    together: dict[tuple[int, int], list[Stage]] = defaultdict(list)
    for stage in rows:
        together[(stage.pair_id, stage.kind_id)].append(stage)
    found = [_drying(stages) for stages in together.values()]
    return sorted(found, key=lambda drying: (drying.until, drying.pair.number))


def _drying(stages: list[Stage]) -> Drying:
    until = max(stage.dry_at for stage in stages if stage.dry_at)
    return Drying(stages[0].pair, stages[0].kind, feet_words(stage.side for stage in stages), until)


def _drying_here(everywhere: Iterable[Drying], ready: Iterable[Step], bench: str) -> list[Drying]:
    """What dries of a bench's own work, and what its next steps wait for; without a bench, all of it."""
    waited_for = {(step.pair.pk, step.wait.stage.kind_id) for step in ready if step.wait}
    return [
        drying
        for drying in everywhere
        if bench in ("", drying.kind.bench.key) or (drying.pair.pk, drying.kind.pk) in waited_for
    ]


def find_pair(text: str) -> UUID | None:
    """The pair that a scanner or a hand names: by its number, or by the address of its QR code."""
    words = text.strip().rstrip("/").split("/")
    if len(words) == 1 and words[0].isdecimal():
        named = Pair.objects.filter(number=int(words[0])) if len(words[0]) <= len(str(2**31)) - 1 else None
        return named.values_list("uuid", flat=True).first() if named is not None else None
    for word in reversed(words):
        try:
            wanted = UUID(word)
        except ValueError:
            continue
        return Pair.objects.filter(uuid=wanted).values_list("uuid", flat=True).first()
    return None
