"""Checks before a part is covered, and the differences they find."""

from collections.abc import Sequence
from datetime import datetime

from django.db import transaction
from django.utils import timezone

from cases.bench import queries
from cases.bench.actions.locking import lock_open_pair, lock_pair, refuse_older_version
from cases.bench.actions.replanning import bring_up, difference_words, part_comes_again, plan_again, with_what_stands_on
from cases.bench.actions.ticking import SHORTEST_REASON
from cases.bench.checks_asked import part_words
from cases.bench.models import (
    CheckMoment,
    CoverCheck,
    CoverRequirement,
    Difference,
    DifferenceSource,
    DifferenceState,
    Outcome,
    Pair,
    PairState,
)
from cases.bench.permissions import may_accept_differences
from cases.bench.wording import feet_words, stages_words
from shared.history import acting
from shared.refusals import NotAllowed, Refused
from shared.sides import Side
from workshop.staff.models import Person

MADE_AGAIN = "make it again."


def record_check(
    requirement: CoverRequirement, *, outcome: str, found: str = "", by: Person, at: datetime
) -> CoverCheck:
    """Record the check of one part of one foot. See `record_checks`."""
    return record_checks([requirement], outcome=outcome, found=found, by=by, at=at)[0]


@transaction.atomic
def record_checks(
    requirements: Sequence[CoverRequirement], *, outcome: str, found: str = "", by: Person, at: datetime
) -> list[CoverCheck]:
    """Record checks of one pair in one touch: as prescribed, or what differs.

    A difference is raised and waits for an answer: found at a part check it holds that stage, found later it holds
    the pair before the sole. Raises `Refused` where it was recorded already, is too early or too late, or says nothing.
    """
    if outcome == Outcome.DIFFERS and not found.strip():
        raise Refused("Say what differs.")
    pair, asked = _asked(requirements)
    refuse_older_version(pair)
    _refuse_too_early(asked)
    differs = outcome == Outcome.DIFFERS
    what = f"differs: {found.strip()}" if differs else "as prescribed"
    with acting(
        by=by,
        action="record_checks",
        says=f"{_checks_words(asked)}: {what}.",
        at=at,
        patient=pair.patient.uuid,
        pair=pair.uuid,
    ):
        checks = [
            CoverCheck.objects.create(
                requirement=requirement, outcome=outcome, found=found.strip() if differs else "", by=by, at=at
            )
            for requirement in asked
        ]
        if differs:
            _raise_differences(pair, checks)
    return checks


def _raise_differences(pair: Pair, checks: Sequence[CoverCheck]) -> None:
    for check in checks:
        Difference.objects.create(
            pair=pair,
            side=check.requirement.side,
            part=check.requirement.part,
            source=DifferenceSource.CHECK,
            stage=check.requirement.stage,
            check_found=check,
            found=check.found,
            raised_at=check.at,
            raised_by=check.by,
        )


def _asked(requirements: Sequence[CoverRequirement]) -> tuple[Pair, list[CoverRequirement]]:
    if not requirements:
        raise Refused("Nothing was chosen.")
    pair = lock_open_pair(requirements[0].stage.pair)
    asked = list(
        CoverRequirement.objects.filter(pk__in=[requirement.pk for requirement in requirements], stage__pair=pair)
        .select_related("stage__kind")
        .order_by("side", "pk")
    )
    if len(asked) != len({requirement.pk for requirement in requirements}):
        raise Refused("These checks belong to different pairs.")
    for requirement in asked:
        stage = requirement.stage
        if stage.retired_at:
            raise Refused("This check is no longer asked for. Look at the pair anew.")
        if stage.ticked_at or (stage.begun_at and stage.covers):
            raise Refused(f"{stages_words([stage])}, is done: the part is already covered.")
    standing = (
        CoverCheck.objects.filter(requirement__in=asked, withdrawn_at__isnull=True)
        .select_related("requirement", "by")
        .first()
    )
    if standing is not None:
        when = timezone.localtime(standing.at)
        raise Refused(f"{standing.requirement}: already recorded by {standing.by} at {when:%H:%M}.")
    return pair, asked


def _refuse_too_early(asked: Sequence[CoverRequirement]) -> None:
    """A check made before its part could be in place would be a guess."""
    stages = [requirement.stage_id for requirement in asked]
    edge = queries.unmet_needs_of(stages).select_related("needs__kind").first()
    if edge is not None:
        raise Refused(f"Too early to check: first comes {stages_words([edge.needs])}.")


