"""The casts of a client."""

from django.db.models import QuerySet

from cases.lasts.models import Cast
from cases.patients.models import Patient
from workshop.staff.models import Person, RoleKind


def casts_of(patient: Patient) -> QuerySet[Cast]:
    """The casts of a client, latest first, destroyed ones among them. One query; `lasts/_casts.html` shows them."""
    return patient.casts.select_related("made_by").order_by("-made_on", "side", "-pk")


def casts_to_work_from(patient: Patient) -> QuerySet[Cast]:
    """Casts that are still there."""
    return casts_of(patient).filter(destroyed_on__isnull=True)


def people_who_cast() -> QuerySet[Person]:
    """Everybody who works here as a clinician."""
    return Person.objects.holding(RoleKind.CLINICIAN)
