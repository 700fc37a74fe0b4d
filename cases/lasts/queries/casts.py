"""The casts of a client and of all."""

from collections.abc import Sequence
from dataclasses import dataclass

from django.db.models import Q, QuerySet

from cases.lasts.models import Cast
from cases.patients import search
from cases.patients.models import Patient
from shared.sides import SIDES
from workshop.staff.models import Person, RoleKind

MOST_CASTS_FOUND = 60
"""How many casts one search shows; for more, type on."""


def casts_of(patient: Patient) -> QuerySet[Cast]:
    """The casts of a client, latest first, destroyed ones among them. One query; `lasts/_casts.html` shows them."""
    return patient.casts.select_related("made_by").order_by("-made_on", "side", "-pk")


def casts_to_work_from(patient: Patient) -> QuerySet[Cast]:
    """Casts that are still there."""
    return casts_of(patient).filter(destroyed_on__isnull=True)


def people_who_cast() -> QuerySet[Person]:
    """Everybody who works here as a clinician."""
    return Person.objects.holding(RoleKind.CLINICIAN)


@dataclass(frozen=True)
class CastsFound:
    """The casts that a search found. `more`: there are others, type on."""

    casts: Sequence[Cast]
    more: bool


def casts_found(*, text: str = "", side: str = "", destroyed: bool = False) -> CastsFound:
    """The register by place, record number and client; every word typed must be in one of them. One query.

    What is destroyed is shown only where it is asked for.
    """
    found = Cast.objects.select_related("patient")
    if not destroyed:
        found = found.filter(destroyed_on__isnull=True)
    if side in SIDES:
        found = found.filter(side=side)
    for word in text[: search.LONGEST_SEARCH].split()[: search.MOST_WORDS]:
        matches = Q(place__icontains=word)
        if folded := search.fold(word):
            matches |= Q(patient__search_text__contains=folded)
        found = found.filter(matches)
    casts = list(found.order_by("-made_on", "patient__record_number", "side", "-pk")[: MOST_CASTS_FOUND + 1])
    return CastsFound(casts=casts[:MOST_CASTS_FOUND], more=len(casts) > MOST_CASTS_FOUND)
