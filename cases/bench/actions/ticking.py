"""Ticks: a stage is begun, done, or was not done after all."""

from collections.abc import Iterable, Sequence
from datetime import datetime

from django.db import transaction
from django.db.models import Case, DateTimeField, Exists, OuterRef, Value, When
from django.db.models.functions import Cast
from django.utils import timezone

from cases.bench import queries
from cases.bench.actions.altering import refuse_unaltered
from cases.bench.actions.final import refuse_unlooked
from cases.bench.actions.locking import lock_open_pair, lock_pair, refuse_older_version
from cases.bench.models import (
    CoverCheck,
    CoverRequirement,
    DifferenceState,
    Outcome,
    Pair,
    PairState,
    Stage,
    StageAfter,
)
from cases.bench.queries.waits import waits_words
from cases.bench.wording import stages_words
from cases.diary.actions import ask_for_call
from cases.diary.models import VisitKind
from shared.history import acting
from shared.refusals import Refused
from workshop.staff.models import Person

SHORTEST_REASON = 3
READY_FOR = {"trial-shoe": "ready for its trial shoe", "rough-fitting": "lasted: rough fitting"}
"""Stages at which the client is asked to come, by their key: a kind of visit has the same one."""


class AlreadyTicked(Refused):
    """Somebody ticked this first. Says who and when."""


class StillDrying(Refused):
    """What came before is not dry, set or cured by the hours. `felt_dry` goes on all the same."""


def tick_stages(
    pair: Pair,
    *,
    stages: Sequence[Stage],
    by: Person,
    at: datetime,
    done_at: datetime | None = None,
    felt_dry: bool = False,
) -> None:
    """Tick stages of one pair, all or none; `done_at` where it was done earlier than it is entered.

    Raises `AlreadyTicked` with who and when, `StillDrying` unless `felt_dry`, and `Refused` where a stage that comes
    before is not done, a check is not made, a difference is open, a last that was to be altered again was not, or the
    pair is built to an older version.
    """
    _tick(pair, stages=stages, by=by, at=at, done_at=done_at, felt_dry=felt_dry, at_a_visit=False)


@transaction.atomic
def tick_by_visit(pair: Pair, *, stage_kind: str, by: Person, at: datetime) -> None:
    """Tick what is done at a visit, on every foot where it waits. Where the route has no such stage, do nothing."""
    stages = Stage.objects.filter(
        pair=pair, kind__key=stage_kind, retired_at__isnull=True, ticked_at__isnull=True
    ).select_related("kind")
    if stages:
        _tick(pair, stages=list(stages), by=by, at=at, done_at=None, felt_dry=True, at_a_visit=True)


@transaction.atomic
def _tick(
    pair: Pair,
    *,
    stages: Sequence[Stage],
    by: Person,
    at: datetime,
    done_at: datetime | None,
    felt_dry: bool,
    at_a_visit: bool,
) -> None:
    done = done_at or at
    if done > at:
        raise Refused("A stage cannot be done later than now.")
    pair = lock_open_pair(pair)
    rows = _as_they_stand(pair, stages)
    _refuse_ticked(rows)
    refuse_older_version(pair)
    _refuse_unanswered(pair, rows)
    if not at_a_visit and any(row.kind.by_visit for row in rows):
        raise Refused("This stage is done with the client, at a visit.")
    together = {row.pk for row in rows}
    edges = list(StageAfter.objects.filter(stage__in=together).select_related("needs__kind", "stage"))
    _refuse_out_of_order(edges, together)
    _refuse_unchecked(rows)
    refuse_unaltered(rows)
    refuse_unlooked(pair, rows, on=timezone.localdate(done))
    waits = queries.waits_before(edges, done)
    if waits and not felt_dry:
        raise StillDrying(f"{waits_words(waits, now=done)}.")
    says = f"Ticked {stages_words(rows)}." + (f" Not waited for: {waits_words(waits, now=done)}." if waits else "")
    with acting(by=by, action="tick_stages", says=says, at=done, patient=pair.patient.uuid, pair=pair.uuid):
        if waits:
            felt = [wait.stage.pk for wait in waits if wait.is_drying]
            Stage.objects.filter(pk__in=felt, felt_dry_at__isnull=True).update(felt_dry_at=done)
        _write_ticks(rows, by=by, done=done)
        finished = _finish_if_all_done(pair, at=done)
    _ask_for_visits(pair, finished=finished, by=by, at=at)


