"""Scans. By default a small foot-like mesh, measured once for all tests."""

import hashlib
from datetime import date
from decimal import Decimal
from functools import cache
from typing import Any

from django.utils import timezone

from cases.lasts.meshes.measuring import measure
from cases.lasts.models import Load, Scan
from cases.patients.models import Patient
from demo.scans import foot_mesh, stl_of
from tests.factories.base import next_number, setting_up
from tests.factories.patients import make_patient
from tests.factories.staff import make_person
from workshop.staff.models import Person


@cache
def foot_file(side: str = "left", length_mm: float = 268) -> bytes:
    """The binary STL file of a foot."""
    return stl_of(foot_mesh(side=side, length_mm=length_mm))


@cache
def _measured(side: str) -> dict[str, Any]:
    return measure(foot_file(side), side=side, asked={})


def make_scan(
    *, patient: Patient | None = None, side: str = "left", added_by: Person | None = None, **fields: Any
) -> Scan:
    patient = patient or make_patient()
    # The head of a file says nothing: by its number each file is another.
    file = f"scan {next_number()}".encode().ljust(80) + foot_file(side)[80:]
    measured = _measured(side)
    added_by = added_by or make_person(name="Sina Scanner", roles=["clinician"])
    with setting_up():
        return Scan.objects.create(
            patient=patient,
            side=side,
            file=file,
            sha256=hashlib.sha256(file).hexdigest(),
            added_by=added_by,
            added_at=timezone.now(),
            **{
                "format": measured["format"],
                "faces": measured["faces"],
                "measured": measured,
                "load": Load.PART,
                "heel_height_mm": Decimal(0),
                "made_on": date(2026, 11, 2),
                **fields,
            },
        )
