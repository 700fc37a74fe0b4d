"""How far pairs are: their stages come in the query that reads the pairs themselves."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from django.contrib.postgres.expressions import ArraySubquery
from django.db.models import Count, OuterRef, Q, QuerySet
from django.db.models.functions import JSONObject
from django.utils import timezone

from cases.bench.models import DifferenceState, Outcome, Pair, PairState, Stage
from shared.drawing.stitches import Knot, StageSeen, StitchLine, stitch_line


@dataclass(frozen=True)
class PairSeen:
    """A pair with its stitch line. `waits_for_visit` is the key of the visit that its next stage is done at, or empty.

    `days_late` counts from the promised day; nought or less is in time.
    """

    pair: Pair
    line: StitchLine
    days_late: int
    waits_for_visit: str
    is_on_an_older_version: bool


def with_stages(pairs: QuerySet[Pair]) -> QuerySet[Pair]:
    """The same pairs, each with what `seen` needs, in one query."""
    return pairs.select_related("patient", "working_to").annotate(stage_rows=ArraySubquery(_stage_rows()))


def _stage_rows() -> QuerySet[Stage, Any]:
    standing = Q(requirements__checks__withdrawn_at__isnull=True)
    made = Q(requirements__checks__isnull=False) & standing
    settled = Q(requirements__checks__outcome=Outcome.AS_PRESCRIBED) | Q(
        requirements__checks__difference__state=DifferenceState.ACCEPTED
    )
    return (
        Stage.objects.filter(pair=OuterRef("pk"), retired_at__isnull=True)
        .annotate(
            asked=Count("requirements", distinct=True),
            passed=Count("requirements", filter=made & settled, distinct=True),
            made=Count("requirements", filter=made, distinct=True),
        )
        .order_by("order", "round", "side")
        .values(
            row=JSONObject(
                stage="pk",
                key="kind__key",
                name="kind__name",
                by_visit="kind__by_visit",
                side="side",
                round="round",
                ticked_at="ticked_at",
                dry_at="dry_at",
                felt_dry_at="felt_dry_at",
                asked="asked",
                passed="passed",
                made="made",
            )
        )
    )


def seen(pair: Pair, *, now: datetime) -> PairSeen:
    """A pair that `with_stages` read. No query."""
    rows = _rows(pair)
    here = timezone.localtime(now)
    undone = next((row for row in rows if row["ticked_at"] is None), None)
    return PairSeen(
        pair=pair,
        line=stitch_line([_stage_seen(row) for row in rows], now=here),
        days_late=(here.date() - pair.promised_day).days,
        waits_for_visit=undone["key"] if undone and undone["by_visit"] and pair.state == PairState.OPEN else "",
        is_on_an_older_version=bool(
            pair.state == PairState.OPEN and pair.working_to and pair.working_to.status != "signed"
        ),
    )


def checks_to_make(pairs: Iterable[Pair]) -> Counter[int]:
    """How many checks each stage of pairs that `with_stages` read still waits for, by its primary key. No query."""
    return Counter({row["stage"]: row["asked"] - row["made"] for pair in pairs for row in _rows(pair)})


def _rows(pair: Pair) -> list[dict[str, Any]]:
    rows: list[dict[str, Any]] = pair.stage_rows  # type: ignore[attr-defined]  # annotated by with_stages
    return rows


def _stage_seen(row: Mapping[str, Any]) -> StageSeen:
    return StageSeen(
        key=row["key"],
        name=row["name"],
        side=row["side"],
        round=row["round"],
        is_done=row["ticked_at"] is not None,
        dry_at=datetime.fromisoformat(row["dry_at"]) if row["dry_at"] and not row["felt_dry_at"] else None,
        knot=_knot(asked=row["asked"], made=row["made"], passed=row["passed"]),
    )


def _knot(*, asked: int, made: int, passed: int) -> Knot:
    if not asked:
        return Knot.NONE
    if made > passed:
        return Knot.DIFFERS
    return Knot.PASSED if passed == asked else Knot.ASKED