def _as_they_stand(pair: Pair, stages: Sequence[Stage]) -> list[Stage]:
    if not stages:
        raise Refused("Nothing was chosen.")
    asked = {stage.pk for stage in stages}
    rows = list(Stage.objects.filter(pk__in=asked, pair=pair).select_related("kind", "ticked_by"))
    if len(rows) != len(asked):
        raise Refused("These stages belong to different pairs.")
    if any(row.retired_at for row in rows):
        raise Refused("This stage was planned again. Look at the pair anew.")
    return rows


def _refuse_ticked(rows: Sequence[Stage]) -> None:
    ticked = [row for row in rows if row.ticked_at]
    if ticked:
        first = ticked[0]
        when = timezone.localtime(first.ticked_at)
        raise AlreadyTicked(
            f"{stages_words(ticked)}, was already ticked by {first.ticked_by}, "
            f"{when:%a} {when.day} {when:%b} at {when:%H:%M}."
        )


def _refuse_unanswered(pair: Pair, rows: Sequence[Stage]) -> None:
    """A stage that a new version touches waits until a clinician, or the bench, has answered what was made before."""
    behind = [row for row in rows if row.asked_by_id != pair.working_to_id]
    if behind:
        raise Refused(f"{stages_words(behind)}: what the new version changed waits for an answer.")


def _refuse_out_of_order(edges: Iterable[StageAfter], together: set[int]) -> None:
    missing = [edge.needs for edge in edges if not _is_met(edge) and edge.needs_id not in together]
    if missing:
        raise Refused(f"First comes {stages_words(missing)}.")


def _is_met(edge: StageAfter) -> bool:
    needed = edge.needs
    begun = edge.started_is_enough and needed.begun_at is not None
    return needed.retired_at is not None or needed.ticked_at is not None or begun


def _refuse_unchecked(rows: Sequence[Stage]) -> None:
    stands = CoverCheck.objects.filter(requirement=OuterRef("pk"), withdrawn_at__isnull=True)
    asked = CoverRequirement.objects.filter(stage__in=[row.pk for row in rows])
    missing = list(asked.filter(~Exists(stands)))
    if missing:
        words = "; ".join(str(requirement) for requirement in missing)
        raise Refused(f"Not yet checked: {words}.")
    differing = CoverCheck.objects.filter(
        requirement__in=asked, withdrawn_at__isnull=True, outcome=Outcome.DIFFERS
    ).select_related("requirement", "difference")
    for check in differing:
        state = check.difference.state
        if state == DifferenceState.UNDONE or (state == DifferenceState.OPEN and check.requirement.moment == "part"):
            raise Refused(f"A difference waits for an answer: {check.requirement}: {check.found}")


def _write_ticks(rows: Sequence[Stage], *, by: Person, done: datetime) -> None:
    """One statement for each kind of stage, both feet in it, in the order of the route."""
    factor = queries.season_factor(on=timezone.localdate(done))
    for order in sorted({row.order for row in rows}):
        of_kind = [row for row in rows if row.order == order]
        dry = {row.pk: done + queries.hours(row.hours_after * factor) for row in of_kind if row.hours_after}
        dry_at = Cast(Case(*(When(pk=pk, then=Value(until)) for pk, until in dry.items())), DateTimeField())
        waiting = Stage.objects.filter(pk__in=[row.pk for row in of_kind], ticked_at__isnull=True)
        waiting.update(ticked_at=done, ticked_by=by, dry_at=dry_at if dry else None, felt_dry_at=None)


