"""Load what every workshop needs before its first client: figures, hours, kinds of visit, benches and stages."""

from typing import Any

from django.core.management.base import BaseCommand
from django.utils import timezone

from cases.bench import starting_values as bench
from cases.diary import starting_values as diary
from workshop.figures import starting_values as figures
from workshop.hours import starting_values as hours

IN_ORDER = (figures, hours, diary, bench)
"""Each adds what is missing and leaves alone what the workshop has changed."""


class Command(BaseCommand):
    help = "Load the starting figures, opening hours, kinds of visit, benches and stages that are missing."

    def handle(self, *args: Any, **options: Any) -> None:
        at = timezone.now()
        for room in IN_ORDER:
            room.load(at=at)
