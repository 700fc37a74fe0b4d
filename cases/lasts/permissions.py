"""Who may do what with measures, casts and lasts.

The clinician measures and casts; makers and clinicians handle lasts. Makers read measures, since they work from them;
the manager reads all. Reception has nothing here.
"""

from datetime import datetime
from uuid import UUID

from django.db.models import OuterRef, Prefetch, Subquery
from django.http import Http404

from cases.lasts.models import Cast, Last, LastAgreement, LastPhoto, Measure, MeasureSet, Scan, SlipAnswer
from cases.lasts.queries.lasts import photos_on, with_photos
from cases.patients.models import Patient
from cases.patients.queries import patient_for
from workshop.staff.models import Person

MEASURES = ("clinician",)
HANDLES_LASTS = ("clinician", "maker")
READS = ("clinician", "maker", "manager")


def may_measure(person: Person) -> bool:
    return person.holds_any_of(MEASURES)


def may_handle_lasts(person: Person) -> bool:
    return person.holds_any_of(HANDLES_LASTS)


def patient_to_measure(person: Person, uuid: UUID, *, at: datetime) -> Patient:
    """The client, if this person may write to the record. Raises as `patient_for`. One query."""
    return patient_for(person, uuid, at=at, clinical=True, change=True)


def owner_of_lasts(uuid: UUID) -> Patient:
    """The client whose last is registered: a maker needs the name on it, and nothing else of the record. One query."""
    patient = Patient.objects.filter(uuid=uuid).first()
    if patient is None:
        raise Http404
    return patient


def measure_set(uuid: UUID) -> MeasureSet:
    """A sitting with its client and all that was taken of both feet, for those who work from it. Five queries."""
    found = (
        MeasureSet.objects.select_related("patient", "taken_by", "visit__kind")
        .prefetch_related(
            Prefetch("measures", queryset=Measure.objects.select_related("taken_by")),
            "leg_girths",
            "deviations",
            Prefetch("slip_answers", queryset=SlipAnswer.objects.select_related("by")),
        )
        .filter(uuid=uuid)
        .first()
    )
    if found is None:
        raise Http404
    return found


def cast(uuid: UUID) -> Cast:
    """A cast with its client. One query."""
    found = Cast.objects.select_related("patient", "made_by").filter(uuid=uuid).first()
    if found is None:
        raise Http404
    return found


def scan(uuid: UUID) -> Scan:
    """A scan with its client and cast, its file only where it is asked for. One query."""
    found = (
        Scan.objects.defer("file").select_related("patient", "cast", "added_by", "taken_as").filter(uuid=uuid).first()
    )
    if found is None:
        raise Http404
    return found


def last(uuid: UUID) -> Last:
    """A last with owner, hands, cast, agreements, photos, and `fellow_uuid` of that of the other foot. Two queries."""
    fellow = Last.objects.filter(number=OuterRef("number")).exclude(pk=OuterRef("pk"))
    found = (
        with_photos(Last.objects.select_related("owner", "made_by", "altered_by", "measured_by", "cast"))
        .annotate(fellow_uuid=Subquery(fellow.values("uuid")[:1]))
        .prefetch_related(Prefetch("agreements", queryset=LastAgreement.objects.select_related("by")))
        .filter(uuid=uuid)
        .first()
    )
    if found is None:
        raise Http404
    found.shown_photos = photos_on(found)
    return found


def photo(uuid: UUID) -> LastPhoto:
    """A photo of a last, with the picture. One query."""
    found = LastPhoto.objects.filter(uuid=uuid).first()
    if found is None:
        raise Http404
    return found
