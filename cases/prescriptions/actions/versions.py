"""A signed prescription is not changed: a new version follows it, or a repeat begins from it."""

from datetime import datetime
from typing import Any

from django.db import transaction

from cases.prescriptions.actions.drafts import next_number
from cases.prescriptions.actions.orders import copy_documents
from cases.prescriptions.models import Foot, NoteAnswer, Prescription, PrescriptionStatus
from cases.prescriptions.models.prescription import WorkKind
from cases.prescriptions.parts import parts_of, write_parts
from cases.prescriptions.queries import whole
from shared.history import acting
from shared.refusals import Refused
from workshop.staff.models import Person

COPIED = (
    "patient",
    "feet",
    "construction",
    "purpose",
    "own_shoe",
    "measure_set",
    "shoe_weight_limit_g",
    "heel_limit_mm",
    "review_months",
    "wear_in",
    "remarks",
)
OF_THE_ORDER = ("outside_author", "outside_profession", "ordered_on", "taken_over_by")
"""Whose order it was: a new version of it is that order still, another pair is not."""


@transaction.atomic
def write_new_version(prescription: Prescription, *, reason: str, by: Person, at: datetime) -> Prescription:
    """A draft that holds everything the signed (or withdrawn) version holds, and says why it was written.

    Raises `Refused` without a reason, where this version is a draft or was followed already, or a draft is open.
    """
    if not reason.strip():
        raise Refused("Say why a new version is written.")
    source = whole(prescription.uuid)
    versions = source.patient.prescriptions.select_for_update(of=("self",)).filter(number=source.number)
    if any(version.status == PrescriptionStatus.DRAFT for version in versions):
        raise Refused("There is a draft of this prescription already. Go on with that one, or withdraw it.")
    if source.status == PrescriptionStatus.SUPERSEDED:
        raise Refused("A newer version was signed. Write a new version of that one.")
    version_no = 1 + max(version.version_no for version in versions)
    with acting(
        by=by,
        action="write_new_version",
        says=f"Began version {version_no} of prescription {source.number}.",
        reason=reason,
        at=at,
        patient=source.patient.uuid,
    ):
        draft = _copy(
            source,
            number=source.number,
            version_no=version_no,
            supersedes=source,
            reason=reason.strip(),
            work=source.work,
            trial_shoe=source.trial_shoe,
            written_by=by,
            written_at=at,
            **{name: getattr(source, name) for name in OF_THE_ORDER},
        )
        copy_documents(source, to=draft)
    return draft


@transaction.atomic
def repeat_prescription(
    prescription: Prescription, *, work: str = WorkKind.REPEAT, by: Person, at: datetime
) -> Prescription:
    """A draft of a new prescription for the same shoe once more, on the same lasts. It is signed like any other.

    `work` is what it is called: a new pair that begins from the last one need not be a repeat.

    Raises `Refused` where the prescription was never signed.
    """
    source = whole(prescription.uuid)
    if source.signed_at is None:
        raise Refused("Only a prescription that was signed is repeated.")
    number = next_number(source.patient)
    with acting(
        by=by,
        action="repeat_prescription",
        says=f"Began prescription {number} from prescription {source.number}, version {source.version_no}.",
        at=at,
        patient=source.patient.uuid,
    ):
        return _copy(source, number=number, work=work, written_by=by, written_at=at)


def _copy(source: Prescription, **fields: Any) -> Prescription:
    copied = {name: getattr(source, name) for name in COPIED}
    copy = Prescription.objects.create(**copied, **fields)
    for foot in source.foot_set.all():
        write_parts(Foot.objects.create(prescription=copy, side=foot.side, last=foot.last), parts_of(foot))
    # What was answered before stands, and says so: nobody answers the same question twice on a repeat.
    NoteAnswer.objects.bulk_create(
        NoteAnswer(
            prescription=copy,
            rule=answer.rule,
            side=answer.side,
            sentence=answer.sentence,
            because=answer.because,
            answered_before=True,
            by=answer.by,
            at=answer.at,
        )
        for answer in source.note_answers.select_related("by")
    )
    return copy
