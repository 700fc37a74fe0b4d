"""Stages come again.

What comes again is a new round of the stage: the earlier one is retired with its checks, and both stay on record.
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from datetime import datetime

from django.db import transaction
from django.utils import timezone

from cases.bench import queries
from cases.bench.actions.locking import lock_pair
from cases.bench.actions.planning import FootPlan, Place, foot_plans, plan, write_stages
from cases.bench.checks_asked import Lines, checks_asked, part_words
from cases.bench.models import Difference, DifferenceSource, DifferenceState, Pair, PairState, Stage
from cases.bench.route import PlannedStage
from cases.bench.stage_table import ROWS, TABLE
from cases.bench.wording import stages_words
from cases.prescriptions import queries as prescriptions
from cases.prescriptions.models import Prescription
from shared.history import acting
from shared.refusals import Refused
from shared.sides import Side
from workshop.staff.models import Person

LAST_ALTERED = "alter-last"
"""Altering a last does not undo the uppers by itself: who says so names them."""
LAST_AGAIN: tuple[str, ...] = (LAST_ALTERED, "last-backs", "shell-check")
"""The last is altered and the uppers are lasted on it again."""
MAKE_AGAIN: tuple[str, ...] = tuple(row.key for row in TABLE if "new" in row.works and row.key != "gather")
"""Everything is made again on a new last."""


@transaction.atomic
def come_again(pair: Pair, *, stage_kinds: Collection[str], sides: Collection[str], by: Person, at: datetime) -> None:
    """Let stages of these kinds come again on these feet, and with them every done stage that stands on them.

    Their checks come again with the values of the version the pair is built to. Raises `Refused` where none is live.
    """
    pair = lock_pair(pair)
    if pair.state not in (PairState.OPEN, PairState.FINISHED):
        raise Refused(f"Pair {pair.number} is not on the bench: {pair.get_state_display()}.")
    live = queries.live_stages(pair)
    wanted = with_what_stands_on(pair, live, [place for place in live if place[0] in sides and place[1] in stage_kinds])
    if not wanted:
        raise Refused("None of these stages is part of this pair's route.")
    says = f"Comes again: {stages_words([live[place] for place in wanted])}."
    with acting(by=by, action="come_again", says=says, at=at, patient=pair.patient.uuid, pair=pair.uuid):
        plan_again(pair, live=live, wanted=wanted, by=by, at=at)


def with_what_stands_on(pair: Pair, live: Mapping[Place, Stage], places: Iterable[Place]) -> set[Place]:
    """These stages, and all that are begun or done after them on the same foot."""
    edges = queries.edges_forward(pair)
    by_pk = {stage.pk: place for place, stage in live.items()}
    wanted = set(places)
    waiting = [live[place].pk for place in wanted if place[1] != LAST_ALTERED]
    while waiting:
        for later in edges.get(waiting.pop(), ()):
            place = by_pk.get(later)
            if place is None or place in wanted:
                continue
            if live[place].ticked_at or live[place].begun_at:
                wanted.add(place)
                waiting.append(later)
    return wanted


def plan_again(pair: Pair, *, live: Mapping[Place, Stage], wanted: Collection[Place], by: Person, at: datetime) -> None:
    """Inside a deed: plan the pair anew, `wanted` stages in a new round, and retire what they replace."""
    if pair.state == PairState.FINISHED:
        pair.state, pair.finished_at = PairState.OPEN, None
        pair.save(update_fields=["state", "finished_at"])
    leaving = {live[place].pk for place in wanted}
    _settle_what_is_made_again(pair, leaving, by=by, at=at)
    if pair.working_to is None:
        feet, construction = _repair_plans(pair, live), ""
    else:
        version = prescriptions.whole(pair.working_to.uuid)
        feet = as_built(pair, plans_of(version, live), leaving=leaving)
        construction = version.construction
    today = timezone.localdate(at)
    table = queries.workshop_table(on=today)
    planned = plan(pair, feet, construction=construction, table=table)
    asked = queries.checks_asked_of(pair)
    stale = {
        place
        for place, stage in live.items()
        if place in planned
        and (place in wanted or (is_untouched(stage) and _differs(stage, planned[place], asked, feet)))
    }
    gone = {place for place, stage in live.items() if place not in planned and stage.asked_by_id != pair.working_to_id}
    stays = {place: stage for place, stage in live.items() if place not in stale | gone}
    fresh = (planned.keys() - live.keys()) | stale
    write_stages(pair, planned, fresh=fresh, live=stays, feet=feet, on=today)
    Stage.objects.filter(pk__in=[live[place].pk for place in stale | gone]).update(retired_at=at)
    bring_up(pair)


def is_untouched(stage: Stage) -> bool:
    return stage.ticked_at is None and stage.begun_at is None


def _differs(
    stage: Stage, planned: PlannedStage, asked: Mapping[int, set[tuple[str, str, Lines]]], feet: Iterable[FootPlan]
) -> bool:
    words = next(foot.words for foot in feet if foot.side == stage.side)
    wanted = {(check.part, check.moment, check.prescribed) for check in checks_asked(planned.checks, words)}
    return set(stage.covers) != set(planned.covers) or asked.get(stage.pk, set()) != wanted


def plans_of(version: Prescription, live: Mapping[Place, Stage]) -> tuple[FootPlan, ...]:
    """What the version asks for, with the rough fitting where the pair's route has one."""
    return foot_plans(version, rough_fitting=any(key == "rough-fitting" for _, key in live))


