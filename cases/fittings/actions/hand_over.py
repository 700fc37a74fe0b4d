"""A hand-over: the pair goes home with what was said, shown and asked."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import date, datetime, timedelta
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from cases.bench import actions as bench
from cases.bench.models import Pair, PairState
from cases.diary.clock import in_words
from cases.diary.models import Visit
from cases.fittings.actions.visits import (
    call_ahead_of,
    call_for,
    complete,
    hold,
    refuse_second,
    refuse_unless,
    settle_calls,
)
from cases.fittings.models import HandOver
from cases.fittings.permissions import require_clinician
from cases.fittings.wear_in import BY_FIGURES, TABLES, Step, table_of
from cases.patients import red_flags
from cases.patients.models import Patient, RedFlag
from cases.patients.queries import live_findings, open_red_flags, signs_found
from shared.history import acting
from shared.refusals import Refused
from shared.sides import Side
from workshop.figures.queries import figures
from workshop.staff.models import Person

LATEST_REVIEW_DAYS = 366
NO_LONGER_TO_BOOK = ("trial-shoe", "rough-fitting", "final-fitting", "hand-over")


@transaction.atomic
def hand_over(
    visit: Visit,
    *,
    pair: Pair,
    wear_in: str,
    collected_by: str,
    hands_can_close_it: bool,
    both_shoes_lifted: bool,
    cautions_explained: bool,
    red_flags_asked: bool,
    review_due_on: date,
    note: str = "",
    own_steps: Sequence[Step] = (),
    by: Person,
    at: datetime,
) -> HandOver:
    """Hand a finished pair over and complete the visit. `wear_in` is a key of the wear-in tables; `own_steps` of one's own.

    Asks for a call for the first review. Raises `Refused` while a sign is unanswered today or something was left out.
    """
    visit, pair = _hold_finished(visit, pair, by=by)
    record = HandOver(
        visit=visit,
        pair=pair,
        wear_in=wear_in,
        wear_in_steps=_steps_of(wear_in, own_steps),
        cautions_explained=cautions_explained,
        red_flags_asked=red_flags_asked,
        hands_can_close_it=hands_can_close_it,
        both_shoes_lifted=both_shoes_lifted,
        collected_by=collected_by.strip(),
        review_due_on=review_due_on,
        note=note.strip(),
        by=by,
        at=at,
    )
    _check(record)
    _write(record)
    _ask_for_first_review(record)
    return record


def _hold_finished(visit: Visit, pair: Pair, *, by: Person) -> tuple[Visit, Pair]:
    require_clinician(by)
    visit, pair = hold(visit, pair)
    refuse_second(HandOver.objects.select_related("by").filter(pair=pair).first(), what="The hand-over of this pair")
    refuse_unless(pair, {PairState.FINISHED}, for_what="only a finished pair is handed over")
    return visit, pair


def _steps_of(wear_in: str, own: Sequence[Step]) -> list[dict[str, str]]:
    """The table as it is given to this person. Raises `Refused`."""
    steps = TABLES[wear_in].steps if wear_in in TABLES else own if wear_in == BY_FIGURES.key else ()
    if not steps:
        raise Refused("Choose one of the wear-in tables.")
    return [asdict(step) for step in steps]


def _write(record: HandOver) -> None:
    pair = record.pair
    complete(record.visit, pair, by=record.by, at=record.at)
    bench.hand_over_pair(pair, by=record.by, at=record.at)
    says = f"Went home with {record.collected_by}; wear-in table: {table_of(record.wear_in).name.lower()}."
    with acting(by=record.by, action="hand_over", says=says, at=record.at, patient=pair.patient.uuid, pair=pair.uuid):
        record.save()


def _ask_for_first_review(record: HandOver) -> None:
    settle_calls(record.pair, kinds=NO_LONGER_TO_BOOK, by=record.by, at=record.at)
    earliest, _ = review_window(timezone.localdate(record.at))
    call_for(
        record.pair,
        kind="review",
        why=f"First review of pair {record.pair.number}, due {in_words(record.review_due_on)}",
        due_on=call_ahead_of(record.review_due_on),
        not_before=min(earliest, record.review_due_on),
        by=record.by,
        at=record.at,
    )


REVIEW_WINDOW = ("review_after_days_least", "review_after_days_most")


def review_window(handed_over_on: date, *, known: Mapping[str, Decimal] | None = None) -> tuple[date, date]:
    """The first and the last day of the window for the first review, from the workshop's figures of that day.

    One query, none where its figures are `known`.
    """
    days = figures(REVIEW_WINDOW, on=handed_over_on) if known is None else known
    least, most = (timedelta(days=int(days[name])) for name in REVIEW_WINDOW)
    return handed_over_on + least, handed_over_on + most


def _refuse_open_red_flags(patient: Patient) -> None:
    if still_open := list(open_red_flags(patient)):
        raise Refused(f"Not yet answered: {red_flags_in_words(still_open)}. Answer it first; the shoes stay here.")


def _refuse_signs_still_found(patient: Patient, *, today: date) -> None:
    """What was answered on an earlier day is asked again: the answer says nothing of the foot of today."""
    found = signs_found(patient, live_findings(patient))
    if still := [str(each.finding) for each in found if not each.was_answered_on(today)]:
        raise Refused(
            f"Still recorded: {'; '.join(still)}. Look again: raise it as a red flag and say what was done, or say that "
            "it no longer holds; the shoes stay here."
        )


def red_flags_in_words(flags: Sequence[RedFlag]) -> str:
    """The signs with their feet, for a sentence."""
    return "; ".join(red_flags.words(flag.sign) + (f", {Side(flag.side).label}" if flag.side else "") for flag in flags)


def _check(record: HandOver) -> None:
    today = timezone.localdate(record.at)
    _refuse_open_red_flags(record.pair.patient)
    _refuse_signs_still_found(record.pair.patient, today=today)
    if not record.red_flags_asked:
        raise Refused("Ask for the red flags once more, and say that it was done.")
    if not record.cautions_explained:
        raise Refused("Explain the cautions, and say that it was done.")
    if not record.collected_by:
        raise Refused("Say who took the shoes home.")
    if not today < record.review_due_on <= today + timedelta(days=LATEST_REVIEW_DAYS):
        raise Refused("The first review comes after the hand-over, within a year.")
