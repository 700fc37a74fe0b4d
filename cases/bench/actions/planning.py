"""From a prescription to the rows of a route: what each foot needs, and the stages, edges and checks that follow.

Everything here runs inside the caller's deed, with the pair locked.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from cases.bench import queries
from cases.bench.checks_asked import Lines, checks_asked
from cases.bench.measured import KnownFigure, figures_asked
from cases.bench.models import CoverRequirement, Pair, Stage, StageAfter, StageKind
from cases.bench.route import FootNeeds, PlannedEdge, PlannedStage, RouteNeeds, UnknownPart, plan_route
from cases.bench.stage_table import HIDDEN_PARTS, StageRow
from cases.prescriptions.described import FootInWords, describe
from cases.prescriptions.models import Foot, Insole, Prescription, Stiffener, ToePuff, Upper
from cases.prescriptions.models.visible import Height
from shared.refusals import Refused

Place = tuple[str, str]
"""A foot and the key of a stage."""

NOT_A_PART = frozenset({"remarks"})
NOTHING_TO_CLOSE_IN = frozenset({"forepart"})
"""What is asked of the shoe as a whole and lies in no place of its own."""
NONE_OF_IT = ("kind", "none")
STATE_OF_THE_LAST = ("last", "state")
"""A last altered on the way is agreed on the rack; it makes no other shoe of this one."""


@dataclass(frozen=True)
class FootPlan:
    """What one shoe must have: the lines of each of its parts, and the features that change its stages."""

    side: str
    words: Mapping[str, Lines]
    features: frozenset[str]

    def needs(self) -> FootNeeds:
        return FootNeeds(side=self.side, parts=frozenset(self.words), features=self.features)


def foot_plans(prescription: Prescription, *, rough_fitting: bool) -> tuple[FootPlan, ...]:
    """What each foot of a wholly loaded prescription asks for. Raises `UnknownPart`."""
    feet = {foot.side: foot for foot in prescription.foot_set.all()}
    return tuple(
        FootPlan(
            side=words.side,
            words=words_of_parts(words),
            features=_features(feet[words.side], rough_fitting=rough_fitting)
            | (frozenset({"trial shoe"}) if prescription.trial_shoe else frozenset()),
        )
        for words in describe(prescription)
    )


def words_of_parts(foot: FootInWords) -> dict[str, Lines]:
    """The lines of every part that this foot's shoe has, by key; a part prescribed as none is not there."""
    unknown = {part.part for part in foot.closed_in} - HIDDEN_PARTS - NOT_A_PART - NOTHING_TO_CLOSE_IN
    if unknown:
        raise UnknownPart(f"No stage closes in {', '.join(sorted(unknown))}.")
    return {
        part.part: tuple(line for line in part.lines if (part.part, line[0]) != STATE_OF_THE_LAST)
        for part in foot.parts
        if part.part not in NOT_A_PART and part.lines and part.lines[0] != NONE_OF_IT
    }


def _features(foot: Foot, *, rough_fitting: bool) -> frozenset[str]:
    upper, insole = foot.one("upper", Upper), foot.one("insole", Insole)
    stiffener, puff = foot.one("stiffener", Stiffener), foot.one("toe_puff", ToePuff)
    has_stiffener = stiffener is not None and stiffener.is_there
    thermoplastic = stiffener is not None and "thermoplastic" in stiffener.material.lower()
    leather_puff = puff is not None and puff.kind != "none" and "thermoplastic" not in puff.material.lower()
    flags = {
        "boot": upper is not None and upper.height in (Height.ANKLE_BOOT, Height.HIGH_BOOT),
        "new last": foot.last is not None and foot.last.origin == "made",
        "blocked insole": insole is not None and insole.blocked,
        "rear doubled": insole is not None and insole.rear_doubled_mm is not None,
        "thermoplastic stiffener": has_stiffener and thermoplastic,
        "wet leather": (has_stiffener and not thermoplastic) or leather_puff,
        "rough fitting": rough_fitting,
    }
    return frozenset(name for name, holds in flags.items() if holds)