def _checks_words(asked: Sequence[CoverRequirement]) -> str:
    by_part: dict[tuple[str, str], list[str]] = {}
    for requirement in asked:
        by_part.setdefault((requirement.part, requirement.moment), []).append(requirement.side)
    return "; ".join(
        f"{CheckMoment(moment).label.capitalize()} of {part_words(part)}, {feet_words(sides)}"
        for (part, moment), sides in by_part.items()
    )


@transaction.atomic
def withdraw_check(check: CoverCheck, *, by: Person, at: datetime) -> None:
    """Withdraw a check that was wrong, so that it is made again. A difference that it found is undone with it."""
    pair = lock_open_pair(check.requirement.stage.pair)
    check = CoverCheck.objects.select_related("requirement__stage__kind").get(pk=check.pk)
    requirement, stage = check.requirement, check.requirement.stage
    if check.withdrawn_at:
        raise Refused("This check was already withdrawn.")
    if stage.retired_at or stage.ticked_at or (stage.begun_at and stage.covers):
        raise Refused(f"{stages_words([stage])}, is done: take back its tick first.")
    says = f"Withdrew the {requirement.get_moment_display()} of {part_words(requirement.part)}, "
    says += f"{Side(requirement.side).label}."
    with acting(by=by, action="withdraw_check", says=says, at=at, patient=pair.patient.uuid, pair=pair.uuid):
        CoverCheck.objects.filter(pk=check.pk).update(withdrawn_at=at)
        Difference.objects.filter(check_found=check, state=DifferenceState.OPEN).update(
            state=DifferenceState.UNDONE, settled_by=by, settled_at=at, settled_because="The check was withdrawn."
        )


@transaction.atomic
def settle_difference(difference: Difference, *, state: str, because: str = "", by: Person, at: datetime) -> None:
    """Answer a difference: accepted as built, by a prescriber with a reason; or undone, to be as prescribed.

    Undone means that the check is withdrawn and made again; where the part is closed in, or was made before a new
    version, its stages come again. Raises `NotAllowed` and `Refused`.
    """
    pair = lock_pair(difference.pair)
    difference = Difference.objects.select_related("check_found", "stage").get(pk=difference.pk)
    difference.pair = pair
    if difference.state != DifferenceState.OPEN:
        raise Refused(f"This difference was already settled: {difference.get_state_display()}.")
    if pair.state not in (PairState.OPEN, PairState.FINISHED):
        raise Refused(f"Pair {pair.number} is not on the bench: {pair.get_state_display()}.")
    if state == DifferenceState.ACCEPTED:
        _accept(difference, because=because, by=by, at=at)
    else:
        _undo(difference, because=because.strip() or MADE_AGAIN, by=by, at=at)


def _accept(difference: Difference, *, because: str, by: Person, at: datetime) -> None:
    if not may_accept_differences(by):
        raise NotAllowed("Only a person who may prescribe can accept a difference.")
    if len(because.strip()) < SHORTEST_REASON:
        raise Refused("Say why this difference is accepted.")
    pair = difference.pair
    with acting(
        by=by,
        action="accept_difference",
        says=f"{difference.accepted_as.capitalize()}, {difference_words(difference)}: {difference.found}",
        at=at,
        reason=because,
        patient=pair.patient.uuid,
        pair=pair.uuid,
    ):
        _write(difference, DifferenceState.ACCEPTED, because, by=by, at=at)
        bring_up(pair)


def _undo(difference: Difference, *, because: str, by: Person, at: datetime) -> None:
    pair, check, stage = difference.pair, difference.check_found, difference.stage
    closed = stage.ticked_at is not None or (stage.begun_at is not None and bool(stage.covers))
    says = f"To be as prescribed, {difference_words(difference)}: {because}"
    with acting(by=by, action="undo_difference", says=says, at=at, patient=pair.patient.uuid, pair=pair.uuid):
        _write(difference, DifferenceState.UNDONE, because, by=by, at=at)
        if check is None or closed:
            live = queries.live_stages(pair)
            wanted = with_what_stands_on(pair, live, part_comes_again(difference, live))
            if wanted:
                plan_again(pair, live=live, wanted=wanted, by=by, at=at)
            else:
                bring_up(pair)
        else:
            CoverCheck.objects.filter(pk=check.pk).update(withdrawn_at=at)


def _write(difference: Difference, state: DifferenceState, because: str, *, by: Person, at: datetime) -> None:
    difference.state = state
    difference.settled_by, difference.settled_at, difference.settled_because = by, at, because.strip()
    difference.save(update_fields=["state", "settled_by", "settled_at", "settled_because"])
