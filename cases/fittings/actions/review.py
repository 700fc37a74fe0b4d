"""A review: how the pair is worn, and what was found on the skin and the shoe of each foot."""

from collections.abc import Sequence
from datetime import date, datetime
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from cases.bench.models import Pair, PairState
from cases.diary.clock import in_words
from cases.diary.models import Visit
from cases.fittings.actions.visits import (
    call_ahead_of,
    call_for,
    complete,
    hold,
    refuse_second,
    refuse_unless,
    settle_calls,
    sides_of,
)
from cases.fittings.entries import FootReview
from cases.fittings.models import Review, ReviewFoot, Worn
from cases.fittings.permissions import require_clinician
from shared.history import acting
from shared.refusals import Refused
from shared.sides import Side
from workshop.staff.models import Person


@transaction.atomic
def record_review(
    visit: Visit,
    *,
    pair: Pair,
    worn: str,
    hours_a_day: Decimal | None = None,
    why_not_worn: str = "",
    walking_before: str = "",
    walking_now: str = "",
    pain_before: int | None = None,
    pain_now: int | None = None,
    feet: Sequence[FootReview],
    plan: str,
    next_review_on: date | None = None,
    by: Person,
    at: datetime,
) -> Review:
    """Record a review of a pair that is with its client, and complete the visit. Pain is 0 to 10, hours 0 to 24.

    `next_review_on` puts the client on the to-call list. Raises `Refused` where the visit or the pair does not allow
    it, where a foot is left out, and where it is on record already.
    """
    require_clinician(by)
    visit, pair = hold(visit, pair)
    refuse_second(Review.objects.select_related("by").filter(visit=visit).first(), what="This review")
    refuse_unless(pair, {PairState.HANDED_OVER}, for_what="only a pair that went home is reviewed")
    _check_wear(worn, hours_a_day=hours_a_day, why_not_worn=why_not_worn, pains=(pain_before, pain_now))
    _check_feet(feet, pair=pair)
    _check_plan(plan, next_review_on=next_review_on, today=timezone.localdate(at))
    complete(visit, pair, by=by, at=at)
    review = Review(visit=visit, pair=pair, worn=worn, hours_a_day=hours_a_day, plan=plan.strip(), by=by, at=at)
    review.why_not_worn, review.next_review_on = why_not_worn.strip(), next_review_on
    review.walking_before, review.walking_now = walking_before.strip(), walking_now.strip()
    review.pain_before, review.pain_now = pain_before, pain_now
    _write(review, feet)
    settle_calls(pair, kinds=["review"], by=by, at=at)
    _ask_for_next(review)
    return review


def _write(review: Review, feet: Sequence[FootReview]) -> None:
    pair, says = review.pair, f"Review: worn {Worn(review.worn).label}."
    with acting(
        by=review.by, action="record_review", says=says, at=review.at, patient=pair.patient.uuid, pair=pair.uuid
    ):
        review.save()
        ReviewFoot.objects.bulk_create(
            ReviewFoot(review=review, side=foot.side, skin=foot.skin.strip(), shoe=foot.shoe.strip()) for foot in feet
        )


def _ask_for_next(review: Review) -> None:
    day = review.next_review_on
    if day is None:
        return
    why = f"Review of pair {review.pair.number}, due {in_words(day)}"
    call_for(review.pair, kind="review", why=why, due_on=call_ahead_of(day), by=review.by, at=review.at)


def _check_wear(
    worn: str, *, hours_a_day: Decimal | None, why_not_worn: str, pains: tuple[int | None, int | None]
) -> None:
    if worn not in Worn.values:
        raise Refused("Say how the pair is worn.")
    if worn == Worn.NOT_AT_ALL and not why_not_worn.strip():
        raise Refused("Say why the pair is not worn.")
    if hours_a_day is not None and not 0 <= hours_a_day <= 24:
        raise Refused("A day has 24 hours.")
    if any(pain is not None and not 0 <= pain <= 10 for pain in pains):
        raise Refused("Pain is given from 0 to 10.")


def _check_plan(plan: str, *, next_review_on: date | None, today: date) -> None:
    if not plan.strip():
        raise Refused("Say what happens next: the plan.")
    if next_review_on is not None and next_review_on <= today:
        raise Refused("The next review comes after today.")


def _check_feet(feet: Sequence[FootReview], *, pair: Pair) -> None:
    sides = sides_of(pair)
    if any(foot.side not in sides for foot in feet) or len({foot.side for foot in feet}) != len(feet):
        raise Refused(f"Look at each foot of pair {pair.number} once.")
    looked_at = {foot.side for foot in feet if foot.skin.strip()}
    for side in sides:
        if side not in looked_at:
            raise Refused(f"Say how the skin of the {Side(side).label} foot is.")
