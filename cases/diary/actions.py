"""Everything that changes the diary and the to-call list."""

from collections.abc import Collection, Iterator
from contextlib import contextmanager
from datetime import date, datetime
from uuid import UUID

from django.db import IntegrityError, OperationalError, transaction
from django.db.models import QuerySet
from django.utils import timezone
from psycopg.types.range import TimestamptzRange

from cases.diary import queries
from cases.diary.clock import in_words
from cases.diary.free_times import Spell
from cases.diary.models import RING_BACK, Call, CallState, Visit, VisitKind, VisitStatus
from cases.patients.models import Patient
from shared.history import Actor, acting
from shared.refusals import NotAllowed, Refused, sentence_for
from workshop.hours.models import Room
from workshop.staff.models import Person, RoleKind

LONGEST_VISIT_MINUTES = 8 * 60
DEADLOCK = "40P01"


class TooEarly(Refused):
    """Before the day from which this visit makes sense. A warning: it may be booked all the same."""


@contextmanager
def _one_at_a_time() -> Iterator[None]:
    """Say in words that somebody else was quicker: the database knows it after this action looked."""
    try:
        yield
    except IntegrityError as error:
        if sentence := sentence_for(error):
            raise Refused(sentence) from error
        raise
    except OperationalError as error:
        if getattr(error.__cause__, "sqlstate", "") == DEADLOCK:
            raise Refused("Somebody else was booking the same time just now. Please look again.") from error
        raise


def book_visit(
    *,
    patient: Patient,
    kind: VisitKind,
    clinician: Person | None,
    room: Room | None,
    starts_at: datetime,
    minutes: int | None = None,
    note: str = "",
    not_before: date | None = None,
    early_is_fine: bool = False,
    about_uuid: UUID | None = None,
    call: Call | None = None,
    by: Actor,
    at: datetime,
) -> Visit:
    """Book a visit, of the kind's usual length where `minutes` is not given. Settles the call it answers.

    Raises `TooEarly` before `not_before` unless `early_is_fine`, and `Refused` where the clinician, the client or
    the room has another visit at that time, where the kind takes no slot, and where nobody fit holds it.
    """
    spell = _spell(kind, starts_at, minutes)
    day = timezone.localdate(starts_at)
    _check_clinician(kind, clinician)
    if not_before is not None and day < not_before and not early_is_fine:
        raise TooEarly(f"This is before {in_words(not_before)}, the first day on which this visit makes sense.")
    if clash := queries.clash(patient=patient, clinician=clinician, room=room, spell=spell):
        raise Refused(clash)
    during = TimestamptzRange(spell.starts, spell.ends)
    visit = Visit(patient=patient, kind=kind, clinician=clinician, room=room, day=day, during=during, note=note)
    visit.about_uuid = about_uuid
    with_whom = f" with {clinician.name}" if clinician else ""
    says = f"Booked: {_in_sentence(kind)}{with_whom}, {in_words(day)} at {timezone.localtime(starts_at):%H:%M}."
    return _save(visit, says=says, call=call, by=by, at=at)


def book_drop_in(
    *,
    patient: Patient,
    kind: VisitKind,
    day: date,
    note: str = "",
    about_uuid: UUID | None = None,
    call: Call | None = None,
    by: Actor,
    at: datetime,
) -> Visit:
    """Note that a client comes by on a day. It takes no slot, and any number may come at once."""
    if kind.takes_a_slot:
        raise Refused(f"{kind.name} takes {kind.minutes} minutes: give it a time.")
    says = f"Noted: {_in_sentence(kind)}, {in_words(day)}."
    visit = Visit(patient=patient, kind=kind, day=day, note=note, about_uuid=about_uuid)
    return _save(visit, says=says, call=call, by=by, at=at)


def _save(visit: Visit, *, says: str, call: Call | None, by: Actor, at: datetime) -> Visit:
    """Write a new visit. What was booked need not be called for, whether or not the list led here."""
    patient, about_uuid = visit.patient, visit.about_uuid
    with (
        _one_at_a_time(),
        acting(by=by, action="book_visit", says=says, at=at, patient=patient.uuid, pair=about_uuid),
    ):
        if call is not None:
            _settle(call, CallState.BOOKED)
        _calls_for(visit).update(state=CallState.BOOKED)
        visit.save()
    return visit


def _calls_for(visit: Visit) -> QuerySet[Call]:
    """What is open on the to-call list and wants just this visit."""
    return Call.objects.filter(
        patient=visit.patient, kind=visit.kind, about_uuid=visit.about_uuid, state=CallState.OPEN
    )


def _spell(kind: VisitKind, starts_at: datetime, minutes: int | None) -> Spell:
    if not kind.takes_a_slot:
        raise Refused(f"{kind.name} takes no slot: note it for a day.")
    length = kind.minutes if minutes is None else minutes
    if not 0 < length <= LONGEST_VISIT_MINUTES:
        raise Refused(f"A visit takes between 1 and {LONGEST_VISIT_MINUTES} minutes.")
    return Spell.of(starts_at, length)


