"""How an invented pair goes home, and what its review says."""

from decimal import Decimal

from cases.bench.models import Pair
from cases.diary import actions as diary
from cases.fittings import actions as fittings
from cases.fittings.entries import FootReview
from cases.overview.review_letter import print_review_letter
from demo.clinic import Clinic
from demo.pairs import PlannedPair
from shared.sides import SIDES, Side

WEAR_IN = {"healed-ulcer": "loss-of-sensation", "charcot": "loss-of-sensation"}


def go_home(clinic: Clinic, planned: PlannedPair, pair: Pair) -> None:
    """Fitted, handed over, and reviewed where the plan says so."""
    if planned.repair:
        visit = diary.book_drop_in(
            patient=pair.patient,
            kind=clinic.kinds["drop-in"],
            day=clinic.day(planned.handed_over),
            note="collects the repaired pair",
            by=clinic.staff["nell"],
            at=clinic.at(clinic.day(planned.handed_over)),
        )
        ended_at = clinic.at(clinic.day(planned.handed_over))
    else:
        visit = clinic.book(pair.patient, "hand-over", clinic.day(planned.handed_over), about=pair.uuid)
        ended_at = visit.during.upper
    fittings.hand_over(
        visit,
        pair=pair,
        wear_in=WEAR_IN.get(planned.client, "ordinary"),
        collected_by=pair.patient.name,
        hands_can_close_it=True,
        both_shoes_lifted=True,
        cautions_explained=True,
        red_flags_asked=True,
        review_due_on=clinic.day(planned.handed_over + 18),
        by=clinic.staff["iris"],
        at=ended_at,
    )
    if planned.reviewed:
        _review(clinic, planned, pair)


def _review(clinic: Clinic, planned: PlannedPair, pair: Pair) -> None:
    visit = clinic.book(pair.patient, "review", clinic.day(planned.reviewed), about=pair.uuid)
    sides = SIDES if pair.feet == "both" else (Side(pair.feet),)
    review = fittings.record_review(
        visit,
        pair=pair,
        worn="all day",
        hours_a_day=Decimal(9),
        walking_before="to the gate",
        walking_now="to the shop and back, about 20 minutes",
        pain_before=6,
        pain_now=2,
        feet=[
            FootReview(side=side, skin="clear, no mark after 15 minutes", shoe="creases even, heel grips")
            for side in sides
        ],
        plan="Carry on wearing all day; look at the skin each evening.",
        next_review_on=clinic.day(planned.next_review),
        by=clinic.staff["iris"],
        at=visit.during.upper,
    )
    if planned.letter:
        print_review_letter(review.uuid, by=clinic.staff["iris"], at=visit.during.upper)
