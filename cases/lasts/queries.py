"""Every read of measures, casts and lasts that more than one place needs."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from django.db.models import Exists, OuterRef, Q, QuerySet
from django.utils import timezone

from cases.diary.models import Visit, VisitStatus
from cases.lasts import measures, sizes
from cases.lasts.measures import MEASURES, MeasureAgain, MeasureKind
from cases.lasts.models import Cast, Last, LastAgreement, MeasureSet
from cases.patients import search
from cases.patients.models import Patient
from shared.sides import SIDES, Side
from shared.workings import Workings
from workshop.figures.queries import figure
from workshop.staff.models import Person, RoleKind

TOE_ALLOWANCE = "toe_allowance_mm"
MOST_ON_THE_RACK = 50
"""How many lasts one search shows; for more, type on."""
VISITS_WITHIN_DAYS = 30


# Measures ----------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Shown:
    """One measure of one foot: the value its takes stand for, and the takes, in mm."""

    value_mm: Decimal
    takes_mm: tuple[Decimal, ...]


@dataclass(frozen=True)
class MeasureRow:
    """One measure of both feet, side by side."""

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


def rows_of(measure_set: MeasureSet) -> list[MeasureRow]:
    """The measures of a sitting in the order of the list, both feet side by side. No query where fetched."""
    left, right = (
        {name: Shown(measures.value_of(takes), takes) for name, takes in takes_of(measure_set, side).items()}
        for side in SIDES
    )
    return [
        MeasureRow(kind, left.get(kind.key), right.get(kind.key))
        for kind in MEASURES
        if kind.key in left or kind.key in right
    ]


def questions_of(measure_set: MeasureSet) -> tuple[MeasureAgain, ...]:
    """What had better be measured again. No query where measures were fetched."""
    return measures.measure_slips(left=values_of(measure_set, Side.LEFT), right=values_of(measure_set, Side.RIGHT))


def measure_sets_of(patient: Patient) -> QuerySet[MeasureSet]:
    """The sittings of a client, latest first, with their measures. Two queries; `lasts/_measures.html` shows them."""
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


# Sizes -------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class FootSizes:
    """What the length of one foot says about its last. `cannot` says why where nothing can be worked out."""

    side: Side
    last_length: Workings | None = None
    sizes: tuple[Workings, ...] = ()
    spread: Workings | None = None
    mondopoint: Workings | None = None
    cannot: str = ""


def sizes_of(measure_set: MeasureSet) -> tuple[FootSizes, FootSizes]:
    """The sizes of LEFT and of RIGHT, with the toe allowance that was valid when they were measured. One query."""
    allowance = float(figure(TOE_ALLOWANCE, on=timezone.localdate(measure_set.taken_at)))
    left, right = (_sizes_of_a_foot(side, values_of(measure_set, side), allowance) for side in SIDES)
    return left, right


def _sizes_of_a_foot(side: Side, values: Mapping[str, Decimal], toe_allowance_mm: float) -> FootSizes:
    if "foot_length" not in values:
        return FootSizes(side, cannot="The foot length was not taken.")
    foot_length_mm = float(values["foot_length"])
    width = float(values["joint_width"]) if "joint_width" in values else None
    try:
        return FootSizes(
            side,
            last_length=sizes.last_length(foot_length_mm=foot_length_mm, toe_allowance_mm=toe_allowance_mm).workings,
            sizes=sizes.sizes_of_foot(foot_length_mm=foot_length_mm, toe_allowance_mm=toe_allowance_mm).workings,
            spread=sizes.spread(foot_length_mm=foot_length_mm).workings,
            mondopoint=sizes.mondopoint(foot_length_mm=foot_length_mm, foot_width_mm=width).workings,
        )
    except sizes.BadInput as error:
        return FootSizes(side, cannot=f"No size can be worked out: {error}.")


def sizes_of_a_last(last: Last) -> tuple[Workings, ...]:
    """The sizes read on a last itself; none where it is too short for the scales. No query."""
    try:
        return sizes.sizes_of_last(last_length_mm=float(last.length_mm)).workings
    except sizes.BadInput:
        return ()


# Casts and lasts ---------------------------------------------------------------------------------------------


def casts_of(patient: Patient) -> QuerySet[Cast]:
    """The casts of a client, latest first, destroyed ones among them. One query; `lasts/_casts.html` shows them."""
    return patient.casts.select_related("made_by").order_by("-made_on", "side", "-pk")


def casts_to_work_from(patient: Patient) -> QuerySet[Cast]:
    """Casts that are still there."""
    return casts_of(patient).filter(destroyed_on__isnull=True)


def people_who_cast() -> QuerySet[Person]:
    """Everybody who works here as a clinician."""
    return Person.objects.holding(RoleKind.CLINICIAN)


def people_who_make_lasts() -> QuerySet[Person]:
    """Everybody who works here as a maker or clinician."""
    return Person.objects.working().filter(roles__kind__in=[RoleKind.MAKER, RoleKind.CLINICIAN]).distinct()


def fellow_of(last: Last) -> Last | None:
    """The last of the other foot under the same number. One query."""
    return Last.objects.filter(number=last.number).exclude(pk=last.pk).first()


def lasts_of(patient: Patient) -> QuerySet[Last]:
    """The lasts of a client with whether each is agreed as it is. One query; `lasts/_lasts.html` shows them."""
    return with_agreement(Last.objects.filter(owner=patient))


def with_agreement(lasts: QuerySet[Last]) -> QuerySet[Last]:
    """The same lasts, each with `is_agreed`: somebody agreed it in its present state."""
    as_it_is = LastAgreement.objects.filter(last=OuterRef("pk"), last_version=OuterRef("version"))
    return lasts.annotate(is_agreed=Exists(as_it_is))  # type: ignore[no-redef]  # the model says that it may be there


@dataclass(frozen=True)
class Rack:
    """The lasts that a search found. `more`: there are others, type on."""

    lasts: Sequence[Last]
    more: bool


def rack(*, text: str = "", side: str = "") -> Rack:
    """The register by number, owner and place; every word typed must be in one of them. One query."""
    found = with_agreement(Last.objects.select_related("owner"))
    if side in SIDES:
        found = found.filter(side=side)
    for word in text[: search.LONGEST_SEARCH].split()[: search.MOST_WORDS]:
        matches = Q(number__icontains=word) | Q(place__icontains=word)
        if folded := search.fold(word):
            matches |= Q(owner__search_text__contains=folded)
        found = found.filter(matches)
    lasts = list(found.order_by("number", "side")[: MOST_ON_THE_RACK + 1])
    return Rack(lasts=lasts[:MOST_ON_THE_RACK], more=len(lasts) > MOST_ON_THE_RACK)