def _check_clinician(kind: VisitKind, clinician: Person | None) -> None:
    if clinician is None:
        if kind.with_clinician:
            raise Refused(f"{kind.name} needs a clinician.")
    elif not Person.objects.holding(RoleKind.CLINICIAN).filter(pk=clinician.pk).exists():
        raise Refused(f"{clinician.name} does not see clients as a clinician.")


def _in_sentence(kind: VisitKind) -> str:
    return kind.name[:1].lower() + kind.name[1:]


def arrive(visit: Visit, *, by: Actor, at: datetime) -> None:
    """The client is here. Also for one who was given up as missed, where the time is still free."""
    _move(visit, to=VisitStatus.ARRIVED, out_of={VisitStatus.BOOKED, VisitStatus.MISSED}, by=by, at=at)


def complete_visit(visit: Visit, *, by: Actor, at: datetime) -> None:
    """The visit took place."""
    _move(visit, to=VisitStatus.DONE, out_of={VisitStatus.BOOKED, VisitStatus.ARRIVED}, by=by, at=at)


@transaction.atomic
def miss_visit(visit: Visit, *, by: Actor, at: datetime) -> None:
    """The client did not come: the time is given back, and the client goes on the to-call list."""
    visit = _move(visit, to=VisitStatus.MISSED, out_of={VisitStatus.BOOKED}, by=by, at=at)
    ask_for_call(
        patient=visit.patient,
        why=f"Missed: {_in_sentence(visit.kind)} on {in_words(visit.day)}",
        kind=visit.kind,
        due_on=timezone.localdate(at),
        about_uuid=visit.about_uuid,
        by=by,
        at=at,
    )


@transaction.atomic
def cancel_visit(visit: Visit, *, by: Actor, at: datetime) -> None:
    """The visit will not take place: the time is given back.

    What it was about still waits for it, so its client goes on the to-call list; a visit about nothing in particular
    may well not be wanted any more.
    """
    visit = _move(visit, to=VisitStatus.CANCELLED, out_of={VisitStatus.BOOKED, VisitStatus.ARRIVED}, by=by, at=at)
    if visit.about_uuid is not None:
        ask_for_call(
            patient=visit.patient,
            why=f"Cancelled: {_in_sentence(visit.kind)} on {in_words(visit.day)}",
            kind=visit.kind,
            due_on=timezone.localdate(at),
            about_uuid=visit.about_uuid,
            by=by,
            at=at,
        )


def take_back(visit: Visit, *, by: Actor, at: datetime) -> None:
    """Take back a mistaken “arrived”, “done” or “missed”: the visit is booked, as if nobody had marked it.

    Who was put on the to-call list for having missed it need not be called. Raises `Refused` where nothing was
    marked, and where the time of a missed visit was given to somebody else.
    """
    marked = {VisitStatus.ARRIVED, VisitStatus.DONE, VisitStatus.MISSED}
    _move(visit, to=VisitStatus.BOOKED, out_of=marked, by=by, at=at)


SAYS = {
    VisitStatus.BOOKED: "Taken back what was marked, so booked as before",
    VisitStatus.ARRIVED: "Arrived for",
    VisitStatus.DONE: "Done",
    VisitStatus.MISSED: "Missed",
    VisitStatus.CANCELLED: "Cancelled",
}


@transaction.atomic
def _move(visit: Visit, *, to: VisitStatus, out_of: Collection[VisitStatus], by: Actor, at: datetime) -> Visit:
    visit = Visit.objects.select_for_update(of=("self",)).select_related("kind", "patient").get(pk=visit.pk)
    if visit.status not in out_of:
        raise Refused(f"This visit was already {VisitStatus(visit.status).label}.")
    was_missed = visit.status == VisitStatus.MISSED
    if to is not VisitStatus.CANCELLED and visit.day > timezone.localdate(at):
        raise Refused(f"This visit is still to come: {in_words(visit.day)}.")
    with (
        _one_at_a_time(),
        acting(
            by=by,
            action=f"visit_{to.value}",
            says=f"{SAYS[to]}: {_in_sentence(visit.kind)}, {in_words(visit.day)}.",
            at=at,
            patient=visit.patient.uuid,
            pair=visit.about_uuid,
        ),
    ):
        visit.status = to
        visit.save(update_fields=["status"])
        if was_missed:
            _calls_for(visit).update(state=CallState.NOT_NEEDED)
    return visit


@transaction.atomic
def ask_for_call(
    *,
    patient: Patient,
    why: str,
    kind: VisitKind,
    due_on: date,
    about_uuid: UUID | None = None,
    not_before: date | None = None,
    by: Actor,
    at: datetime,
) -> Call:
    """Put a client on the to-call list. The same thing asked again while it is open stays one call.

    It is brought forward where it is asked for an earlier day. `not_before` is the first day on which the visit
    itself makes sense; booking earlier is warned of.
    """
    open_call = Call.objects.filter(patient=patient, kind=kind, about_uuid=about_uuid, state=CallState.OPEN)
    if already := open_call.select_for_update().first():
        if due_on < already.due_on:
            _bring_forward(already, why=why, due_on=due_on, by=by, at=at)
        return already
    try:
        with acting(
            by=by, action="ask_for_call", says=f"To call: {why}.", at=at, patient=patient.uuid, pair=about_uuid
        ):
            return Call.objects.create(
                patient=patient, why=why, kind=kind, due_on=due_on, about_uuid=about_uuid, not_before=not_before
            )
    except IntegrityError:
        return open_call.get()


