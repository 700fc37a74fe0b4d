"""Pairs at the three moments of this room, with a visit about them; and records made by the actions themselves."""

from datetime import datetime, timedelta
from typing import Any

from django.utils import timezone

from cases.bench import actions as bench
from cases.bench.models import Pair
from cases.diary.models import Visit
from cases.fittings import actions
from cases.fittings.entries import FootReview
from cases.fittings.models import HandOver, Review
from tests.factories.bench import bring_to, bring_to_the_end, load_starting_values, make_pair
from tests.factories.diary import make_visit
from tests.factories.patients import make_patient
from workshop.staff.models import Person


def visit_about(pair: Pair, *, kind: str, by: Person, at: datetime) -> Visit:
    """A visit of the pair's client at `at`, said to be about the pair."""
    visit = make_visit(starts_at=at, kind=kind, patient=pair.patient, clinician=by)
    bench.link_visit(pair, visit, by=by, at=at)
    return visit


def lasted_pair(*, by: Person, at: datetime, **prescribed: Any) -> Pair:
    """A pair that waits for its rough fitting."""
    pair = make_pair(by=by, at=at, **prescribed)
    bring_to(pair, "rough-fitting", by=by, at=at)
    return pair


def finished_pair(*, by: Person, at: datetime) -> Pair:
    """A pair that waits to be handed over: a repair, which has the fewest stages."""
    load_starting_values()
    pair = bench.open_repair(
        make_patient(),
        description="new heels",
        feet="both",
        promised_day=timezone.localdate(at) + timedelta(days=7),
        jobs=["heel job"],
        by=by,
        at=at,
    )
    bring_to_the_end(pair, by=by, at=at)
    pair.refresh_from_db()
    return pair


def make_hand_over(pair: Pair, *, by: Person, at: datetime, visit: Visit | None = None, **said: Any) -> HandOver:
    """The pair goes home, with everything said, unless `said` otherwise."""
    usual = {
        "wear_in": "ordinary",
        "collected_by": "the client",
        "hands_can_close_it": True,
        "both_shoes_lifted": True,
        "cautions_explained": True,
        "red_flags_asked": True,
        "review_due_on": timezone.localdate(at) + timedelta(days=14),
    }
    visit = visit or visit_about(pair, kind="hand-over", by=by, at=at)
    return actions.hand_over(visit, pair=pair, **{**usual, **said}, by=by, at=at)


def worn_pair(*, by: Person, at: datetime) -> Pair:
    """A pair that is with its client."""
    pair = finished_pair(by=by, at=at)
    make_hand_over(pair, by=by, at=at - timedelta(hours=1))
    pair.refresh_from_db()
    return pair


def make_review(pair: Pair, *, by: Person, at: datetime, visit: Visit | None = None, **said: Any) -> Review:
    """A review of a pair that is worn all day, unless `said` otherwise."""
    usual = {
        "worn": "all day",
        "feet": [FootReview("left", "clear", "sits well"), FootReview("right", "clear", "sits well")],
        "plan": "Goes on as it is.",
    }
    visit = visit or visit_about(pair, kind="review", by=by, at=at)
    return actions.record_review(visit, pair=pair, **{**usual, **said}, by=by, at=at)
