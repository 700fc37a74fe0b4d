"""A sign that is no footwear question today: raised by a touch, open until somebody says what was done."""

from datetime import datetime

from django.db import transaction

from cases.patients.models import Patient, RedFlag
from cases.patients.red_flags import SIGNS
from shared.history import acting
from shared.refusals import Refused
from shared.sides import Side
from workshop.staff.models import Person


@transaction.atomic
def raise_red_flag(patient: Patient, *, sign: str, side: Side | None, by: Person, at: datetime) -> RedFlag:
    """Raise a sign. Raises `Refused` for one that is not in the list, lacks its side, or is open already."""
    if sign not in SIGNS:
        raise Refused("This sign is not in the list.")
    if side is None and SIGNS[sign].has_side:
        raise Refused("Say on which foot or leg: LEFT or RIGHT.")
    flag = RedFlag(patient=patient, sign=sign, side=side, raised_at=at, raised_by=by)
    if patient.red_flags.filter(sign=sign, side=side, answered_at__isnull=True).exists():
        raise Refused(f"Already raised and not yet answered: {flag}.")
    with acting(by=by, action="raise_red_flag", says=f"Raised a red flag: {flag}.", at=at, patient=patient.uuid):
        flag.save(force_insert=True)
    return flag


@transaction.atomic
def answer_red_flag(flag: RedFlag, *, what_was_done: str, referred_to: str, by: Person, at: datetime) -> None:
    """Say what was done about a sign and to whom the client was sent. The answer is kept as it was given.

    Raises `Refused` where it was answered already or one of the two is missing.
    """
    flag = RedFlag.objects.select_for_update(of=["self"]).select_related("patient").get(pk=flag.pk)
    if flag.answered_at is not None:
        raise Refused("This red flag was already answered. Its answer is kept.")
    if not what_was_done.strip() or not referred_to.strip():
        raise Refused("Say what was done, and to whom the client was sent.")
    with acting(
        by=by,
        action="answer_red_flag",
        says=f"Answered the red flag {flag}: {what_was_done.strip()}; sent to {referred_to.strip()}.",
        at=at,
        patient=flag.patient.uuid,
    ):
        flag.what_was_done = what_was_done.strip()
        flag.referred_to = referred_to.strip()
        flag.answered_at = at
        flag.answered_by = by
        flag.save(update_fields=["what_was_done", "referred_to", "answered_at", "answered_by"])
