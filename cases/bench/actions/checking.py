"""Checks before a part is covered, and the differences they find."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from cases.bench import queries
from cases.bench.actions.locking import lock_open_pair, lock_pair, refuse_older_version
from cases.bench.actions.replanning import bring_up, difference_words, part_comes_again, plan_again, with_what_stands_on
from cases.bench.actions.ticking import SHORTEST_REASON
from cases.bench.checks_asked import part_words
from cases.bench.measured import AskedFigure, as_kept
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


@dataclass(frozen=True)
class Found:
    """What a maker found at one check. `differs` says what differs, or nothing; `measured` is by the label of its line."""

    requirement: CoverRequirement
    differs: str = ""
    measured: Mapping[str, Decimal] = field(default_factory=dict)


def record_check(
    requirement: CoverRequirement, *, outcome: str, found: str = "", by: Person, at: datetime
) -> CoverCheck:
    """Record the check of one part of one foot. See `record_checks`."""
    return record_checks([requirement], outcome=outcome, found=found, by=by, at=at)[0]


def record_checks(
    requirements: Sequence[CoverRequirement], *, outcome: str, found: str = "", by: Person, at: datetime
) -> list[CoverCheck]:
    """Record checks of one pair in one touch: as prescribed, or what differs. See `record_found`."""
    differs = found.strip() if outcome == Outcome.DIFFERS else ""
    if outcome == Outcome.DIFFERS and not differs:
        raise Refused("Say what differs.")
    return record_found([Found(requirement, differs) for requirement in requirements], by=by, at=at)


@transaction.atomic
def record_found(found: Sequence[Found], *, by: Person, at: datetime) -> list[CoverCheck]:
    """Record checks of one pair: each as prescribed, unless words or a figure beyond its tolerance say what differs.

    A difference is raised and waits for an answer: found at a part check it holds that stage, found later it holds
    the pair before the sole. Raises `Refused` where it was recorded already, is too early or too late, or a figure that
    is to be measured is missing.
    """
    pair, asked = _asked([each.requirement for each in found])
    refuse_older_version(pair)
    _refuse_too_early(asked)
    made_of = {each.requirement.pk: each for each in found}
    checks = [_check_of(requirement, made_of[requirement.pk], by=by, at=at) for requirement in asked]
    with acting(
        by=by,
        action="record_checks",
        says=_says(checks, measured_before=_measured_before(asked)),
        at=at,
        patient=pair.patient.uuid,
        pair=pair.uuid,
    ):
        for check in checks:
            check.save(force_insert=True)
        _raise_differences(pair, [check for check in checks if check.outcome == Outcome.DIFFERS])
    return checks


def _check_of(requirement: CoverRequirement, found: Found, *, by: Person, at: datetime) -> CoverCheck:
    figures = [AskedFigure.of(row) for row in requirement.measured]
    missing = [figure.label for figure in figures if figure.label not in found.measured]
    if missing:
        foot = f"{Side(requirement.side).label} {part_words(requirement.part)}"
        raise Refused(f"{foot}: measure first and key the {' and the '.join(missing)}.")
    measured = {figure.label: found.measured[figure.label] for figure in figures}
    off = [figure for figure in figures if not figure.holds(measured[figure.label])]
    beyond = [figure.beside_prescribed(measured[figure.label]) for figure in off]
    words = "; ".join(said for said in (*beyond, found.differs.strip()) if said)
    return CoverCheck(
        requirement=requirement,
        outcome=Outcome.DIFFERS if words else Outcome.AS_PRESCRIBED,
        found=words,
        measured=as_kept(measured),
        by=by,
        at=at,
    )


def _measured_before(asked: Sequence[CoverRequirement]) -> set[int]:
    """Checks that were withdrawn with their figures: whoever measures again has seen what is prescribed."""
    withdrawn = CoverCheck.objects.filter(requirement__in=asked, withdrawn_at__isnull=False)
    return set(withdrawn.exclude(measured={}).values_list("requirement_id", flat=True))


def _says(checks: Sequence[CoverCheck], *, measured_before: Collection[int]) -> str:
    """The sentence of the story: checks of the same result together."""
    by_result: dict[str, list[CoverRequirement]] = {}
    for check in checks:
        again = " (measured again, the prescribed figure was known)" if check.requirement_id in measured_before else ""
        by_result.setdefault(_result(check) + again, []).append(check.requirement)
    return ". ".join(f"{_checks_words(asked)}: {result}" for result, asked in by_result.items()) + "."


def _result(check: CoverCheck) -> str:
    if check.outcome == Outcome.DIFFERS:
        return f"differs: {check.found}"
    figures = [AskedFigure.of(row) for row in check.requirement.measured]
    measured = ", ".join(f"{each.label} {each.says(Decimal(check.measured[each.label]))}" for each in figures)
    return f"as prescribed, measured {measured}" if measured else "as prescribed"


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