def _repair_plans(pair: Pair, live: Mapping[Place, Stage]) -> tuple[FootPlan, ...]:
    """A repair has no prescription: its route is read back from the stages that it has."""
    asked = queries.checks_asked_of(pair)
    plans = []
    for side in sorted({side for side, _ in live}):
        of_foot = {key: stage for (foot, key), stage in live.items() if foot == side}
        words = {part: lines for stage in of_foot.values() for part, _, lines in asked.get(stage.pk, set())}
        jobs = frozenset(feature for key in of_foot for feature in ROWS[key].only_with if len(ROWS[key].only_with) == 1)
        plans.append(FootPlan(side=side, words=words, features=jobs))
    return tuple(plans)


def as_built(pair: Pair, feet: Iterable[FootPlan], *, leaving: Collection[int]) -> tuple[FootPlan, ...]:
    """What each foot asks for, but for parts that were made before this version and stay: those as they are built."""
    held = queries.built_before_the_version(pair)
    plans = []
    for foot in feet:
        words = dict(foot.words)
        for (side, part), differences in held.items():
            standing = [difference for difference in differences if difference.stage_id not in leaving]
            if side != foot.side or not standing:
                continue
            built = standing[0].built
            if built is None:
                words.pop(part, None)
            else:
                words[part] = tuple((label, value) for label, value in built)
        plans.append(replace(foot, words=words))
    return tuple(plans)


def bring_up(pair: Pair) -> None:
    """Inside a deed: say of every live stage that it answers to the version the pair is built to.

    A stage that makes or covers a part whose difference from that version is open waits for the answer.
    """
    waiting = Difference.objects.filter(
        pair=pair, source=DifferenceSource.NEW_VERSION, state=DifferenceState.OPEN
    ).values_list("side", "part")
    open_parts: dict[str, set[str]] = {}
    for side, part in waiting:
        open_parts.setdefault(side, set()).add(part)
    behind = [
        stage.pk
        for (side, key), stage in queries.live_stages(pair).items()
        if stage.asked_by_id != pair.working_to_id and not (ROWS[key].touches & open_parts.get(side, set()))
    ]
    Stage.objects.filter(pk__in=behind).update(asked_by=pair.working_to)


def _settle_what_is_made_again(pair: Pair, leaving: Collection[int], *, by: Person, at: datetime) -> None:
    Difference.objects.filter(pair=pair, stage__in=leaving, state=DifferenceState.OPEN).update(
        state=DifferenceState.UNDONE, settled_by=by, settled_at=at, settled_because="Made again: the stage comes again."
    )


def part_comes_again(difference: Difference, live: Mapping[Place, Stage]) -> list[Place]:
    """The stages that make, check or cover the part of a difference, on its foot.

    By an adjusted pattern nothing may be cut yet: then only the stages that somebody began.
    """
    places = [place for place in live if place[0] == difference.side and difference.part in ROWS[place[1]].touches]
    if difference.source == DifferenceSource.PATTERN:
        return [place for place in places if not is_untouched(live[place])]
    return places


def difference_words(difference: Difference) -> str:
    """LEFT stiffener: what differs."""
    return f"{Side(difference.side).label} {part_words(difference.part)}"
