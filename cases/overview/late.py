"""The manager's first screen: pairs past their promised day, and those due in the next days."""

from django.http import HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.overview.progress import DAYS_AHEAD, late_board
from shared.fragments import page
from shared.permissions import allowed
from workshop.staff.requests import StaffRequest


@allowed("manager")
@require_safe
def late(request: StaffRequest) -> HttpResponse:
    return page(request, "overview/late.html", {"board": late_board(now=timezone.now()), "days": DAYS_AHEAD})
