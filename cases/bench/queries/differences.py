"""Differences that wait for an answer."""

from django.db.models import QuerySet

from cases.bench.models import Difference, DifferenceState


def open_differences() -> QuerySet[Difference]:
    """Differences that wait for an answer, the oldest first, with all that a page says of them."""
    return (
        Difference.objects.filter(state=DifferenceState.OPEN)
        .select_related("pair__patient", "pair__working_to", "raised_by", "stage__kind", "check_found__requirement")
        .order_by("raised_at", "pk")
    )