def _bring_forward(call: Call, *, why: str, due_on: date, by: Actor, at: datetime) -> None:
    says = f"To call sooner: {why}."
    with acting(by=by, action="ask_for_call", says=says, at=at, patient=call.patient.uuid, pair=call.about_uuid):
        call.why, call.due_on = why, due_on
        call.save(update_fields=["why", "due_on"])


@transaction.atomic
def note_call_try(call: Call, *, call_again_on: date | None = None, by: Actor, at: datetime) -> None:
    """The client was rung: nobody answered, or they asked to be rung again on another day."""
    call = _open(call)
    if call_again_on is not None and call.is_for_a_clinician:
        raise Refused("A possible red flag is rung back today, not on a later day.")
    answered = f"asked to be called again on {in_words(call_again_on)}" if call_again_on else "no answer"
    with acting(
        by=by,
        action="note_call_try",
        says=f"Called, {answered}: {call.why}.",
        at=at,
        patient=call.patient.uuid,
        pair=call.about_uuid,
    ):
        call.tries += 1
        call.last_tried_at = at
        call.due_on = call_again_on or call.due_on
        call.save(update_fields=["tries", "last_tried_at", "due_on"])


@transaction.atomic
def settle_call(call: Call, *, state: CallState, by: Actor, at: datetime) -> None:
    """Take a call off the list: booked, or not needed after all."""
    if state == CallState.OPEN:
        raise Refused("A call is settled as booked or as not needed.")
    call = _open(call)
    if call.is_for_a_clinician:
        raise Refused("A clinician rings back about a possible red flag, and says so.")
    says = f"Call settled, {CallState(state).label}: {call.why}."
    with acting(by=by, action="settle_call", says=says, at=at, patient=call.patient.uuid, pair=call.about_uuid):
        _settle(call, state)


def _open(call: Call) -> Call:
    call = Call.objects.select_for_update(of=("self",)).select_related("patient", "kind").get(pk=call.pk)
    if call.state != CallState.OPEN:
        raise Refused(f"This call was already settled: {CallState(call.state).label}.")
    return call


def _settle(call: Call, state: CallState) -> None:
    """Inside a deed. A call that somebody else settled meanwhile stays as they left it."""
    Call.objects.filter(pk=call.pk, state=CallState.OPEN).update(state=state)


LONGEST_SAID = 120
"""Characters of what a client said; who heard it and when stand beside it."""


@transaction.atomic
def ask_to_ring_back(patient: Patient, *, said: str, by: Person, at: datetime) -> Call:
    """Pass on to the clinicians that a client may have told of a red flag: to be rung back today.

    It is no finding: who takes the call judges no foot, and writes what was `said`. Raises `Refused` where that is
    nothing or too long, and while another such call is open, since what is new must reach a clinician at once.
    """
    said = " ".join(said.split())
    if not 0 < len(said) <= LONGEST_SAID:
        raise Refused(f"Write what the client said, in at most {LONGEST_SAID} characters.")
    if already := _ring_backs(patient).first():
        raise Refused(f"A clinician is asked already: “{already.why}”. Tell a clinician yourself what is new.")
    why = f"{said} (told to {by.name[:40]}, {in_words(timezone.localdate(at))} {timezone.localtime(at):%H:%M})"
    kind = VisitKind.objects.get(key=RING_BACK)
    with (
        _one_at_a_time(),
        acting(
            by=by,
            action="ask_to_ring_back",
            says=f"To ring back today, possible red flag: {why}.",
            at=at,
            patient=patient.uuid,
        ),
    ):
        return Call.objects.create(patient=patient, why=why, kind=kind, due_on=timezone.localdate(at))


def _ring_backs(patient: Patient) -> QuerySet[Call]:
    return Call.objects.filter(patient=patient, kind__key=RING_BACK, state=CallState.OPEN)


@transaction.atomic
def rung_back(call: Call, *, by: Person, at: datetime) -> None:
    """A clinician rang back about a possible red flag. What was heard is raised as a red flag, or it was none."""
    if not by.holds_any_of({RoleKind.CLINICIAN}):
        raise NotAllowed("A clinician rings back about a possible red flag.")
    call = _open(call)
    if not call.is_for_a_clinician:
        raise Refused("This call is settled as booked or as not needed.")
    with acting(by=by, action="rung_back", says=f"Rung back: {call.why}.", at=at, patient=call.patient.uuid):
        _settle(call, CallState.NOT_NEEDED)
