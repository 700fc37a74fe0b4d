"""Answering notes, and switching one off for the whole workshop."""

from datetime import datetime

from django.db import transaction

from cases.prescriptions.models import NoteAnswer, NoteSwitch, Prescription, PrescriptionStatus
from cases.prescriptions.notes import RULES
from shared.history import acting
from shared.refusals import NotAllowed, Refused
from shared.sides import Side
from workshop.staff.models import Person


@transaction.atomic
def answer_note(
    prescription: Prescription, *, rule: str, side: str, sentence: str, because: str, by: Person, at: datetime
) -> NoteAnswer:
    """Say why something stays although a note asks. Answered again, the later answer stands.

    Raises `Refused` without a reason, for a note that is not in the list, and where the version is no draft.
    """
    draft, foot = _draft(prescription), _side(rule, side)
    if not because.strip():
        raise Refused("Say why it is kept.")
    if not sentence.strip():
        raise Refused("Say which question is answered.")
    says = f"Kept against the note, {foot.label}: {sentence} Because: {because.strip()}"
    with acting(by=by, action="answer_note", says=says, at=at, patient=draft.patient.uuid):
        draft.note_answers.filter(rule=rule, side=foot, sentence=sentence).delete()
        return NoteAnswer.objects.create(
            prescription=draft, rule=rule, side=foot, sentence=sentence, because=because.strip(), by=by, at=at
        )


@transaction.atomic
def take_back_answer(
    prescription: Prescription, *, rule: str, side: str, sentence: str, by: Person, at: datetime
) -> None:
    """Ask a note anew. Raises `Refused` where it was not answered, or the version is no draft."""
    draft, foot = _draft(prescription), _side(rule, side)
    says = f"Asked the note anew, {foot.label}: {sentence}"
    with acting(by=by, action="take_back_answer", says=says, at=at, patient=draft.patient.uuid):
        gone, _ = draft.note_answers.filter(rule=rule, side=foot, sentence=sentence).delete()
        if not gone:
            raise Refused("This note was not answered.")


def switch_note(rule: str, *, is_off: bool, reason: str, by: Person, at: datetime) -> NoteSwitch:
    """Stop asking a note in this workshop, or ask it again. Raises `NotAllowed`, `Refused`."""
    if not by.holds_any_of(("manager",)):
        raise NotAllowed("A manager switches notes.")
    if rule not in RULES:
        raise Refused("There is no such note.")
    if not reason.strip():
        raise Refused("Say why this note is switched.")
    latest = NoteSwitch.objects.filter(rule=rule).order_by("-pk").first()
    if (latest is not None and latest.is_off) == is_off:
        raise Refused(f"This note is already switched {'off' if is_off else 'on'}.")
    says = f"Switched the note “{RULES[rule].words}” {'off' if is_off else 'on'}."
    with acting(by=by, action="switch_note", says=says, at=at, reason=reason):
        return NoteSwitch.objects.create(rule=rule, is_off=is_off, reason=reason.strip(), by=by, at=at)


def _draft(prescription: Prescription) -> Prescription:
    """The version, locked, while it is a draft."""
    version = Prescription.objects.select_for_update(of=("self",)).select_related("patient").get(pk=prescription.pk)
    if version.status != PrescriptionStatus.DRAFT:
        raise Refused(f"This version is {version.get_status_display()}: its notes were answered.")
    return version


def _side(rule: str, side: str) -> Side:
    if rule not in RULES:
        raise Refused("There is no such note.")
    if side not in Side.values:
        raise Refused("Say of which foot the note is.")
    return Side(side)
