"""Clients and what is kept of them."""

import hashlib
from datetime import date, datetime
from typing import Any

from django.utils import timezone

from cases.patients.actions.access import end_of_day
from cases.patients.models import (
    Allergy,
    AllergyKind,
    Finding,
    Paper,
    PaperKind,
    Patient,
    RecordAccess,
    RedFlag,
    Referrer,
)
from cases.patients.search import search_text
from shared.sides import Side
from tests.factories.base import next_number, setting_up
from tests.factories.staff import make_person
from workshop.staff.models import Person

PDF = b"%PDF-1.7\n% an invented paper\n%%EOF\n"


def make_referrer(*, name: str = "Dr Rowan Invented", address: str = "1 Invented Street") -> Referrer:
    with setting_up():
        return Referrer.objects.create(name=name, address=address)


def make_patient(**fields: Any) -> Patient:
    """A client whose search text is kept as the actions keep it."""
    number = next_number()
    patient = Patient(
        **{
            "record_number": f"T{number}",
            "given_names": "Pat",
            "family_name": f"Client{number}",
            "born_on": date(1950, 3, 12),
            **fields,
        }
    )
    patient.search_text = search_text(
        given_names=patient.given_names,
        family_name=patient.family_name,
        record_number=patient.record_number,
        phone=patient.phone,
    )
    with setting_up():
        patient.save()
    return patient


def make_finding(
    patient: Patient, *, side: Side | None = Side.LEFT, condition: str = "hammer_toe", **fields: Any
) -> Finding:
    """A finding that holds."""
    found_by = fields.pop("found_by", None) or make_person()
    with setting_up():
        return Finding.objects.create(
            patient=patient,
            side=side,
            condition=condition,
            found_by=found_by,
            **{"found_on": timezone.localdate(), **fields},
        )


def make_allergy(patient: Patient, *, kind: str = AllergyKind.MATERIAL, substance: str = "chrome") -> Allergy:
    with setting_up():
        return Allergy.objects.create(patient=patient, kind=kind, substance=substance)


def make_red_flag(
    patient: Patient, *, sign: str = "hot_swollen_foot", side: Side | None = Side.LEFT, **fields: Any
) -> RedFlag:
    """An open red flag, unless the fields answer it."""
    raised_by = fields.pop("raised_by", None) or make_person()
    with setting_up():
        return RedFlag.objects.create(
            patient=patient, sign=sign, side=side, raised_by=raised_by, **{"raised_at": timezone.now(), **fields}
        )


def make_access(patient: Patient, person: Person, *, at: datetime, reason: str = "asked by the client") -> RecordAccess:
    """This person opened this record at this moment."""
    with setting_up():
        return RecordAccess.objects.create(
            patient=patient, person=person, reason=reason, opened_at=at, closes_at=end_of_day(at)
        )


def make_paper(
    patient: Patient, *, kind: PaperKind = PaperKind.REVIEW_LETTER, pdf: bytes = PDF, **fields: Any
) -> Paper:
    rendered_by = fields.pop("rendered_by", None) or make_person()
    with setting_up():
        return Paper.objects.create(
            patient=patient,
            kind=kind,
            pdf=pdf,
            rendered_by=rendered_by,
            **{
                "title": "A paper",
                "template_version": "1",
                "sha256": hashlib.sha256(pdf).hexdigest(),
                "rendered_at": timezone.now(),
                **fields,
            },
        )
