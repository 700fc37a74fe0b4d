"""Reads that join a visit with its pair and with what was recorded."""

from dataclasses import dataclass
from uuid import UUID

from django.db.models import QuerySet

from cases.bench.models import Pair, PairState, PairVisit
from cases.diary.models import Visit, VisitStatus
from cases.fittings.models import Fitting, FittingOutcome, HandOver, Review
from cases.patients.models import Patient
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
    of_the_visit: bool
    """True where the page is the visit's, false where it is the client's."""


MEASURE = NextThing("Measure", "measures-new", of_the_visit=False)
PRESCRIBE = NextThing("Prescribe", "prescription-new", of_the_visit=False)
FIT = NextThing("Record the fitting", "fitting-new", of_the_visit=True)
HAND_OVER = NextThing("Hand over", "hand-over-new", of_the_visit=True)
REVIEW = NextThing("Record the review", "review-new", of_the_visit=True)
TAKE_IN = NextThing("Take in a repair", "repair-open", of_the_visit=False)

BY_KIND = {
    "assessment": MEASURE,
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


def next_thing(visit: Visit, pair: Pair | None, recorded: Recorded, *, was_measured: bool) -> NextThing | None:
    """The one thing a visit asks for now; None once it is recorded, and for a visit that did not take place."""
    if visit.status in {VisitStatus.CANCELLED, VisitStatus.MISSED}:
        return None
    thing = BY_KIND.get(visit.kind.key)
    if thing is MEASURE and was_measured:
        return PRESCRIBE
    if thing is FIT and recorded.fitting is not None:
        return _after_fitting(recorded, pair)
    if (thing is HAND_OVER and recorded.hand_over) or (thing is REVIEW and recorded.review):
        return None
    return thing


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
