"""Prescriptions, complete and plausible unless a test asks for something else."""

import hashlib
from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any
from uuid import UUID, uuid4

from django.utils import timezone

from cases.lasts.models import Last
from cases.patients.models import Patient
from cases.prescriptions import queries
from cases.prescriptions.models import (
    Foot,
    OrderDocument,
    Prescription,
    PrescriptionStatus,
    StartingPattern,
    WeighedShoe,
)
from cases.prescriptions.models.prescription import MANY_PARTS
from cases.prescriptions.patterns import as_pattern
from shared.history import acting
from tests.factories.base import next_number, setting_up
from tests.factories.staff import make_person
from workshop.staff.models import Person

Parts = Mapping[str, Any]
"""By the part's name: its values, a list of values where a foot may have several, or None for no such part."""

ORDINARY: Parts = {
    "upper": {"style": "Derby", "height": "low", "fastening": "laces", "fastening_count": 4, "leather": "calf"},
    "stiffener": {
        "medial_reach": "medium",
        "medial_reach_mm": 130,
        "lateral_reach": "medium",
        "lateral_reach_mm": 112,
        "back_height_mm": 50,
        "thickness_mm": "2.8",
        "material": "vegetable-tanned belly",
    },
    "toe_puff": {"kind": "standard", "length_mm": 56, "thickness_mm": "1.6"},
    "insole": {"leather": "vegetable-tanned shoulder", "thickness_mm": "4.2", "sock": "calf, full"},
    "sole": {"material": "microcellular rubber", "thickness_mm": 8, "tread": "plain"},
    "heel": {"height_mm": 22, "material": "microcellular rubber"},
}


def make_prescription(
    *,
    patient: Patient | None = None,
    written_by: Person | None = None,
    number: int | None = None,
    work: str = "new",
    feet: str = "both",
    construction: str = "cemented",
    both: Parts | None = None,
    left: Parts | None = None,
    right: Parts | None = None,
    left_last: Last | None = None,
    right_last: Last | None = None,
    **fields: Any,
) -> Prescription:
    """A draft with ordinary parts on each foot; `both`, `left` and `right` change parts, None takes one away.

    `foot` names what stands on the foot itself (toe filler, remarks).

    `make_prescription(left={"stiffener": {"medial_reach": "long"}, "rocker": {"apex_percent": 55, "angle_deg": 15}})`
    """
    written_by = written_by or make_person(name="Pia Prescriber", roles=["clinician"], may_prescribe=True)
    if patient is None:
        from tests.factories.patients import make_patient

        patient = make_patient()
    sides = ["left", "right"] if feet == "both" else [feet]
    with setting_up():
        prescription = Prescription.objects.create(
            patient=patient,
            number=number or next_number(),
            work=work,
            feet=feet,
            construction=construction,
            written_by=written_by,
            written_at=timezone.now(),
            **fields,
        )
        for side in sides:
            last = left_last if side == "left" else right_last
            foot = Foot.objects.create(prescription=prescription, side=side, last=last)
            _make_parts(foot, [ORDINARY, both or {}, (left if side == "left" else right) or {}])
    return queries.whole(prescription.uuid)


def _make_parts(foot: Foot, layers: Sequence[Parts]) -> None:
    names = {name for layer in layers for name in layer}
    for name in sorted(names):
        if name == "foot":
            Foot.objects.filter(pk=foot.pk).update(**next(layer[name] for layer in reversed(layers) if name in layer))
            continue
        kind: Any = Foot._meta.get_field(name).related_model
        if name in MANY_PARTS:
            for row in next((layer[name] for layer in reversed(layers) if name in layer), None) or ():
                kind.objects.create(foot=foot, **row)
            continue
        if any(name in layer and layer[name] is None for layer in layers):
            continue
        values: dict[str, Any] = {}
        for layer in layers:
            values |= layer.get(name) or {}
        kind.objects.create(foot=foot, **values)


def signed(prescription: Prescription, *, by: Person | None = None) -> Prescription:
    """The same version, signed by a person who may prescribe."""
    by = by or prescription.written_by
    now = timezone.now()
    with acting(by=by, action="sign_prescription", says="Signed for a test.", at=now):
        Prescription.objects.filter(pk=prescription.pk).update(
            status=PrescriptionStatus.SIGNED, signed_by=by, signed_at=now
        )
    return queries.whole(prescription.uuid)


def make_signed_prescription(**kwargs: Any) -> Prescription:
    """A signed version; arguments as for `make_prescription`."""
    return signed(make_prescription(**kwargs))


A_PDF = b"%PDF-1.4\n1 0 obj\n<<>>\nendobj\n%%EOF\n"


def make_order_document(prescription: Prescription, *, title: str = "Letter", content: bytes = A_PDF) -> OrderDocument:
    """The paper of an outside prescriber, attached to a version."""
    with setting_up():
        return OrderDocument.objects.create(
            prescription=prescription,
            kind="letter",
            title=title,
            content_type="application/pdf",
            file=content,
            sha256=hashlib.sha256(content).hexdigest(),
            by=prescription.written_by,
            at=timezone.now(),
        )


def make_pattern(prescription: Prescription, *, name: str = "House shoe") -> StartingPattern:
    """A pattern with the parts of the first foot of a prescription."""
    with setting_up():
        return StartingPattern.objects.create(
            name=name,
            construction=prescription.construction,
            parts=as_pattern(prescription.foot_set.all()[0]),
            by=prescription.written_by,
            at=timezone.now(),
        )


def make_weighed_shoe(
    *,
    pair_uuid: UUID | None = None,
    side: str = "left",
    weighed_g: int = 500,
    estimated_g: float = 500,
    by: Person | None = None,
) -> WeighedShoe:
    """A finished shoe that was put on the scale."""
    by = by or make_person(name="Sela Scale", roles=["maker"])
    with setting_up():
        return WeighedShoe.objects.create(
            prescription_uuid=uuid4(),
            pair_uuid=pair_uuid or uuid4(),
            side=side,
            weighed_g=weighed_g,
            estimated_g=Decimal(str(estimated_g)),
            by=by,
            at=timezone.now(),
        )
