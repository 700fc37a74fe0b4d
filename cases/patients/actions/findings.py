"""What was found on the feet, and what must not touch them."""

from datetime import datetime

from django.db import transaction
from django.utils import timezone

from cases.patients.conditions import CONDITIONS, Condition, place_as_suggested
from cases.patients.models import Allergy, Finding, Patient
from shared.history import acting
from shared.refusals import Refused
from shared.sides import Side
from workshop.staff.models import Person


@transaction.atomic
def record_finding(
    patient: Patient,
    *,
    side: Side | None,
    condition: str,
    place: str = "",
    flexibility: str = "",
    marked: str = "",
    since: str = "",
    note: str = "",
    by: Person,
    at: datetime,
) -> Finding:
    """Record that a condition of the closed list holds on one foot, or on the person.

    Raises `Refused` for a condition that is not in the list, a side where none belongs or is missing, fixed or
    flexible where that is no question, and a finding that already stands.
    """
    entry = _entry(condition, side=side, flexibility=flexibility)
    finding = Finding(
        patient=patient,
        side=side,
        condition=entry.key,
        place=place_as_suggested(place),
        flexibility=flexibility,
        marked=marked,
        since=since,
        note=note,
        found_on=timezone.localdate(at),
        found_by=by,
    )
    if Finding.objects.filter(
        patient=patient, side=side, condition=entry.key, place=finding.place, ended_on__isnull=True
    ).exists():
        raise Refused(f"Already recorded: {finding}. End it first if it has changed.")
    with acting(by=by, action="record_finding", says=f"Found: {finding}.", at=at, patient=patient.uuid):
        finding.save(force_insert=True)
    return finding


def _entry(condition: str, *, side: Side | None, flexibility: str) -> Condition:
    entry = CONDITIONS.get(condition)
    if entry is None:
        raise Refused("This finding is not in the list.")
    if entry.on_a_foot and side is None:
        raise Refused(f"{entry.label} is found on a foot: say LEFT, RIGHT or both.")
    if side is not None and not entry.on_a_foot:
        raise Refused(f"{entry.label} is a finding about the person: it has no side.")
    if flexibility and not entry.has_flexibility:
        raise Refused(f"Fixed or flexible is no question for this finding: {entry.label}.")
    return entry


@transaction.atomic
def end_finding(finding: Finding, *, by: Person, at: datetime) -> None:
    """End a finding: it no longer holds. Raises `Refused` where it already ended."""
    finding = Finding.objects.select_for_update(of=["self"]).select_related("patient").get(pk=finding.pk)
    if finding.ended_on is not None:
        raise Refused("This finding was already ended.")
    with acting(by=by, action="end_finding", says=f"No longer holds: {finding}.", at=at, patient=finding.patient.uuid):
        finding.ended_on = timezone.localdate(at)
        finding.save(update_fields=["ended_on"])


@transaction.atomic
def record_allergy(patient: Patient, *, kind: str, substance: str, by: Person, at: datetime) -> Allergy:
    """Record what must not touch this client's skin. Raises `Refused` where it already stands, however written."""
    allergy = Allergy(patient=patient, kind=kind, substance=" ".join(substance.split()))
    if patient.allergies.filter(kind=kind, substance__iexact=allergy.substance, ended_on__isnull=True).exists():
        raise Refused(f"Already recorded: {allergy}.")
    with acting(by=by, action="record_allergy", says=f"Recorded the allergy {allergy}.", at=at, patient=patient.uuid):
        allergy.save(force_insert=True)
    return allergy


@transaction.atomic
def end_allergy(allergy: Allergy, *, by: Person, at: datetime) -> None:
    """End an allergy that was recorded wrongly or no longer holds. Raises `Refused` where it already ended."""
    allergy = Allergy.objects.select_for_update(of=["self"]).select_related("patient").get(pk=allergy.pk)
    if allergy.ended_on is not None:
        raise Refused("This allergy was already ended.")
    with acting(by=by, action="end_allergy", says=f"Ended the allergy {allergy}.", at=at, patient=allergy.patient.uuid):
        allergy.ended_on = timezone.localdate(at)
        allergy.save(update_fields=["ended_on"])
