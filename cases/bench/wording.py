"""Stages, feet and times as the bench's sentences say them."""

from collections.abc import Iterable, Sequence
from datetime import datetime, timedelta

from django.utils import timezone

from cases.bench.models import Stage
from shared.sides import Side

DAYS_A_WEEK = 7


def feet_words(sides: Iterable[str]) -> str:
    """LEFT, RIGHT, or LEFT and RIGHT."""
    return " and ".join(Side(side).label for side in sorted(set(sides)))


def stages_words(stages: Sequence[Stage]) -> str:
    """Each stage once, in its order, with the feet it was done on: 'Last the backs', LEFT and RIGHT."""
    names = {stage.kind_id: stage.kind.name for stage in sorted(stages, key=lambda stage: stage.order)}
    return "; ".join(
        f"'{name}', {feet_words(stage.side for stage in stages if stage.kind_id == kind)}"
        for kind, name in names.items()
    )


def when_words(moment: datetime, *, now: datetime) -> str:
    """A moment near now as the bench says it: Wed 08:00, and with the date where it is more than six days away."""
    local = timezone.localtime(moment)
    if abs(moment - now) < timedelta(days=DAYS_A_WEEK - 1):
        return f"{local:%a %H:%M}"
    return f"{local:%a} {local.day} {local:%b %H:%M}"
