"""The stitch lines of several pairs, in two queries."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import datetime

from django.db.models import OuterRef, Subquery
from django.utils import timezone

from cases.bench.models import CoverCheck, CoverRequirement, DifferenceState, Outcome, Stage
from shared.drawing.stitches import Knot, StageSeen, StitchLine, stitch_line


@dataclass(frozen=True)
class CheckState:
    """One check that a live stage asks for: not made yet, as prescribed, or where its difference stands."""

    stage: int
    outcome: str | None
    settled: str | None

    @property
    def knot(self) -> Knot:
        if self.outcome is None:
            return Knot.ASKED
        differs = self.outcome == Outcome.DIFFERS and self.settled != DifferenceState.ACCEPTED
        return Knot.DIFFERS if differs else Knot.PASSED


def check_states(pairs: Collection[int]) -> list[CheckState]:
    """Every check that these pairs ask for and how far it is. One query."""
    standing = CoverCheck.objects.filter(requirement=OuterRef("pk"), withdrawn_at__isnull=True)
    rows = (
        CoverRequirement.objects.filter(stage__pair__in=pairs, stage__retired_at__isnull=True)
        .annotate(
            outcome=Subquery(standing.values("outcome")[:1]),
            settled=Subquery(standing.values("difference__state")[:1]),
        )
        .values_list("stage_id", "outcome", "settled")
    )
    return [CheckState(*row) for row in rows]


def stitch_lines(
    pairs: Collection[int], *, checks: Iterable[CheckState] | None = None, now: datetime
) -> dict[int, StitchLine]:
    """The stitch line of each of these pairs, by its primary key. One query, and one for checks that are not given."""
    knots = _knots(check_states(pairs) if checks is None else checks)
    seen: dict[int, list[StageSeen]] = defaultdict(list)
    rows = (
        Stage.objects.filter(pair__in=pairs, retired_at__isnull=True)
        .order_by("order", "side")
        .values_list("pk", "pair_id", "kind__key", "kind__name", "side", "ticked_at", "dry_at", "felt_dry_at")
    )
    for pk, pair, key, name, side, ticked_at, dry_at, felt_dry_at in rows:
        seen[pair].append(
            StageSeen(
                key=key,
                name=name,
                side=side,
                is_done=ticked_at is not None,
                dry_at=None if felt_dry_at else dry_at,
                knot=knots.get(pk, Knot.NONE),
            )
        )
    local = timezone.localtime(now)
    return {pair: stitch_line(seen[pair], now=local) for pair in pairs}


def _knots(checks: Iterable[CheckState]) -> dict[int, Knot]:
    """How far the checks of each stage are: the one furthest behind decides."""
    worst_first = (Knot.DIFFERS, Knot.ASKED, Knot.PASSED)
    found: dict[int, Knot] = {}
    for check in checks:
        found[check.stage] = min(check.knot, found.get(check.stage, Knot.PASSED), key=worst_first.index)
    return found