def _finish_if_all_done(pair: Pair, *, at: datetime) -> bool:
    """Inside a deed: the pair is finished where nothing is left to do."""
    if Stage.objects.filter(pair=pair, retired_at__isnull=True, ticked_at__isnull=True).exists():
        return False
    pair.state = PairState.FINISHED
    pair.finished_at = at
    pair.save(update_fields=["state", "finished_at"])
    return True


def _ask_for_visits(pair: Pair, *, finished: bool, by: Person, at: datetime) -> None:
    """Put the client on the to-call list when the pair is finished, or ready to be tried on."""
    if finished:
        key, why = "final-fitting", f"Pair {pair.number} is finished: final fitting"
    else:
        waiting = queries.next_stages().filter(pair=pair, kind__key__in=READY_FOR).values_list("kind__key", flat=True)
        key = waiting.order_by("order").first() or ""
        if not key:
            return
        why = f"Pair {pair.number} is {READY_FOR[key]}"
    ask_for_call(
        patient=pair.patient,
        why=why,
        kind=VisitKind.objects.get(key=key),
        due_on=timezone.localdate(at),
        about_uuid=pair.uuid,
        by=by,
        at=at,
    )


@transaction.atomic
def begin_stages(pair: Pair, *, stages: Sequence[Stage], by: Person, at: datetime) -> None:
    """Note that work on stages has begun. A stage that covers a part begins only when its checks are made."""
    pair = lock_open_pair(pair)
    rows = _as_they_stand(pair, stages)
    _refuse_ticked(rows)
    refuse_older_version(pair)
    _refuse_unanswered(pair, rows)
    if any(row.begun_at for row in rows):
        raise Refused(f"{stages_words(rows)}, was already begun.")
    edges = StageAfter.objects.filter(stage__in=[row.pk for row in rows]).select_related("needs__kind")
    _refuse_out_of_order(edges, set())
    _refuse_unchecked([row for row in rows if row.covers])
    with acting(
        by=by,
        action="begin_stages",
        says=f"Began {stages_words(rows)}.",
        at=at,
        patient=pair.patient.uuid,
        pair=pair.uuid,
    ):
        Stage.objects.filter(pk__in=[row.pk for row in rows]).update(begun_at=at)


@transaction.atomic
def take_back_ticks(pair: Pair, *, stages: Sequence[Stage], reason: str, by: Person, at: datetime) -> None:
    """Take back ticks, or beginnings, that were wrong. Raises `Refused` without a reason or under a later tick."""
    if len(reason.strip()) < SHORTEST_REASON:
        raise Refused("Say in a few words why the tick is taken back.")
    pair = lock_pair(pair)
    rows = _as_they_stand(pair, stages)
    if not all(row.ticked_at or row.begun_at for row in rows):
        raise Refused(f"{stages_words(rows)}, is not ticked.")
    later = StageAfter.objects.filter(
        needs__in=[row.pk for row in rows], stage__retired_at__isnull=True, stage__ticked_at__isnull=False
    ).exclude(stage__in=[row.pk for row in rows])
    leaning = [edge.stage for edge in later.select_related("stage__kind")]
    if leaning:
        raise Refused(f"Take back first what comes after it: {stages_words(leaning)}.")
    with acting(
        by=by,
        action="take_back_ticks",
        says=f"Took back {stages_words(rows)}: {reason.strip()}",
        at=at,
        reason=reason,
        patient=pair.patient.uuid,
        pair=pair.uuid,
    ):
        if pair.state == PairState.FINISHED:
            pair.state, pair.finished_at = PairState.OPEN, None
            pair.save(update_fields=["state", "finished_at"])
        for order in sorted({row.order for row in rows}, reverse=True):
            Stage.objects.filter(pk__in=[row.pk for row in rows if row.order == order]).update(
                ticked_at=None, ticked_by=None, begun_at=None, dry_at=None, felt_dry_at=None
            )
