"""What was measured, and what had better be measured again."""

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from django.db.models import Exists, OuterRef, QuerySet

from cases.diary.models import Visit, VisitStatus
from cases.lasts import measures
from cases.lasts.measures import MEASURES, MeasureKind
from cases.lasts.models import Measure, MeasureSet, MeasuringDraft
from cases.patients.models import Patient
from shared.sides import SIDES
from workshop.staff.models import Person

VISITS_WITHIN_DAYS = 30


@dataclass(frozen=True)
class Shown:
    """One measure of one foot: the value its takes stand for, and the takes, in mm."""

    value_mm: Decimal
    takes_mm: tuple[Decimal, ...]


@dataclass(frozen=True)
class MeasureRow:
    """One measure of both feet, side by side. `number` is the one it has on the drawing."""

    number: int
    kind: MeasureKind
    left: Shown | None
    right: Shown | None


def takes_of(measure_set: MeasureSet, side: str) -> dict[str, tuple[Decimal, ...]]:
    """All takes of one foot in their order, by the measure's key. No query where measures were fetched."""
    found: dict[str, list[tuple[int, Decimal]]] = {}
    for measure in measure_set.measures.all():
        if measure.side == side:
            found.setdefault(measure.name, []).append((measure.take, measure.value_mm))
    return {name: tuple(value for _, value in sorted(takes)) for name, takes in found.items()}


def values_of(measure_set: MeasureSet, side: str) -> dict[str, Decimal]:
    """One value in mm for each measure of one foot. No query where measures were fetched."""
    return {name: measures.value_of(takes) for name, takes in takes_of(measure_set, side).items()}


def sitting_of_foot(measure_set: MeasureSet, side: str) -> MeasureSet:
    """The sitting that one foot's measures come from: this one, else the latest before it that took any of that foot.

    A scan of one foot does not make the other foot's measures go missing. No query where measures were fetched and
    this sitting took the foot; three for a foot that it did not take, once.
    """
    if any(measure.side == side for measure in measure_set.measures.all()):
        return measure_set
    found = dict(measure_set.stood_in_for or {})
    if side not in found:
        before = MeasureSet.objects.filter(patient=measure_set.patient_id, taken_at__lte=measure_set.taken_at)
        took_it = before.filter(Exists(Measure.objects.filter(measure_set=OuterRef("pk"), side=side)))
        earlier = took_it.select_related("taken_by").prefetch_related("measures", "deviations")
        found[side] = earlier.order_by("-taken_at", "-pk").first() or measure_set
        measure_set.stood_in_for = found
    return found[side]


def rows_of(measure_set: MeasureSet) -> list[MeasureRow]:
    """The measures of a sitting in the order of the list, both feet side by side. No query where fetched."""
    left, right = (
        {name: Shown(measures.value_of(takes), takes) for name, takes in takes_of(measure_set, side).items()}
        for side in SIDES
    )
    return [
        MeasureRow(number, kind, left.get(kind.key), right.get(kind.key))
        for number, kind in enumerate(MEASURES, start=1)
        if kind.key in left or kind.key in right
    ]


def measure_sets_of(patient: Patient) -> QuerySet[MeasureSet]:
    """The sittings of a client, latest first, with their measures. Two queries."""
    return patient.measure_sets.select_related("taken_by").prefetch_related("measures").order_by("-taken_at", "-pk")


def last_time(patient: Patient) -> MeasureSet | None:
    """The latest sitting of a client with its measures. Two queries, one where there is none."""
    return measure_sets_of(patient).first()


def visits_to_measure_at(patient: Patient, *, today: date) -> QuerySet[Visit]:
    """The visits of this client to which measures or a cast may belong: lately, today, and not called off."""
    return (
        Visit.objects.filter(patient=patient, day__lte=today, day__gte=today - timedelta(days=VISITS_WITHIN_DAYS))
        .exclude(status__in=[VisitStatus.CANCELLED, VisitStatus.MISSED])
        .select_related("kind")
        .order_by("-day", "-during", "-pk")
    )


def visit_of_today(patient: Patient, *, today: date) -> Visit | None:
    """The visit at which this client is here today, if there is one. One query."""
    return visits_to_measure_at(patient, today=today).filter(day=today).first()


def drafts_of(patient: Patient) -> list[MeasuringDraft]:
    """What anybody has typed of this client's feet and not saved, latest first. One query."""
    drafts = MeasuringDraft.objects.filter(patient=patient).select_related("person")
    return list(drafts.order_by("-saved_at"))


def draft_by(person: Person, drafts: list[MeasuringDraft]) -> MeasuringDraft | None:
    """This person's own draft among those of a client. No query."""
    return next((draft for draft in drafts if draft.person_id == person.pk), None)