def plan(
    pair: Pair, feet: Iterable[FootPlan], *, construction: str, table: tuple[StageRow, ...]
) -> dict[Place, PlannedStage]:
    """The route of these feet by foot and stage. A part that no stage would cover is refused in words."""
    needs = RouteNeeds(work=pair.kind, construction=construction, feet=tuple(foot.needs() for foot in feet))
    try:
        planned = plan_route(needs, table)
    except UnknownPart as error:
        raise Refused(str(error)) from error
    return {(stage.side, stage.key): stage for stage in planned}


def write_stages(
    pair: Pair,
    planned: Mapping[Place, PlannedStage],
    *,
    fresh: Collection[Place],
    live: Mapping[Place, Stage],
    feet: Iterable[FootPlan],
    on: date,
) -> dict[Place, Stage]:
    """Write the fresh stages of a plan with their checks, and draw every edge that a fresh stage has.

    `live` are the stages that stay; what is measured blind goes by the workshop's settings `on` a day. Gives all stages
    of the plan as they now stand.
    """
    settings = queries.measuring(on=on)
    kinds = {kind.key: kind for kind in StageKind.objects.all()}
    rounds = queries.latest_rounds(pair)
    made = Stage.objects.bulk_create(
        _stage(pair, planned[place], kinds[place[1]], rounds.get(place, 0) + 1) for place in planned if place in fresh
    )
    stands = {**live, **dict(zip([place for place in planned if place in fresh], made, strict=True))}
    words = {foot.side: foot.words for foot in feet}
    CoverRequirement.objects.bulk_create(
        requirement
        for place in planned
        if place in fresh
        for requirement in _requirements(stands[place], planned[place], words[place[0]], settings)
    )
    StageAfter.objects.bulk_create(
        StageAfter(
            stage=stands[place],
            needs=stands[(place[0], edge.needs)],
            started_is_enough=edge.started_is_enough,
            hours_between=edge.hours_between,
        )
        for place in planned
        for edge in _edges_to_draw(planned, place, fresh)
    )
    return stands


def _requirements(
    stage: Stage, planned: PlannedStage, words: Mapping[str, Lines], settings: Mapping[str, KnownFigure]
) -> list[CoverRequirement]:
    return [
        CoverRequirement(
            stage=stage,
            side=stage.side,
            part=asked.part,
            moment=asked.moment,
            prescribed=[list(line) for line in asked.prescribed],
            measured=[
                figure.row for figure in figures_asked(asked.part, asked.moment, asked.prescribed, settings=settings)
            ],
        )
        for asked in checks_asked(planned.checks, words)
    ]


def _edges_to_draw(planned: Mapping[Place, PlannedStage], place: Place, fresh: Collection[Place]) -> list[PlannedEdge]:
    """Edges with a fresh stage at either end; and from a fresh stage past what stays done to the fresh one behind it."""
    side = place[0]
    direct = [edge for edge in planned[place].edges if place in fresh or (side, edge.needs) in fresh]
    if place not in fresh:
        return direct
    drawn = {edge.needs: edge for edge in direct}
    waiting = [edge.needs for edge in direct if (side, edge.needs) not in fresh]
    seen = set(waiting)
    while waiting:
        for edge in planned[(side, waiting.pop())].edges:
            if (side, edge.needs) in fresh:
                drawn.setdefault(edge.needs, PlannedEdge(edge.needs, started_is_enough=False, hours_between=Decimal(0)))
            elif edge.needs not in seen:
                seen.add(edge.needs)
                waiting.append(edge.needs)
    return list(drawn.values())


def _stage(pair: Pair, planned: PlannedStage, kind: StageKind, round_: int) -> Stage:
    return Stage(
        pair=pair,
        kind=kind,
        side=planned.side,
        round=round_,
        order=planned.order,
        covers=list(planned.covers),
        held_by_differences=planned.held_by_differences,
        minutes=planned.minutes,
        hours_after=planned.hours_after,
        asked_by_id=pair.working_to_id,
    )
