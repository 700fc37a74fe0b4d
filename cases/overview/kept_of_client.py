"""What the workshop has of a client's feet: sittings of measuring, casts and lasts, in one list and one query."""

from dataclasses import dataclass, replace
from datetime import date
from uuid import UUID

from django.db.models import CharField, DateField, Exists, OuterRef, Value
from django.db.models.functions import Cast as AsType
from django.db.models.functions import TruncDate

from cases.lasts.models import Cast, Last, LastAgreement, Load, MeasureSet
from cases.patients.models import Patient

MEASURES, CAST, LAST = "measures", "cast", "last"


@dataclass(frozen=True)
class Kept:
    """One thing. `note` is its load in words, its condition or number; `state`: destroyed, agreed, or not."""

    kind: str
    uuid: UUID
    side: str
    day: date
    place: str
    note: str
    state: bool


def kept_of(patient: Patient) -> list[Kept]:
    """Measures, casts and lasts of a client, latest first within each kind. One query."""
    agreed = LastAgreement.objects.filter(last=OuterRef("pk"), last_version=OuterRef("version"))
    nothing = Value("", output_field=CharField())
    sittings = MeasureSet.objects.filter(patient=patient).values_list(
        Value(MEASURES), "uuid", nothing, TruncDate("taken_at"), nothing, "load", Value(value=False)
    )
    casts = Cast.objects.filter(patient=patient).values_list(
        Value(CAST),
        "uuid",
        "side",
        "made_on",
        "place",
        "condition",
        Exists(Cast.objects.filter(pk=OuterRef("pk"), destroyed_on__isnull=False)),
    )
    lasts = Last.objects.filter(owner=patient).values_list(
        Value(LAST), "uuid", "side", AsType("made_on", DateField()), "place", "number", Exists(agreed)
    )
    rows = sittings.order_by().union(casts.order_by(), lasts.order_by(), all=True)
    found = [_in_words(Kept(*row)) for row in rows]
    return sorted(found, key=lambda kept: (kept.kind, -kept.day.toordinal(), kept.note, kept.side))


def _in_words(kept: Kept) -> Kept:
    return replace(kept, note=Load(kept.note).label) if kept.kind == MEASURES else kept
