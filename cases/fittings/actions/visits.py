"""What every record of this room asks of its visit and its pair."""

from collections.abc import Collection, Iterable
from datetime import date, datetime, timedelta

from django.db import transaction
from django.utils import timezone

from cases.bench import actions as bench
from cases.bench.models import Pair, PairState, PairVisit
from cases.diary.actions import ask_for_call, complete_visit, settle_call, take_back
from cases.diary.models import Call, CallState, Visit, VisitKind, VisitStatus
from cases.fittings.models import Fitting, HandOver, Review
from cases.prescriptions.models.prescription import Feet
from shared.history import Actor
from shared.refusals import Refused
from shared.sides import SIDES, Side
from workshop.staff.models import Person

DAYS_OF_NOTICE = 7
"""A client is called so many days before a visit is due (set by this workshop's habit, no source)."""


def sides_of(pair: Pair) -> tuple[Side, ...]:
    """The feet for which there is a shoe."""
    return SIDES if pair.feet == Feet.BOTH else (Side(pair.feet),)


def hold(visit: Visit, pair: Pair) -> tuple[Visit, Pair]:
    """The visit and the pair as they stand now, the visit held until the transaction ends.

    Raises `Refused` for a visit that did not take place, one of another client, and one about another pair.
    """
    visit = Visit.objects.select_for_update(of=("self",)).select_related("kind", "patient").get(pk=visit.pk)
    pair = Pair.objects.select_related("patient").get(pk=pair.pk)
    if visit.status in {VisitStatus.CANCELLED, VisitStatus.MISSED}:
        raise Refused(f"This visit was {VisitStatus(visit.status).label}: nothing can be recorded of it.")
    if pair.patient_id != visit.patient_id:
        raise Refused(f"Pair {pair.number} belongs to another client than this visit.")
    about = PairVisit.objects.select_related("pair").filter(visit=visit).first()
    if about is not None and about.pair_id != pair.pk:
        raise Refused(f"This visit is about pair {about.pair.number}, not pair {pair.number}.")
    return visit, pair


def refuse_unless(pair: Pair, states: Collection[PairState], *, for_what: str) -> None:
    """Raises `Refused` for a pair that is not in one of these states."""
    if pair.state not in states:
        raise Refused(f"Pair {pair.number} is {pair.get_state_display()}: {for_what}.")


def complete(visit: Visit, pair: Pair, *, by: Person, at: datetime) -> None:
    """Tie the visit to the pair and say that it took place, where neither was said before."""
    bench.link_visit(pair, visit, by=by, at=at)
    if visit.status != VisitStatus.DONE:
        complete_visit(visit, by=by, at=at)


@transaction.atomic
def take_back_mark(visit: Visit, *, by: Actor, at: datetime) -> None:
    """Take back a mistaken “arrived”, “done” or “missed” of a visit.

    Raises `Refused` where a fitting, a hand-over or a review was recorded at it: then it took place.
    """
    visit = Visit.objects.select_for_update(of=("self",)).get(pk=visit.pk)
    for kept, words in ((Fitting, "fitting"), (HandOver, "hand-over"), (Review, "review")):
        if kept.objects.filter(visit=visit).exists():
            raise Refused(f"A {words} was recorded at this visit, so it took place.")
    take_back(visit, by=by, at=at)


def refuse_second(record: Fitting | HandOver | Review | None, *, what: str) -> None:
    """Raises `Refused`, saying who recorded it first and when."""
    if record is not None:
        when = timezone.localtime(record.at)
        raise Refused(f"{what} was already recorded by {record.by}, {when:%a} {when.day} {when:%b} at {when:%H:%M}.")


def call_for(
    pair: Pair, *, kind: str, why: str, due_on: date, not_before: date | None = None, by: Person, at: datetime
) -> None:
    """Put the client on the to-call list about this pair."""
    ask_for_call(
        patient=pair.patient,
        why=why,
        kind=VisitKind.objects.get(key=kind),
        due_on=max(due_on, timezone.localdate(at)),
        about_uuid=pair.uuid,
        not_before=not_before,
        by=by,
        at=at,
    )


def call_ahead_of(day: date) -> date:
    """The day on which to call about a visit that is due on `day`."""
    return day - timedelta(days=DAYS_OF_NOTICE)


def settle_calls(pair: Pair, *, kinds: Iterable[str], by: Person, at: datetime) -> None:
    """Take off the to-call list what this visit has made needless."""
    for call in Call.objects.filter(about_uuid=pair.uuid, kind__key__in=list(kinds), state=CallState.OPEN):
        settle_call(call, state=CallState.NOT_NEEDED, by=by, at=at)
