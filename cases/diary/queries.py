"""Every read of the diary that more than one place needs."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from uuid import UUID
from zoneinfo import ZoneInfo

from django.db.models import Case, DateField, F, Q, QuerySet, SmallIntegerField, Subquery, TimeField, Value, When
from django.utils import timezone
from psycopg.types.range import TimestamptzRange

from cases.diary.free_times import Calendar, Opening, Spell, free_times, gaps, next_quarter
from cases.diary.models import HOLDS_ITS_TIME, RING_BACK, Call, CallState, Visit, VisitKind, VisitStatus
from cases.patients.models import Patient
from workshop.hours.models import Closure, OpeningHours, Room
from workshop.hours.queries import closure_on
from workshop.staff.models import Person, RoleKind

DAYS_TO_LOOK_AHEAD = 60


def zone() -> ZoneInfo:
    """The zone on whose clock the workshop lives."""
    here = timezone.get_current_timezone()
    return here if isinstance(here, ZoneInfo) else ZoneInfo(str(here))


def clinicians() -> QuerySet[Person]:
    """Everybody who works here as a clinician."""
    return Person.objects.holding(RoleKind.CLINICIAN)


@dataclass(frozen=True)
class Choices:
    """What a visit can be booked for, with whom and where."""

    kinds: list[VisitKind]
    clinicians: list[Person]
    rooms: list[Room]


def choices() -> Choices:
    """Three queries."""
    return Choices(list(VisitKind.objects.exclude(key=RING_BACK)), list(clinicians()), list(Room.objects.all()))


def kind_named(key: str, *, clinician: UUID | None) -> VisitKind | None:
    """A kind of visit, with the key of the clinician of this uuid, who works here, as `clinician_pk`. One query."""
    named = clinicians().filter(uuid=clinician) if clinician else clinicians().none()
    return VisitKind.objects.filter(key=key).annotate(clinician_pk=Subquery(named.values("pk")[:1])).first()


def calendar() -> Calendar:
    """The weekly opening and all closures. One query."""
    no_day = Value(None, output_field=DateField())
    no_weekday, no_time = Value(None, output_field=SmallIntegerField()), Value(None, output_field=TimeField())
    weekly = OpeningHours.objects.order_by().values_list("weekday", "opens", "closes", no_day)
    closures = Closure.objects.order_by().values_list(no_weekday, no_time, no_time, "day")
    rows = list(weekly.union(closures, all=True))
    return Calendar(
        openings=tuple(Opening(*row[:3]) for row in rows if row[3] is None),
        closed=frozenset(row[3] for row in rows if row[3] is not None),
        zone=zone(),
    )


def clash(*, patient: Patient, clinician: Person | None, room: Room | None, spell: Spell) -> str | None:
    """What already stands at that time for this clinician, client or room, as a sentence; None where nothing does."""
    theirs = Q(patient=patient)
    if clinician:
        theirs |= Q(clinician=clinician)
    if room:
        theirs |= Q(room=room)
    visit = (
        Visit.objects.filter(
            theirs, status__in=HOLDS_ITS_TIME, during__overlap=TimestamptzRange(spell.starts, spell.ends)
        )
        .select_related("patient", "kind", "clinician")
        .order_by("during", "pk")
        .first()
    )
    if visit is None:
        return None
    what = f"{_time_words(visit)}: {visit.kind.name}"
    if clinician and visit.clinician_id == clinician.pk:
        return f"{clinician.name} already has a visit {what}, {visit.patient.name}."
    if visit.patient_id == patient.pk:
        with_whom = f" with {visit.clinician.name}" if visit.clinician else ""
        return f"{patient.name} already has a visit {what}{with_whom}."
    return f"{room} is already taken {what}, {visit.patient.name}."


def _time_words(visit: Visit) -> str:
    return f"{timezone.localtime(visit.starts_at):%H:%M} to {timezone.localtime(visit.ends_at):%H:%M}"


def next_free_times(*, theirs: Q, minutes: int, not_before: datetime, how_many: int = 5) -> tuple[datetime, ...]:
    """The next times at which none of these visits is, inside opening hours and on no closure. Two queries."""
    until = not_before + timedelta(days=DAYS_TO_LOOK_AHEAD + 1)
    ranges = Visit.objects.filter(
        theirs, status__in=HOLDS_ITS_TIME, during__overlap=TimestamptzRange(not_before, until)
    ).values_list("during", flat=True)
    return free_times(
        calendar=calendar(),
        taken=[_spell(taken) for taken in ranges],
        minutes=minutes,
        not_before=not_before,
        how_many=how_many,
        days_ahead=DAYS_TO_LOOK_AHEAD,
    )


def _spell(during: TimestamptzRange | None) -> Spell:
    if during is None or during.lower is None or during.upper is None:
        raise ValueError("Only a visit that takes a slot has a spell.")
    return Spell(during.lower, during.upper)


VISITS_TO_COME_SHOWN = 5


def visits_to_come(patient: Patient, *, today: date) -> QuerySet[Visit]:
    """What this client is booked for from today on, the soonest first. One query, where it is shown."""
    booked = Visit.objects.filter(patient=patient, status=VisitStatus.BOOKED, day__gte=today)
    return booked.select_related("kind", "clinician")[:VISITS_TO_COME_SHOWN]


def misgivings(spell: Spell, *, at: datetime) -> list[str]:
    """What somebody should know before booking this time, each as a sentence. Nothing here refuses."""
    here = calendar()
    day = spell.starts.astimezone(here.zone).date()
    if closure := closure_on(day):
        return [f"The workshop is closed on that day: {closure.name}."]
    found = []
    if here.openings and not here.is_open_for(spell):
        found.append("The workshop is not open for the whole of that time.")
    if spell.starts < at:
        found.append("This time has already passed.")
    return found


@dataclass(frozen=True)
class Line:
    """One line of a column: a visit, or a free gap to book into."""

    starts_at: datetime
    ends_at: datetime
    visit: Visit | None = None


@dataclass(frozen=True)
class Column:
    """The day of one clinician, in order of time; of nobody in particular where `clinician` is None."""

    clinician: Person | None
    lines: list[Line]


@dataclass(frozen=True)
class StripDay:
    """One day of the week strip."""

    day: date
    visits: int
    closure: str


@dataclass(frozen=True)
class DaySheet:
    """The diary of one day as `diary/_day.html` shows it."""

    day: date
    today: date
    columns: list[Column]
    drop_ins: list[Visit]
    given_back: list[Visit]
    closure: str
    is_open: bool
    week: list[StripDay]

    @property
    def previous_day(self) -> date:
        return self.day - timedelta(days=1)

    @property
    def next_day(self) -> date:
        return self.day + timedelta(days=1)

    @property
    def previous_week(self) -> date:
        return self.day - timedelta(days=7)

    @property
    def next_week(self) -> date:
        return self.day + timedelta(days=7)

    @property
    def is_to_come(self) -> bool:
        return self.day > self.today


def day_sheet(day: date, *, now: datetime) -> DaySheet:
    """Everything the diary shows of a day. Five queries, however many visits there are."""
    visits = list(
        Visit.objects.filter(day=day).select_related("patient", "clinician", "room", "kind").order_by("during", "pk")
    )
    standing = [visit for visit in visits if visit.during and visit.status in HOLDS_ITS_TIME]
    monday = day - timedelta(days=day.weekday())
    week_days = [monday + timedelta(days=offset) for offset in range(7)]
    closures = {closure.day: closure.name for closure in Closure.objects.filter(day__in=week_days)}
    openings = tuple(Opening(row.weekday, row.opens, row.closes) for row in OpeningHours.objects.all())
    open_today = Calendar(openings, frozenset(closures), zone()).open_spells(day)
    return DaySheet(
        day=day,
        today=timezone.localdate(now),
        columns=_columns(list(clinicians()), standing, open_today, now),
        drop_ins=[visit for visit in visits if visit.is_drop_in and visit.status in HOLDS_ITS_TIME],
        given_back=[visit for visit in visits if visit.status not in HOLDS_ITS_TIME],
        closure=closures.get(day, ""),
        is_open=bool(open_today),
        week=_week(week_days, closures),
    )


def _columns(
    working: list[Person], visits: Sequence[Visit], open_today: Sequence[Spell], now: datetime
) -> list[Column]:
    # Somebody who has left since still stands in the diary of the day.
    people = {person.pk: person for person in working}
    people |= {visit.clinician.pk: visit.clinician for visit in visits if visit.clinician}
    columns = []
    for person in people.values():
        mine = [visit for visit in visits if visit.clinician_id == person.pk]
        columns.append(Column(person, _lines(mine, open_today, now)))
    if unassigned := [visit for visit in visits if visit.clinician_id is None]:
        columns.append(Column(None, _lines(unassigned, (), now)))
    return columns


def _lines(visits: Sequence[Visit], open_today: Sequence[Spell], now: datetime) -> list[Line]:
    """Visits and gaps in order of time. What has passed of a gap is no longer offered."""
    taken = {visit.pk: _spell(visit.during) for visit in visits}
    still_open = [Spell(max(spell.starts, next_quarter(now)), spell.ends) for spell in open_today]
    lines = [Line(taken[visit.pk].starts, taken[visit.pk].ends, visit) for visit in visits]
    lines.extend(Line(gap.starts, gap.ends) for gap in gaps(openings=still_open, taken=list(taken.values())))
    return sorted(lines, key=lambda line: (line.starts_at, line.ends_at))


def _week(days: Sequence[date], closures: dict[date, str]) -> list[StripDay]:
    counts = Counter(
        Visit.objects.filter(day__in=days, status__in=HOLDS_ITS_TIME).order_by().values_list("day", flat=True)
    )
    return [StripDay(day, counts[day], closures.get(day, "")) for day in days]


UNMARKED_SHOWN = 30


def unmarked_visits(today: date) -> list[Visit]:
    """Visits of past days of which nobody said whether they took place, the oldest first. One query."""
    left = Visit.objects.filter(day__lt=today, status__in=(VisitStatus.BOOKED, VisitStatus.ARRIVED))
    return list(left.select_related("patient", "kind", "clinician").order_by("day", "during", "pk")[:UNMARKED_SHOWN])


CALLS_SHOWN = 50


def calls_due(today: date) -> list[Call]:
    """Whom to call today: whom a clinician must ring back; those never tried, longest due first; then those tried.

    One query.
    """
    return list(_open_calls().filter(due_on__lte=today)[:CALLS_SHOWN])


def calls_later(today: date) -> list[Call]:
    """Whom to call on a later day. One query."""
    return list(_open_calls().filter(due_on__gt=today).order_by("due_on", "pk")[:CALLS_SHOWN])


def _open_calls() -> QuerySet[Call]:
    urgent_first = Case(When(kind__key=RING_BACK, then=Value(0)), default=Value(1))
    return (
        Call.objects.filter(state=CallState.OPEN)
        .select_related("patient", "kind")
        .order_by(urgent_first, F("last_tried_at").asc(nulls_first=True), "due_on", "pk")
    )


def ring_backs() -> list[Call]:
    """Whom a clinician must ring back: a possible red flag was said on the telephone. One query."""
    return list(_open_calls().filter(kind__key=RING_BACK)[:CALLS_SHOWN])


def start_of(day: date) -> datetime:
    """Midnight of a day on the workshop's clock, or the first minute the clocks leave of it."""
    return datetime.combine(day, time.min, tzinfo=zone())
