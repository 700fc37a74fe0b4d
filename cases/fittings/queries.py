"""Reads that join a visit with its pair and with what was recorded."""

from dataclasses import dataclass
from uuid import UUID

from django.db.models import Exists, OuterRef, QuerySet

from cases.bench.models import Pair, PairState, PairVisit
from cases.diary.models import Visit, VisitStatus
from cases.diary.queries import start_of
from cases.fittings.models import Fitting, FittingOutcome, HandOver, Review
from cases.lasts.models import MeasureSet
from cases.patients.models import Patient
from cases.patients.queries import live_findings
from cases.prescriptions.models import Prescription, PrescriptionStatus
from shared.sides import SIDES


def visits() -> QuerySet[Visit]:
    """Visits with everything a page says of one."""
    return Visit.objects.select_related("patient", "clinician", "room", "kind")


def pair_of(visit: Visit) -> Pair | None:
    """The pair that a visit is about: said at the bench, or asked for when it was booked. One query, at most two."""
    about = PairVisit.objects.select_related("pair__patient").filter(visit=visit).first()
    if about is not None:
        return about.pair
    if visit.about_uuid is None:
        return None
    return Pair.objects.select_related("patient").filter(uuid=visit.about_uuid, patient=visit.patient_id).first()


def pairs_to_choose(patient: Patient) -> QuerySet[Pair]:
    """The pairs of a client that a visit may be about, the latest first."""
    return (
        Pair.objects.filter(patient=patient)
        .exclude(state=PairState.CLOSED)
        .select_related("patient")
        .order_by("-number")
    )


@dataclass(frozen=True)
class Recorded:
    """What was recorded at one visit."""

    fitting: Fitting | None
    hand_over: HandOver | None
    review: Review | None


def recorded_at(visit: Visit) -> Recorded:
    """Three queries."""
    return Recorded(
        fitting=Fitting.objects.filter(visit=visit).first(),
        hand_over=HandOver.objects.filter(visit=visit).first(),
        review=Review.objects.filter(visit=visit).first(),
    )


@dataclass(frozen=True)
class NextThing:
    """What a clinician does at a visit: the words of the button and the name of its page."""

    words: str
    url_name: str
    page_of: str
    """Whose page it is: the visit's, the client's, or that of the prescription written at the visit."""


EXAMINE = NextThing("Record what was found", "finding-add", page_of="client")
MEASURE = NextThing("Measure", "measures-new", page_of="client")
PRESCRIBE = NextThing("Prescribe", "prescription-new", page_of="client")
GO_ON = NextThing("Go on with the draft", "prescription", page_of="prescription")
OPEN = NextThing("Open the pair on the bench", "pair-open", page_of="prescription")
FIT = NextThing("Record the fitting", "fitting-new", page_of="visit")
HAND_OVER = NextThing("Hand over", "hand-over-new", page_of="visit")
REVIEW = NextThing("Record the review", "review-new", page_of="visit")
TAKE_IN = NextThing("Take in a repair", "repair-open", page_of="client")

BY_KIND = {
    "assessment": EXAMINE,
    "measures-and-cast": MEASURE,
    "choice": PRESCRIBE,
    "trial-shoe": FIT,
    "rough-fitting": FIT,
    "final-fitting": FIT,
    "hand-over": HAND_OVER,
    "review": REVIEW,
    "alteration": TAKE_IN,
    "drop-in": TAKE_IN,
}


@dataclass(frozen=True)
class Before:
    """How far a client is before there is a pair: examined, measured at this visit, and what was prescribed since."""

    was_examined: bool
    was_measured: bool
    written: Prescription | None
    """The latest draft or signed version since the day of the visit, with `is_opened`: a pair works to it."""


def before_a_pair(visit: Visit) -> Before | None:
    """None for a kind of visit that asks for something else. Three queries."""
    if BY_KIND.get(visit.kind.key) not in {EXAMINE, MEASURE, PRESCRIBE}:
        return None
    standing = [PrescriptionStatus.DRAFT, PrescriptionStatus.SIGNED]
    written = Prescription.objects.filter(
        patient=visit.patient, status__in=standing, written_at__gte=start_of(visit.day)
    ).annotate(is_opened=Exists(Pair.objects.filter(working_to=OuterRef("pk"))))
    return Before(
        was_examined=live_findings(visit.patient).exists(),
        was_measured=MeasureSet.objects.filter(visit=visit).exists(),
        written=written.order_by("-written_at", "-pk").first(),
    )


def next_thing(visit: Visit, pair: Pair | None, recorded: Recorded, before: Before | None) -> NextThing | None:
    """The one thing a visit asks for now; None once it is recorded, and for a visit that did not take place."""
    if visit.status in {VisitStatus.CANCELLED, VisitStatus.MISSED}:
        return None
    thing = BY_KIND.get(visit.kind.key)
    if before is not None:
        return _before_the_pair(thing, before)
    if thing is FIT and recorded.fitting is not None:
        return _after_fitting(recorded, pair)
    if (thing is HAND_OVER and recorded.hand_over) or (thing is REVIEW and recorded.review):
        return None
    return thing


def _before_the_pair(thing: NextThing | None, before: Before) -> NextThing | None:
    if thing is EXAMINE and not before.was_examined:
        return EXAMINE
    if thing is not PRESCRIBE and not before.was_measured:
        return MEASURE
    if before.written is None:
        return PRESCRIBE
    if before.written.status == PrescriptionStatus.DRAFT:
        return GO_ON
    return None if before.written.is_opened else OPEN  # type: ignore[attr-defined]  # annotated


def _after_fitting(recorded: Recorded, pair: Pair | None) -> NextThing | None:
    accepted = recorded.fitting is not None and recorded.fitting.outcome == FittingOutcome.ACCEPT
    is_ready = pair is not None and pair.state == PairState.FINISHED
    return HAND_OVER if accepted and is_ready and recorded.hand_over is None else None


def whole_fitting(uuid: UUID) -> Fitting | None:
    """A fitting with its findings. Two queries."""
    return (
        Fitting.objects.select_related("visit__kind", "pair__patient", "by")
        .prefetch_related("findings")
        .filter(uuid=uuid)
        .first()
    )


def whole_hand_over(uuid: UUID) -> HandOver | None:
    """A hand-over with its pair and who recorded it. One query."""
    return HandOver.objects.select_related("visit__kind", "pair__patient", "by").filter(uuid=uuid).first()


def whole_review(uuid: UUID) -> Review | None:
    """A review with its feet. Two queries."""
    return (
        Review.objects.select_related("visit__kind", "pair__patient", "by")
        .prefetch_related("feet")
        .filter(uuid=uuid)
        .first()
    )


def by_side(rows: list, pair: Pair) -> list[tuple[str, list]]:  # type: ignore[type-arg]  # rows of any foot
    """Rows under the foot they are of, LEFT first, for each foot that has a shoe or a row."""
    return [
        (side, [row for row in rows if row.side == side])
        for side in SIDES
        if pair.feet in {"both", side} or any(row.side == side for row in rows)
    ]
