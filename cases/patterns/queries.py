"""Every read of the patterns that more than one place needs."""

from collections import defaultdict
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import date
from uuid import UUID

from django.contrib.postgres.expressions import ArraySubquery
from django.db.models import Exists, OuterRef, QuerySet
from django.db.models.functions import JSONObject

from cases.bench.models import DifferenceState, Pair, PairState
from cases.bench.queries import next_stages
from cases.patterns.cutting import WASTES, Waste
from cases.patterns.drafting.changes import FIGURE, TOLERANCES, Changes, FigureChange, PointShift, Tolerances
from cases.patterns.drafting.figures import PatternFigures
from cases.patterns.drafting.pieces import Piece
from cases.patterns.drafting.pieces_of import Drafted, pieces_of
from cases.patterns.leather import HOURS, Hours
from cases.patterns.models import AdjustmentKind, OwnTemplate, PatternAdjustment
from cases.prescriptions.models import Prescription
from cases.prescriptions.queries import wholes
from cases.prescriptions.shoe import Shoe
from cases.prescriptions.shoes_of import shoes_of_versions
from cases.prescriptions.weight import Density
from shared.sides import Side
from workshop.figures.queries import figures_and_materials

TOE_ALLOWANCE = "toe_allowance_mm"
PATTERN_FIGURES = tuple(field.name for field in fields(PatternFigures))
SETTINGS = frozenset({TOE_ALLOWANCE, *PATTERN_FIGURES, *TOLERANCES, *HOURS, *WASTES})
MOST_PAIRS = 60
"""How many pairs one cutting list takes."""


@dataclass(frozen=True)
class Day:
    """The workshop's figures on a day, as drafting and the cutting list take them."""

    figures: PatternFigures
    tolerances: Tolerances
    hours: Hours
    waste: Waste
    densities: Mapping[str, Density]
    toe_allowance_mm: float


@dataclass(frozen=True)
class Template:
    """A maker's own template that is used for a part of one foot."""

    uuid: UUID
    side: Side
    part: str
    template: str
    by: str


@dataclass(frozen=True)
class Patterns:
    """The patterns of one pair as they are now: what is prescribed, what was changed, what is cut.

    `shoes` are as prescribed; the drafted ones carry the changed figures. `adjustments` are all that were ever made,
    the latest first; `holding` those that hold.
    """

    pair: Pair
    version: Prescription
    shoes: Mapping[Side, Shoe]
    drafted: Drafted
    adjustments: tuple[PatternAdjustment, ...]
    holding: frozenset[int]
    templates: tuple[Template, ...]
    day: Day

    def latest(self, *, side: str, piece: str, what: str) -> PatternAdjustment | None:
        """The last adjustment of a figure or a point, whether it holds or not."""
        asked = (side, piece, what)
        return next((each for each in self.adjustments if (each.side, each.piece, each.what) == asked), None)


def day_of(on: date) -> Day:
    """The workshop as it was on a day. One query. Raises `FigureUnknown`."""
    known, materials = figures_and_materials(SETTINGS, on=on)
    found = {name: float(figure.value) for name, figure in known.items()}
    return Day(
        figures=PatternFigures(**{name: found[name] for name in PATTERN_FIGURES}),
        tolerances={name: found[name] for name in TOLERANCES},
        hours=Hours(**{name: found[name] for name in HOURS}),
        waste=Waste(**{name: found[name] for name in WASTES}),
        densities={
            each.name: Density(each.name, each.kind, float(each.density_low_kg_m3), float(each.density_high_kg_m3))
            for each in materials
        },
        toe_allowance_mm=found[TOE_ALLOWANCE],
    )


def pair_named(uuid: UUID) -> Pair | None:
    """The pair with its client, its version and the own templates used for it. One query."""
    return _pairs().filter(uuid=uuid).first()


def with_templates(pair: Pair) -> Pair:
    """The same pair as `pair_named` reads it. One query."""
    return _pairs().get(pk=pair.pk)


def open_pairs_at(bench: str) -> list[Pair]:
    """Open pairs on a last whose next stages lie at a bench, or all of them, the earliest promise first. One query."""
    pairs = _pairs().filter(state=PairState.OPEN, working_to__isnull=False, kind__in=["new", "repeat"])
    if bench:
        here = next_stages().filter(pair=OuterRef("pk"), kind__bench__key__in=[bench, "any"])
        pairs = pairs.filter(Exists(here))
    return list(pairs.order_by("promised_day", "number")[:MOST_PAIRS])


def _pairs() -> QuerySet[Pair]:
    used = OwnTemplate.objects.filter(pair=OuterRef("pk"), ended_at__isnull=True).order_by("pk")
    row = JSONObject(uuid="uuid", side="side", part="part", template="template", by="by__name")
    return Pair.objects.select_related("patient", "working_to").annotate(
        template_rows=ArraySubquery(used.values(row=row))
    )


