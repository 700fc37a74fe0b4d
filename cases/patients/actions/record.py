"""Registering a client and changing who they are, how they are reached and what they agreed to."""

from datetime import date, datetime
from typing import Any

from django.db import connection, transaction
from django.utils import timezone

from cases.patients import birth, queries, search
from cases.patients.models import Patient, Referrer
from cases.patients.refusals import LooksRegistered
from shared.history import Actor, acting
from shared.refusals import Refused
from shared.versions import Stale, save_version

FIRST_RECORD_NUMBER = 1001
_RECORD_NUMBERS = 0x5061_7469
"""The database's lock under which record numbers are given out one after the other."""

FOUND_BY = frozenset({"given_names", "family_name", "phone"})
CHANGEABLE = frozenset(
    {
        "given_names",
        "family_name",
        "born_on",
        "phone",
        "email",
        "address",
        "communication_needs",
        "hand_function",
        "hand_note",
        "diabetes",
        "screened_elsewhere_by",
        "referrer",
        "referred_on",
        "referral_reason",
        "treatment_record_consent",
        "letters_consent",
        "photos_consent",
        "reminders_consent",
    }
)


@transaction.atomic
def register_patient(
    *,
    record_number: str | None = None,
    given_names: str,
    family_name: str,
    born_on: date,
    namesake_is_fine: bool = False,
    by: Actor,
    at: datetime,
    **optional: Any,
) -> Patient:
    """Register a client; without a record number they get the next one. `optional` are the other fields of a client.

    Raises `LooksRegistered` where somebody has this family name and date of birth, unless `namesake_is_fine`, and
    `Refused` for a record number that is taken or a date of birth that cannot be.
    """
    _only_changeable(optional)
    _check_birth(born_on, at=at)
    _one_at_a_time()
    if not namesake_is_fine and (namesakes := queries.namesakes(family_name=family_name, born_on=born_on)):
        raise LooksRegistered(namesakes)
    number = _free_record_number(record_number)
    patient = Patient(
        record_number=number, given_names=given_names, family_name=family_name, born_on=born_on, **optional
    )
    patient.search_text = _search_text(patient)
    says = f"Registered the client under record number {number}."
    with acting(by=by, action="register_patient", says=says, at=at, patient=patient.uuid):
        patient.save(force_insert=True)
    return patient


def _free_record_number(asked_for: str | None) -> str:
    number = (asked_for or "").strip() or _next_record_number()
    if Patient.objects.filter(record_number=number).exists():
        raise Refused(f"The record number {number} is another client's.")
    return number


@transaction.atomic
def change_patient(patient: Patient, *, seen_version: int, by: Actor, at: datetime, **changes: Any) -> Patient:
    """Change fields of a client. Raises `Stale` where somebody changed the record since `seen_version`.

    Where nothing differs nothing is written. Raises `Refused` for a date of birth that cannot be.
    """
    _only_changeable(changes)
    current = Patient.objects.select_for_update(of=["self"]).select_related("referrer").get(pk=patient.pk)
    if current.version != seen_version:
        raise Stale(current)
    changed = {name: value for name, value in changes.items() if getattr(current, name) != value}
    if not changed:
        return current
    if "born_on" in changed:
        _check_birth(changed["born_on"], at=at)
    if FOUND_BY & set(changed):
        changed["search_text"] = _search_text(current, **changed)
    with acting(by=by, action="change_patient", says=_what_changed(changed), at=at, patient=current.uuid):
        save_version(current, seen_version=seen_version, **changed)
    return current


@transaction.atomic
def register_referrer(*, name: str, address: str = "", by: Actor, at: datetime) -> Referrer:
    """Register whoever sends clients and reads the review letter."""
    with acting(by=by, action="register_referrer", says=f"Registered the referrer {name}.", at=at):
        return Referrer.objects.create(name=name, address=address)


def _only_changeable(fields: dict[str, Any]) -> None:
    if unknown := set(fields) - CHANGEABLE:
        raise TypeError(f"not a field of a client that is entered: {', '.join(sorted(unknown))}")


def _check_birth(born_on: date, *, at: datetime) -> None:
    if wrong := birth.what_is_wrong_with(born_on, today=timezone.localdate(at)):
        raise Refused(wrong)


def _one_at_a_time() -> None:
    with connection.cursor() as cursor:
        cursor.execute("SELECT pg_advisory_xact_lock(%s)", [_RECORD_NUMBERS])


def _next_record_number() -> str:
    """One more than the highest that is a plain number of at most nine digits; others are older systems' own."""
    with connection.cursor() as cursor:
        cursor.execute(
            "SELECT max(record_number::bigint) FROM patients_patient WHERE record_number ~ '^[0-9]{1,9}$'",
        )
        (highest,) = cursor.fetchone() or (None,)
    return str(max(highest or 0, FIRST_RECORD_NUMBER - 1) + 1)


def _search_text(patient: Patient, **changed: Any) -> str:
    def now(name: str) -> str:
        return str(changed.get(name, getattr(patient, name)))

    return search.search_text(
        given_names=now("given_names"),
        family_name=now("family_name"),
        record_number=patient.record_number,
        phone=now("phone"),
    )


def _what_changed(changed: dict[str, Any]) -> str:
    return f"Changed the client's record: {', '.join(_in_words(name) for name in changed if name != 'search_text')}."


def _in_words(name: str) -> str:
    words = str(getattr(Patient._meta.get_field(name), "verbose_name", name))
    return f"consent to {words}" if name.endswith("_consent") else words
