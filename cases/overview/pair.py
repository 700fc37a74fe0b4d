"""The pair's page: what its shoes hold, how far it is, what was promised, and its story."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from typing import Any
from uuid import UUID

from django.contrib.postgres.expressions import ArraySubquery
from django.db.models import OuterRef, Q, QuerySet
from django.db.models.functions import JSONObject
from django.http import Http404, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from cases.bench.checks_asked import part_words
from cases.bench.models import Difference, DifferenceState, Pair, PairState, Promise
from cases.bench.queries import seen, with_stages
from cases.fittings.models import Fitting, FittingOutcome, HandOver, Review
from cases.overview.checks_told import (
    CHECK_COLUMNS,
    FINAL_COLUMNS,
    PHOTO_COLUMNS,
    final_figures,
    final_told,
    stages_told,
    standing_checks,
    standing_photos,
)
from cases.overview.job_card import print_job_card
from cases.overview.review_letter import print_review_letter
from cases.overview.side_by_side import PartGroup, side_by_side
from cases.patients.models import Allergy, Paper, Patient
from cases.patients.permissions import CLINICAL_ROLES
from cases.patients.queries import FOR_THE_BENCH
from cases.prescriptions.described import describe
from cases.prescriptions.drawn import drawn
from cases.prescriptions.queries import whole
from shared.fragments import done, page
from shared.models import Deed
from shared.permissions import allowed
from workshop.staff.models import Person
from workshop.staff.requests import StaffRequest

ENTERED_LATER = timedelta(minutes=15)
"""A deed entered later than this after it was done says when it was entered."""

BENCH_ROLES = CLINICAL_ROLES | {"maker"}


@dataclass(frozen=True)
class Told:
    """One deed of the pair's story. `entered_at` only where it was entered noticeably later; `because` where typed."""

    done_at: datetime
    who: str
    says: str
    because: str
    entered_at: datetime | None

    @property
    def entered_on_the_day(self) -> bool:
        """Whether the time of day alone says when it was entered."""
        entered = self.entered_at
        return entered is not None and timezone.localdate(entered) == timezone.localdate(self.done_at)


@allowed("reception", "clinician", "maker", "manager")
@require_safe
def pair(request: StaffRequest, uuid: UUID) -> HttpResponse:
    now = timezone.now()
    progress = seen(_pair_with_rows(uuid), now=now)
    this = progress.pair
    at_the_bench = request.user.holds_any_of(BENCH_ROLES)
    context = {
        "progress": progress,
        "pair": this,
        "patient": this.patient,
        "names_client": names_client(request.user),
        "initials": initials(this.patient),
        "reads_bench": at_the_bench,
        "reads_record": request.user.holds_any_of(CLINICAL_ROLES),
        "for_the_bench": FOR_THE_BENCH,
        "bench_first": _bench_comes_first(request, this),
        **_rows(this),
    }
    if at_the_bench:
        told = stages_told(this.__dict__["check_rows"], this.__dict__["photo_rows"])
        context |= {
            "story": story_of(this),
            "checked": told,
            "final": final_told(this.__dict__["final_rows"]),
            "sides": _sides(this),
            **_held(this, on=timezone.localdate(now)),
        }
    return page(request, "overview/pair.html", context)


@allowed("clinician", "maker", "manager")
@require_POST
def job_card_print(request: StaffRequest, uuid: UUID) -> HttpResponse:
    try:
        paper = print_job_card(uuid, by=request.user, at=timezone.now())
    except Pair.DoesNotExist as error:
        raise Http404 from error
    return done("paper", paper.uuid)


@allowed("clinician", "manager")
@require_POST
def review_letter_print(request: StaffRequest, uuid: UUID) -> HttpResponse:
    try:
        paper = print_review_letter(uuid, by=request.user, at=timezone.now())
    except Review.DoesNotExist as error:
        raise Http404 from error
    return done("paper", paper.uuid)


def names_client(person: Person) -> bool:
    """A maker works from initials and record number on a screen that others pass; the job card bears the name."""
    return person.holds_any_of(CLINICAL_ROLES | {"reception"})


def initials(patient: Patient) -> str:
    """The first letter of each name: M. F."""
    return " ".join(f"{name[0]}." for name in patient.name.split())


def _bench_comes_first(request: StaffRequest, this: Pair) -> bool:
    stands_at_bench = bool(request.terminal) or "maker" in request.user.role_kinds
    return this.state == PairState.OPEN and stands_at_bench and request.user.holds_any_of(BENCH_ROLES)


def _sides(this: Pair) -> Sequence[str]:
    return ("left", "right") if this.feet == "both" else (this.feet,)


