"""A fitting: what was found on each foot, and whether the work goes on."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from django.db import transaction
from django.utils import timezone

from cases.bench import actions as bench
from cases.bench.models import Pair, PairState
from cases.bench.queries import FITTING
from cases.diary.models import Visit
from cases.fittings.actions.visits import (
    call_for,
    complete,
    hold,
    refuse_second,
    refuse_unless,
    settle_calls,
    sides_of,
)
from cases.fittings.entries import FittingNote
from cases.fittings.models import Fitting, FittingFinding, FittingKind, FittingOutcome
from cases.fittings.permissions import require_clinician
from shared.history import acting
from shared.refusals import Refused
from shared.sides import Side
from workshop.staff.models import Person

VISIT_KIND = {
    FittingKind.TRIAL_SHOE: "trial-shoe",
    FittingKind.ROUGH: "rough-fitting",
    FittingKind.FINAL: "final-fitting",
}
STATES = {
    FittingKind.TRIAL_SHOE: {PairState.OPEN},
    FittingKind.ROUGH: {PairState.OPEN},
    FittingKind.FINAL: {PairState.OPEN, PairState.FINISHED},
}
STAGE_TICKED = {FittingKind.TRIAL_SHOE: "trial-shoe", FittingKind.ROUGH: "rough-fitting"}
"""The stage of the route that an accepted fitting ticks, where the route has it."""

OUTCOME_IN_WORDS = {
    FittingOutcome.ACCEPT: "accepted, go on",
    FittingOutcome.ALTER: "alter, and try on again",
    FittingOutcome.REMAKE: "make again on a new last",
}
"""The outcome as the bench and the job card tell it."""

_FINAL_CHECK = ("final-check", "adapt-final-check", "repair-final-check")
STAGES_AGAIN: dict[tuple[FittingKind, FittingOutcome], tuple[str, ...]] = {
    (FittingKind.TRIAL_SHOE, FittingOutcome.ALTER): ("alter-last", "patterns"),
    (FittingKind.TRIAL_SHOE, FittingOutcome.REMAKE): ("alter-last", "patterns"),
    (FittingKind.ROUGH, FittingOutcome.ALTER): bench.LAST_AGAIN,
    (FittingKind.ROUGH, FittingOutcome.REMAKE): bench.MAKE_AGAIN,
    (FittingKind.FINAL, FittingOutcome.ALTER): _FINAL_CHECK,
    (FittingKind.FINAL, FittingOutcome.REMAKE): (*bench.MAKE_AGAIN, *_FINAL_CHECK),
}
"""The stages that come again, and with them whatever was done after them. Common practice, no source."""


@transaction.atomic
def record_fitting(
    visit: Visit,
    *,
    pair: Pair,
    kind: str,
    outcome: str,
    findings: Sequence[FittingNote] = (),
    note: str = "",
    by: Person,
    at: datetime,
) -> Fitting:
    """Record a fitting and complete its visit.

    An accepted trial shoe or rough fitting ticks its stage. "Alter" and "remake" let the stages of `STAGES_AGAIN` come again on
    each foot for which something is to be done, and put the client on the to-call list. Raises `Refused` where the visit
    or the pair does not allow it, where nothing is said to be done, and where it is on record already.
    """
    require_clinician(by)
    kind, outcome = _known(kind, outcome)
    visit, pair = hold(visit, pair)
    refuse_second(Fitting.objects.select_related("by").filter(visit=visit).first(), what="This fitting")
    refuse_unless(pair, STATES[kind], for_what="this fitting needs it on the bench")
    _check(findings, pair=pair, outcome=outcome)
    complete(visit, pair, by=by, at=at)
    fitting = Fitting(visit=visit, pair=pair, kind=kind, outcome=outcome, note=note.strip(), by=by, at=at)
    _write(fitting, findings)
    settle_calls(pair, kinds=[VISIT_KIND[kind]], by=by, at=at)
    if outcome != FittingOutcome.ACCEPT:
        _do_again(pair, kind, outcome, findings, by=by, at=at)
    elif kind in STAGE_TICKED:
        bench.tick_by_visit(pair, stage_kind=STAGE_TICKED[kind], by=by, at=at)
    return fitting


def _write(fitting: Fitting, findings: Sequence[FittingNote]) -> None:
    kind, outcome, pair = FittingKind(fitting.kind), FittingOutcome(fitting.outcome), fitting.pair
    says = f"{kind.called.capitalize()}: {OUTCOME_IN_WORDS[outcome]}."
    says += "".join(f" {_in_words(finding)}." for finding in findings)
    says += f" Besides: {fitting.note}" if fitting.note else ""
    with acting(by=fitting.by, action=FITTING, says=says, at=fitting.at, patient=pair.patient.uuid, pair=pair.uuid):
        fitting.save()
        FittingFinding.objects.bulk_create(
            FittingFinding(
                fitting=fitting,
                side=finding.side,
                place=finding.place.strip(),
                found=finding.found.strip(),
                to_do=finding.to_do.strip(),
            )
            for finding in findings
        )


def _known(kind: str, outcome: str) -> tuple[FittingKind, FittingOutcome]:
    if kind not in FittingKind.values or outcome not in FittingOutcome.values:
        raise Refused("Say which fitting it is, and whether to accept, alter or make again.")
    return FittingKind(kind), FittingOutcome(outcome)


def _check(findings: Sequence[FittingNote], *, pair: Pair, outcome: FittingOutcome) -> None:
    sides = sides_of(pair)
    for finding in findings:
        if finding.side not in sides:
            raise Refused(f"Pair {pair.number} has no {Side(finding.side).label} shoe.")
        if not finding.found.strip():
            raise Refused(f"Say what was found on the {Side(finding.side).label} foot.")
    if outcome != FittingOutcome.ACCEPT and not any(finding.to_do.strip() for finding in findings):
        raise Refused("Say for at least one foot what was found and what is to be done.")


def _in_words(finding: FittingNote) -> str:
    place = f" {finding.place.strip()}" if finding.place.strip() else ""
    to_do = f"; to do: {finding.to_do.strip().rstrip('.')}" if finding.to_do.strip() else ""
    return f"{Side(finding.side).label}{place}: {finding.found.strip().rstrip('.')}{to_do}"


DAYS_UNTIL_ASKED_AGAIN = 7
"""About how long lasting again takes (from memory, unchecked). The bench asks earlier when it is done earlier."""


def _do_again(
    pair: Pair,
    kind: FittingKind,
    outcome: FittingOutcome,
    findings: Sequence[FittingNote],
    *,
    by: Person,
    at: datetime,
) -> None:
    sides = [side for side in sides_of(pair) if any(each.side == side and each.to_do.strip() for each in findings)]
    bench.come_again(pair, stage_kinds=STAGES_AGAIN[kind, outcome], sides=sides, by=by, at=at)
    call_for(
        pair,
        kind=VISIT_KIND[kind],
        why=f"Pair {pair.number}: {kind.called} once more",
        due_on=timezone.localdate(at) + timedelta(days=DAYS_UNTIL_ASKED_AGAIN),
        by=by,
        at=at,
    )