def patterns_of(pair: Pair, *, on: date) -> Patterns:
    """The patterns of a pair that `pair_named` read and that works to a prescription. Four queries."""
    return patterns_of_pairs([pair], on=on)[0]


def patterns_of_pairs(pairs: Sequence[Pair], *, on: date) -> list[Patterns]:
    """Those of several pairs, in their order, with the queries of one."""
    day = day_of(on)
    versions = wholes([pair.working_to.uuid for pair in pairs if pair.working_to])
    working = [(pair, versions[pair.working_to.uuid]) for pair in pairs if pair.working_to]
    shoes = shoes_of_versions([version for _, version in working], toe_allowance_mm=day.toe_allowance_mm)
    made = adjustments_of([pair.pk for pair, _ in working])
    return [
        _patterns(pair, version, of_pair, made[pair.pk], day)
        for (pair, version), of_pair in zip(working, shoes, strict=True)
    ]


def adjustments_of(pairs: Collection[int]) -> dict[int, list[PatternAdjustment]]:
    """All adjustments of these pairs, the latest first, with their differences. One query."""
    found: dict[int, list[PatternAdjustment]] = defaultdict(list)
    rows = PatternAdjustment.objects.filter(pair__in=pairs).select_related("by", "taken_back_by", "difference")
    for row in rows.order_by("-pk"):
        found[row.pair_id].append(row)
    return found


def _patterns(
    pair: Pair, version: Prescription, shoes: Mapping[Side, Shoe], made: Sequence[PatternAdjustment], day: Day
) -> Patterns:
    templates = tuple(_template(row) for row in pair.template_rows)  # type: ignore[attr-defined]  # annotated
    standing = holding(made)
    changes = changes_of(standing, own=frozenset((each.side, each.part) for each in templates))
    return Patterns(
        pair=pair,
        version=version,
        shoes=shoes,
        drafted=pieces_of(shoes, day.figures, changes),
        adjustments=tuple(made),
        holding=frozenset(each.pk for each in standing),
        templates=templates,
        day=day,
    )


def _template(row: Mapping[str, str]) -> Template:
    return Template(UUID(row["uuid"]), Side(row["side"]), row["part"], row["template"], row["by"])


def holding(made: Sequence[PatternAdjustment]) -> list[PatternAdjustment]:
    """Of one pair's adjustments, the latest first: those that hold.

    The latest of each figure and point holds until it is taken back, or a clinician has its difference undone.
    """
    latest: dict[tuple[str, str, str], PatternAdjustment] = {}
    for each in made:
        latest.setdefault((each.side, each.piece, each.what), each)
    return [
        each
        for each in latest.values()
        if each.taken_back_at is None and (each.difference is None or each.difference.state != DifferenceState.UNDONE)
    ]


def drafted_with(patterns: Patterns, side: Side, figure: str, mm: float) -> Drafted:
    """What would be cut if a figure of one foot were this, and all else as it is now."""
    prescribed = FIGURE[figure].now(patterns.shoes[side]) or 0.0
    changes = _changes_now(patterns)
    others = tuple(each for each in changes.figures if (each.side, each.figure) != (side, figure))
    tried = replace(changes, figures=(*others, FigureChange(side, figure, prescribed, mm)), own=frozenset())
    return pieces_of(patterns.shoes, patterns.day.figures, tried)


def drafted_without(patterns: Patterns, side: Side, piece: str, point: str) -> Piece | None:
    """A piece of one foot as it is cut with every change but that of one of its points."""
    changes = _changes_now(patterns)
    others = tuple(each for each in changes.shifts if (each.side, each.piece, each.point) != (side, piece, point))
    tried = replace(changes, shifts=others, own=frozenset())
    return pieces_of(patterns.shoes, patterns.day.figures, tried).piece(side, piece)


def _changes_now(patterns: Patterns) -> Changes:
    return changes_of([each for each in patterns.adjustments if each.pk in patterns.holding], own=frozenset())


def changes_of(standing: Sequence[PatternAdjustment], *, own: frozenset[tuple[Side, str]]) -> Changes:
    """Adjustments that hold, as the drafting takes them."""
    return Changes(
        figures=tuple(
            FigureChange(Side(each.side), each.what, float(each.from_mm or 0), float(each.to_mm or 0))
            for each in standing
            if each.kind == AdjustmentKind.FIGURE
        ),
        shifts=tuple(
            PointShift(Side(each.side), each.piece, each.what, float(each.medial_mm or 0), float(each.along_mm or 0))
            for each in standing
            if each.kind == AdjustmentKind.POINT
        ),
        own=own,
    )