def _held(this: Pair, *, on: date) -> dict[str, Any]:
    """What the pair's shoes hold, in words and drawn."""
    groups: tuple[PartGroup, ...] = ()
    if this.working_to is None:
        return {"groups": groups, "cut_aways": (), "implied": None}
    version = whole(this.working_to.uuid)
    shown = drawn(version, on=on)
    return {"groups": side_by_side(describe(version)), "cut_aways": shown.cut_aways, "implied": shown.implied}


def story_of(this: Pair) -> list[Told]:
    """Everything that was done with this pair, in the order in which it was done. One query."""
    return [_told(deed) for deed in Deed.objects.filter(pair_uuid=this.uuid).order_by("done_at", "pk")]


def _told(deed: Deed) -> Told:
    entered = deed.entered_at
    late = entered if entered is not None and entered - deed.done_at > ENTERED_LATER else None
    return Told(
        done_at=deed.done_at,
        who=deed.who_name,
        says=deed.says,
        because=deed.reason if deed.reason_typed else "",
        entered_at=late,
    )


# Everything else about a pair comes with the pair itself: lists of a few rows, in the one query that reads it. --------


def _pair_with_rows(uuid: UUID) -> Pair:
    pairs = with_stages(Pair.objects.filter(uuid=uuid)).annotate(
        **_what_was_checked(),
        promise_rows=_array(
            Promise.objects.filter(pair=OuterRef("pk")).order_by("-at", "-pk"), "day", "reason", "at", by="by__name"
        ),
        difference_rows=_array(
            Difference.objects.filter(pair=OuterRef("pk")).order_by("raised_at", "pk"),
            "side",
            "part",
            "found",
            "state",
            "raised_at",
            "settled_at",
            "settled_because",
            raised_by="raised_by__name",
            settled_by="settled_by__name",
        ),
        fitting_rows=_array(
            Fitting.objects.filter(pair=OuterRef("pk")).order_by("at"), "uuid", "kind", "outcome", "at"
        ),
        hand_over_rows=_array(HandOver.objects.filter(pair=OuterRef("pk")), "uuid", "at", "review_due_on"),
        review_rows=_array(Review.objects.filter(pair=OuterRef("pk")).order_by("at"), "uuid", "at"),
        paper_rows=_array(
            _papers_about(),
            "uuid",
            "kind",
            "title",
            "rendered_at",
            by="rendered_by__name",
            replaced_by="replaced_by__uuid",
        ),
        allergy_rows=_array(
            Allergy.objects.filter(patient=OuterRef("patient"), ended_on__isnull=True), "substance", "kind"
        ),
    )
    found = pairs.first()
    if found is None:
        raise Http404
    return found


def _what_was_checked() -> dict[str, ArraySubquery]:
    return {
        "check_rows": _array(standing_checks(), **CHECK_COLUMNS),
        "final_rows": _array(final_figures(), **FINAL_COLUMNS),
        "photo_rows": _array(standing_photos(), **PHOTO_COLUMNS),
    }


def _papers_about() -> QuerySet[Paper]:
    """Job cards are about the pair, letters about its reviews."""
    reviews = Review.objects.filter(pair=OuterRef(OuterRef("pk"))).values("uuid")
    about = Q(about_uuid=OuterRef("uuid")) | Q(about_uuid__in=reviews)
    return Paper.objects.filter(about, patient=OuterRef("patient")).order_by("-rendered_at", "-pk")


def _array(rows: QuerySet[Any, Any], *names: str, **renamed: str) -> ArraySubquery:
    return ArraySubquery(rows.values(row=JSONObject(**{name: name for name in names}, **renamed)))


MOMENTS = frozenset({"at", "raised_at", "settled_at", "rendered_at"})
DAYS = frozenset({"day", "review_due_on"})


ROW_LISTS = {
    "promise": "promises",
    "difference": "differences",
    "fitting": "fittings",
    "hand_over": "hand_overs",
    "review": "reviews",
    "paper": "papers",
    "allergy": "allergies",
}


def _rows(this: Pair) -> dict[str, list[dict[str, Any]]]:
    found = {ROW_LISTS[name]: [_read(row) for row in getattr(this, f"{name}_rows")] for name in ROW_LISTS}
    for row in found["differences"]:
        row["part"] = part_words(row["part"])
        row["state_words"] = DifferenceState(row["state"]).label
    for row in found["fittings"]:
        row["outcome"] = FittingOutcome(row["outcome"]).label
    return found


def _read(row: dict[str, Any]) -> dict[str, Any]:
    """A row as the database wrote it in JSON, with its moments and days as such."""
    return {name: _read_value(name, value) for name, value in row.items()}


def _read_value(name: str, value: Any) -> Any:
    if value is not None and name in MOMENTS:
        return datetime.fromisoformat(value)
    if value is not None and name in DAYS:
        return date.fromisoformat(value)
    return value
