"""The manager's first screen: pairs past their promised day, and those due in the next days."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.bench.models import Pair, PairState
from cases.bench.queries import LatePair, late_pairs, seen, with_stages
from shared.drawing.stitches import StitchLine
from shared.fragments import page
from shared.permissions import allowed
from workshop.staff.requests import StaffRequest

DAYS_AHEAD = 7
PAIRS_SHOWN = 200
"""More than this nobody works through; the heading says how many there are."""


@dataclass(frozen=True)
class Late:
    """A pair past its promised day with its stitch line."""

    late: LatePair
    line: StitchLine


@dataclass(frozen=True)
class Due:
    """A pair on the bench in time, promised soon."""

    pair: Pair
    days_left: int
    line: StitchLine


@dataclass(frozen=True)
class LateBoard:
    """Late pairs, worst first, of whom `how_many_late` there are, and those due soon, the soonest first."""

    late: Sequence[Late]
    how_many_late: int
    due: Sequence[Due]


@allowed("manager")
@require_safe
def late(request: StaffRequest) -> HttpResponse:
    context = {"board": late_board(now=timezone.now()), "days": DAYS_AHEAD}
    return page(request, "overview/late.html", context)


def late_board(*, now: datetime) -> LateBoard:
    """Three queries, however many pairs there are."""
    today = timezone.localdate(now)
    all_late = late_pairs(today)
    shown, due = all_late[:PAIRS_SHOWN], _due(today)
    return LateBoard(
        late=[Late(each, seen(each.pair, now=now).line) for each in shown],
        how_many_late=len(all_late),
        due=[Due(pair, (pair.promised_day - today).days, seen(pair, now=now).line) for pair in due],
    )


def _due(today: date) -> Sequence[Pair]:
    soon = Pair.objects.filter(
        state=PairState.OPEN, promised_day__gte=today, promised_day__lt=today + timedelta(days=DAYS_AHEAD)
    )
    return list(with_stages(soon).order_by("promised_day", "number")[:PAIRS_SHOWN])
