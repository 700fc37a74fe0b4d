"""Measures, casts and lasts. By default the foot of a real person, so that nothing about it is implausible."""

import hashlib
from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from io import BytesIO
from typing import Any

from django.utils import timezone
from PIL import Image

from cases.lasts.models import (
    Cast,
    Last,
    LastAgreement,
    LastPatch,
    LastPhoto,
    Load,
    Making,
    Measure,
    MeasureSet,
    Method,
    Origin,
)
from cases.patients.models import Patient
from shared.sides import SIDES
from tests.factories.base import next_number, setting_up
from tests.factories.patients import make_patient
from tests.factories.staff import make_person
from workshop.staff.models import Person

FIRST_MAN: Mapping[str, int] = {
    "foot_length": 273,
    "joint_width": 101,
    "joint_girth": 253,
    "heel_to_joint": 202,
    "heel_width": 70,
    "short_heel_girth": 326,
    "ankle_girth": 222,
    "lateral_malleolus_height": 77,
    "calf_girth": 373,
}
"""The right foot of the first man of the open survey ANSUR II (NATICK/TR-15/007), in mm; here on both feet.

Its words: foot breadth, ball of foot circumference and length, heel-ankle circumference, for joint width, joint girth,
heel to joint and short heel girth.
"""


def make_measure_set(
    *,
    patient: Patient | None = None,
    taken_by: Person | None = None,
    taken_at: datetime | None = None,
    both: Mapping[str, Any] | None = None,
    left: Mapping[str, Any] | None = None,
    right: Mapping[str, Any] | None = None,
    **fields: Any,
) -> MeasureSet:
    """One sitting. `left` and `right` change measures of a foot, in mm or as a list of takes; None takes one away."""
    patient = patient or make_patient()
    taken_by = taken_by or make_person(name="Mira Measurer", roles=["clinician"])
    with setting_up():
        measure_set = MeasureSet.objects.create(
            patient=patient,
            taken_by=taken_by,
            taken_at=taken_at or timezone.now(),
            **{"method": Method.TAPE, "load": Load.PART, "heel_height_mm": Decimal(0), **fields},
        )
        for side in SIDES:
            of_this_foot = {**(FIRST_MAN if both is None else both), **((left if side == "left" else right) or {})}
            for name, value in of_this_foot.items():
                takes = () if value is None else value if isinstance(value, list | tuple) else (value,)
                for take, value_mm in enumerate(takes, start=1):
                    Measure.objects.create(
                        measure_set=measure_set, side=side, name=name, take=take, value_mm=Decimal(str(value_mm))
                    )
    return measure_set


def make_measure_set_of_one_foot(side: str, **said: Any) -> MeasureSet:
    """A sitting that took one foot alone, as a scan of one foot does."""
    measure_set = make_measure_set(**said)
    with setting_up():
        Measure.objects.filter(measure_set=measure_set).exclude(side=side).delete()
    return measure_set


def make_cast(
    *, patient: Patient | None = None, side: str = "left", made_by: Person | None = None, **fields: Any
) -> Cast:
    patient = patient or make_patient()
    made_by = made_by or make_person(name="Cora Caster", roles=["clinician"])
    with setting_up():
        return Cast.objects.create(
            patient=patient,
            side=side,
            made_by=made_by,
            **{"made_on": date(2026, 11, 2), "place": "shelf 3", "condition": "sound", **fields},
        )


def make_last(*, owner: Patient | None = None, side: str = "left", number: str | None = None, **fields: Any) -> Last:
    """A last on the rack; a stock last where no owner is given."""
    with setting_up():
        return Last.objects.create(
            owner=owner,
            side=side,
            number=number or f"T{next_number()}",
            **{
                "origin": Origin.MADE,
                "making": Making.TAPE,
                "length_mm": Decimal(285),
                "heel_height_mm": Decimal(22),
                "toe_spring_mm": Decimal(12),
                "toe_shape": "round",
                "place": "rack A1",
                "made_on": date(2026, 11, 2),
                **fields,
            },
        )


def make_patch(last: Last | None = None, *, by: Person, at: datetime, **fields: Any) -> LastPatch:
    """A patch that is planned on a last."""
    last = last or make_last()
    with setting_up():
        return LastPatch.objects.create(
            last=last,
            planned_by=by,
            planned_at=at,
            **{"work": "build up", "place": "over the joint", "height_mm": Decimal(3), **fields},
        )


def agreed(last: Last, *, by: Person | None = None) -> Last:
    """The same last, agreed as it is."""
    by = by or make_person(name="Agnes Agreer", roles=["maker"])
    with setting_up():
        LastAgreement.objects.create(last=last, last_version=last.version, by=by, at=timezone.now())
    return last


def make_photo(*, last: Last | None = None, by: Person, words: str = "") -> LastPhoto:
    """A photo of a last, small and brown."""
    picture = BytesIO()
    Image.new("RGB", (200, 100), "brown").save(picture, "JPEG")
    jpeg, last = picture.getvalue(), last or make_last()
    with setting_up():
        return LastPhoto.objects.create(
            last=last,
            jpeg=jpeg,
            sha256=hashlib.sha256(jpeg).hexdigest(),
            words=words,
            by=by,
            at=timezone.now(),
        )
