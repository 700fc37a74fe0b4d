"""What was checked of a pair, stage by stage: LEFT beside RIGHT, what was measured, the photos of what is closed in."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.db.models import OuterRef, Q, QuerySet

from cases.bench.checks_asked import part_words
from cases.bench.final_sheet import FinalLine
from cases.bench.measured import AskedFigure
from cases.bench.models import CheckMoment, CoverCheck, FinalFigure, PlacedPhoto
from cases.bench.queries import FinalTold, PhotoSeen

CHECK_COLUMNS = {
    "stage": "requirement__stage__kind__name",
    "order": "requirement__stage__order",
    "side": "requirement__side",
    "part": "requirement__part",
    "moment": "requirement__moment",
    "asked": "requirement__measured",
    "outcome": "outcome",
    "found": "found",
    "measured": "measured",
    "at": "at",
    "by": "by__name",
}
PHOTO_COLUMNS = {
    "uuid": "uuid",
    "left": "left_id",
    "right": "right_id",
    "because": "left_out_because",
    "by": "by__name",
    "at": "at",
    "left_stage": "left__kind__name",
    "right_stage": "right__kind__name",
}

FINAL_COLUMNS = {
    "side": "stage__side",
    "by": "by__name",
    **{name: name for name in ("key", "words", "unit", "prescribed", "least", "most", "measured", "holds", "answer")},
}


@dataclass(frozen=True)
class CheckTold:
    """One check of one foot. `figures` say what was measured beside what is prescribed."""

    outcome: str
    found: str
    figures: tuple[str, ...]
    by: str
    at: datetime


@dataclass(frozen=True)
class PartTold:
    """A part at one moment, LEFT and RIGHT; None where that foot has no such check recorded."""

    name: str
    left: CheckTold | None
    right: CheckTold | None

    @property
    def feet(self) -> tuple[tuple[str, CheckTold | None], ...]:
        return (("left", self.left), ("right", self.right))


@dataclass(frozen=True)
class StageTold:
    """The checks of one stage, and the photos of what it closes in."""

    name: str
    parts: tuple[PartTold, ...]
    photos: tuple[PhotoSeen, ...]


def standing_checks() -> QuerySet[CoverCheck]:
    """The checks of the pair of an outer query that stand, of stages that are still asked for."""
    return CoverCheck.objects.filter(
        requirement__stage__pair=OuterRef("pk"), requirement__stage__retired_at__isnull=True, withdrawn_at__isnull=True
    ).order_by("requirement__stage__order", "requirement__pk")


def standing_photos() -> QuerySet[PlacedPhoto]:
    """The photos of the pair of an outer query, of stages that are still asked for; the latest first."""
    left = Q(left__pair=OuterRef("pk"), left__retired_at__isnull=True)
    right = Q(right__pair=OuterRef("pk"), right__retired_at__isnull=True)
    return PlacedPhoto.objects.filter(left | right).order_by("-pk")


def stages_told(checks: Iterable[Mapping[str, Any]], photos: Iterable[Mapping[str, Any]]) -> tuple[StageTold, ...]:
    """Rows of `standing_checks` and `standing_photos`, as the database wrote them in JSON, by their stages."""
    shown: dict[str, list[PhotoSeen]] = {}
    for row in photos:
        shown.setdefault(row["left_stage"] or row["right_stage"], []).append(PhotoSeen.of(row))
    found: dict[str, dict[tuple[str, str], dict[str, CheckTold]]] = {name: {} for name in shown}
    order = {row["stage"]: row["order"] for row in checks}
    for row in checks:
        parts = found.setdefault(row["stage"], {})
        parts.setdefault((row["part"], row["moment"]), {})[row["side"]] = _told(row)
    return tuple(
        StageTold(
            name=stage,
            parts=tuple(
                PartTold(
                    f"{part_words(part)[:1].upper()}{part_words(part)[1:]}, {CheckMoment(moment).label}",
                    sides.get("left"),
                    sides.get("right"),
                )
                for (part, moment), sides in parts.items()
            ),
            photos=tuple(shown.get(stage, ())),
        )
        for stage, parts in sorted(found.items(), key=lambda each: order.get(each[0], math.inf))
    )


def final_figures() -> QuerySet[FinalFigure]:
    """The figures of the final check of the pair of an outer query, the latest of a line last."""
    return FinalFigure.objects.filter(stage__pair=OuterRef("pk"), stage__retired_at__isnull=True).order_by("pk")


def final_told(rows: Iterable[Mapping[str, Any]]) -> tuple[int, tuple[FinalTold, ...]]:
    """How many lines hold, and those that differ; of rows of `final_figures`, as the database wrote them in JSON."""
    latest = {(row["side"], row["key"]): row for row in rows}
    differs = [row for row in latest.values() if not row["holds"]]
    return len(latest) - len(differs), tuple(
        FinalTold(row["side"], row["words"], _measured(row), row["answer"], row["by"]) for row in differs
    )


def _measured(row: Mapping[str, Any]) -> str:
    if row["measured"] is None:
        return ""
    prescribed, least, most = (_decimal(row[name]) for name in ("prescribed", "least", "most"))
    line = FinalLine(row["key"], row["words"], row["unit"], prescribed, least, most)
    return line.beside_asked(Decimal(str(row["measured"])))


def _decimal(figure: float | None) -> Decimal | None:
    return None if figure is None else Decimal(str(figure))


def _told(row: Mapping[str, Any]) -> CheckTold:
    figures = [AskedFigure.of(asked) for asked in row["asked"]]
    return CheckTold(
        outcome=row["outcome"],
        found=row["found"],
        figures=tuple(figure.beside_prescribed(Decimal(row["measured"][figure.label])) for figure in figures),
        by=row["by"],
        at=datetime.fromisoformat(row["at"]),
    )
