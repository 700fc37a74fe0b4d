"""Reception's first screen: the diary of the day and the to-call list side by side."""

from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.diary import queries
from shared.fragments import page
from shared.permissions import allowed
from workshop.staff.requests import StaffRequest


@allowed("reception")
@require_safe
def desk(request: StaffRequest) -> HttpResponse:
    now = timezone.now()
    context = {
        "sheet": queries.day_sheet(timezone.localdate(now), now=now),
        "calls": queries.calls_due(timezone.localdate(now)),
        "unmarked": queries.unmarked_visits(timezone.localdate(now)),
    }
    return page(request, "overview/desk.html", context)
