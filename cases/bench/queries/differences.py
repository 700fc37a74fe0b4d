"""Differences: those that wait for an answer, and those that were given one."""

from collections.abc import Iterable

from django.db.models import QuerySet

from cases.bench.models import Difference, DifferenceState, Stage

Differences = tuple[Difference, ...]


def open_differences() -> QuerySet[Difference]:
    """Differences that wait for an answer, the oldest first, with all that a page says of them."""
    return (
        Difference.objects.filter(state=DifferenceState.OPEN)
        .select_related("pair__patient", "pair__working_to", "raised_by", "stage__kind", "check_found__requirement")
        .order_by("raised_at", "pk")
    )


def answered(differences: Iterable[Difference], stages: Iterable[Stage]) -> tuple[Differences, Differences]:
    """Of one pair: what somebody else answered since its last tick, and before it; the latest first."""
    last_tick = max((stage.ticked_at for stage in stages if stage.ticked_at), default=None)
    settled = [(each.settled_at, each) for each in differences if each.settled_at and _is_by_another(each)]
    settled.sort(key=lambda pair: pair[0], reverse=True)
    since = tuple(each for at, each in settled if last_tick is None or at > last_tick)
    return since, tuple(each for _, each in settled[len(since) :])


def _is_by_another(difference: Difference) -> bool:
    return difference.settled_by_id != difference.raised_by_id
