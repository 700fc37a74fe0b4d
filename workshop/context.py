"""What every page knows: where its person can go, and whether the workshop is an invented one."""

from typing import Any

from django.conf import settings
from django.http import HttpRequest

from workshop.navigation import places_for


def workshop(request: HttpRequest) -> dict[str, Any]:
    """The words that stand around every page."""
    return {
        "is_demonstration": settings.IS_DEMONSTRATION,
        "places": places_for(request),
        "terminal": getattr(request, "terminal", None),
    }
