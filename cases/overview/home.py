"""The first screen of each role."""

from django.http import HttpResponse
from django.shortcuts import redirect
from django.views.decorators.http import require_safe

from shared.permissions import staff_only
from shared.refusals import NotAllowed
from workshop.staff.requests import StaffRequest

FIRST_SCREENS = (
    ("reception", "desk"),
    ("clinician", "clinic"),
    ("maker", "my-bench"),
    ("manager", "late"),
    ("administrator", "people"),
)
"""Who holds several roles starts at the first of these, and finds the others in the masthead."""


@staff_only
@require_safe
def home(request: StaffRequest) -> HttpResponse:
    """Lead everybody to where their day begins; at a bench terminal a maker stands at the bench."""
    roles = request.user.role_kinds
    if request.terminal and "maker" in roles:
        return redirect("my-bench")
    for role, screen in FIRST_SCREENS:
        if role in roles:
            return redirect(screen)
    raise NotAllowed("You hold no role yet. An administrator gives you one under People.")
