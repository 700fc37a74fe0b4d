"""Altering and agreeing lasts."""

from datetime import datetime
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from cases.diary.clock import in_words
from cases.lasts.models import Last, LastAgreement
from shared.history import acting
from shared.refusals import NotAllowed, Refused
from shared.versions import save_version
from workshop.figures.queries import is_switched_on
from workshop.staff.models import Person

SECOND_EYES = "second_eyes_for_a_last"


@transaction.atomic
def alter_last(
    last: Last,
    *,
    seen_version: int,
    alteration_note: str,
    length_mm: Decimal,
    heel_height_mm: Decimal,
    toe_spring_mm: Decimal,
    toe_shape: str,
    by: Person,
    at: datetime,
) -> Last:
    """Note what was built up or taken down. The last counts up: it is agreed again. Raises `Stale`, `Refused`."""
    if not alteration_note.strip():
        raise Refused("Say what was built up or taken down, and where.")
    with acting(
        by=by,
        action="alter_last",
        says=f"Altered last {last}: {alteration_note}",
        at=at,
        patient=last.owner.uuid if last.owner else None,
    ):
        save_version(
            last,
            seen_version=seen_version,
            alteration_note=alteration_note,
            length_mm=length_mm,
            heel_height_mm=heel_height_mm,
            toe_spring_mm=toe_spring_mm,
            toe_shape=toe_shape,
            altered_by=by,
            altered_on=timezone.localdate(at),
        )
    return last


@transaction.atomic
def agree_last(last: Last, *, by: Person, at: datetime, seen_version: int | None = None) -> LastAgreement:
    """Agree a last as it is now. Raises `Refused` where that was done or it was altered since `seen_version`.

    Raises `NotAllowed` for whoever made or altered it, where the workshop asks for somebody else's eyes.
    """
    last = Last.objects.select_for_update(of=("self",)).select_related("owner").get(pk=last.pk)
    if seen_version is not None and seen_version != last.version:
        raise Refused("This last was altered since: look at it again.")
    if given := last.agreements.filter(last_version=last.version).select_related("by").first():
        raise Refused(f"{given.by.name} already agreed this last, {in_words(timezone.localdate(given.at))}.")
    hands = {last.made_by_id, last.altered_by_id}
    if by.pk in hands and is_switched_on(SECOND_EYES, on=timezone.localdate(at)):
        raise NotAllowed("A last is agreed by somebody other than who made or altered it.")
    says = f"Agreed last {last} as it is, state {last.version}."
    with acting(by=by, action="agree_last", says=says, at=at, patient=last.owner.uuid if last.owner else None):
        return LastAgreement.objects.create(last=last, last_version=last.version, by=by, at=at)
