"""Drafts as the tests of their pages want them, and what a page or a version says of them."""

import re
from typing import Any

from django.test import Client
from django.urls import reverse

from cases.prescriptions import queries
from cases.prescriptions.described import describe
from cases.prescriptions.models import Prescription
from tests.factories.lasts import make_last
from tests.factories.patients import make_patient
from tests.factories.prescriptions import make_prescription
from tests.prescriptions.pages import filled_in


def address(prescription: Prescription, name: str = "prescription") -> str:
    return reverse(name, args=[prescription.uuid])


def page_of(client: Client, prescription: Prescription) -> dict[str, Any]:
    return filled_in(client.get(address(prescription)).content.decode())


def lines(prescription: Prescription, side: str, part: str) -> dict[str, str]:
    foot = next(foot for foot in describe(queries.whole(prescription.uuid)) if foot.side == side)
    found = foot.part(part)
    return dict(found.lines) if found else {}


def words_of(html: bytes) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html.decode()))


def complete_draft(**kwargs: Any) -> Prescription:
    patient = make_patient()
    return make_prescription(
        patient=patient,
        left_last=make_last(owner=patient, side="left"),
        right_last=make_last(owner=patient, side="right"),
        **kwargs,
    )


def a_draft_that_is_asked_about() -> Prescription:
    """Its heel is higher than the client was promised."""
    return complete_draft(left={"heel": {"height_mm": 80}}, heel_limit_mm=30)
