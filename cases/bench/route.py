"""The route: the stages that each foot of a pair needs, in which order, what they cover and which checks they wait for.

Pure: it is given what a pair needs and a table of stages, and gives back a plan.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from cases.bench.stage_table import HIDDEN_PARTS, PLACED, TABLE, StageRow


@dataclass(frozen=True)
class FootNeeds:
    """What one shoe must have: keys of the parts prescribed for it, and features that change its stages."""

    side: str
    parts: frozenset[str]
    features: frozenset[str] = frozenset()


@dataclass(frozen=True)
class RouteNeeds:
    """What decides a route. `work` is new, repeat, adaptation or repair; `construction` empty for a repair."""

    work: str
    construction: str
    feet: tuple[FootNeeds, ...]


@dataclass(frozen=True)
class PlannedEdge:
    """A stage of the same foot that comes before. `hours_between` count from its tick."""

    needs: str
    started_is_enough: bool
    hours_between: Decimal


@dataclass(frozen=True)
class PlannedStage:
    """One stage of one foot. `minutes` are of work on this shoe, `hours_after` elapsed; checks are (part, moment)."""

    side: str
    key: str
    order: int
    minutes: int
    hours_after: Decimal
    edges: tuple[PlannedEdge, ...]
    covers: tuple[str, ...]
    checks: tuple[tuple[str, str], ...]
    held_by_differences: bool


class UnknownPart(ValueError):
    """A closed-in part is prescribed that no stage of this kind of work would cover."""


def plan_route(needs: RouteNeeds, table: Sequence[StageRow] = TABLE) -> tuple[PlannedStage, ...]:
    """The stages of each foot, in the order of the table, LEFT before RIGHT at each.

    A stage that is not asked for is left out; what waited for it waits for what came before it. Raises `UnknownPart`
    where a part would be closed in without any stage that says so.
    """
    planned = [stage for foot in needs.feet for stage in _foot_route(needs, foot, table)]
    return tuple(sorted(planned, key=lambda stage: (stage.order, stage.side)))


def _foot_route(needs: RouteNeeds, foot: FootNeeds, table: Sequence[StageRow]) -> list[PlannedStage]:
    features = foot.parts | foot.features | {needs.construction, needs.work}
    asked = {row.key: row for row in table if is_asked(row, work=needs.work, features=features)}
    rows = {row.key: row for row in table}
    planned = [
        PlannedStage(
            side=foot.side,
            key=row.key,
            order=order,
            minutes=minutes_of(row, features),
            hours_after=hours_of(row, features),
            edges=_edges(row, asked, rows),
            covers=tuple(part for part in row.covers if part in foot.parts),
            checks=tuple((part, moment) for part, moment in row.checks if part in foot.parts),
            held_by_differences=row.held_by_differences,
        )
        for order, row in enumerate(table, start=1)
        if row.key in asked
    ]
    _refuse_uncovered(needs, foot, planned)
    return planned


def is_asked(row: StageRow, *, work: str, features: frozenset[str]) -> bool:
    """True where this kind of work on a shoe with these features has this stage."""
    return (
        work in row.works and (not row.only_with or bool(row.only_with & features)) and not (row.never_with & features)
    )


def minutes_of(row: StageRow, features: frozenset[str]) -> int:
    """Minutes of work on one shoe: half of the pair's, unless the table counts each shoe."""
    minutes = next((value for feature, value in row.replaced_minutes if feature in features), row.minutes)
    minutes += sum(value for feature, value in row.added_minutes if feature in features)
    return minutes if row.per_shoe else (minutes + 1) // 2


def hours_of(row: StageRow, features: frozenset[str]) -> Decimal:
    """Hours that pass after the stage before the shoe is dry, set or cured."""
    return next((value for feature, value in row.replaced_hours if feature in features), row.hours_after)


def _edges(row: StageRow, asked: Mapping[str, StageRow], rows: Mapping[str, StageRow]) -> tuple[PlannedEdge, ...]:
    found: dict[str, PlannedEdge] = {}
    for edge in _resolved(row, asked, rows):
        before = found.get(edge.needs)
        if before is not None:
            edge = PlannedEdge(  # noqa: PLW2901  # the stricter of two ways to the same stage
                needs=edge.needs,
                started_is_enough=edge.started_is_enough and before.started_is_enough,
                hours_between=max(edge.hours_between, before.hours_between),
            )
        found[edge.needs] = edge
    return tuple(found.values())


def _resolved(row: StageRow, asked: Mapping[str, StageRow], rows: Mapping[str, StageRow]) -> Iterable[PlannedEdge]:
    for need in row.needs:
        if need.key in asked:
            yield PlannedEdge(need.key, need.started_is_enough, need.hours_between)
            continue
        for edge in _resolved(rows[need.key], asked, rows):
            yield PlannedEdge(edge.needs, edge.started_is_enough, max(edge.hours_between, need.hours_between))


def _refuse_uncovered(needs: RouteNeeds, foot: FootNeeds, planned: Sequence[PlannedStage]) -> None:
    covered = {part for stage in planned for part in stage.covers if (part, PLACED) in stage.checks}
    forgotten = (foot.parts & HIDDEN_PARTS) - covered
    if forgotten:
        raise UnknownPart(f"No stage of this {needs.work} covers {', '.join(sorted(forgotten))}.")
