"""What every workshop needs before its first client is loaded once, and loading again changes nothing."""

import pytest
from django.core.management import call_command

from cases.bench.models import StageKind
from cases.diary.models import VisitKind
from shared.models import HistoryEntry
from workshop.figures.models import Figure
from workshop.hours.models import Bench, OpeningHours

pytestmark = pytest.mark.django_db

ROOMS = (Figure, OpeningHours, Bench, VisitKind, StageKind)


def test_every_room_has_what_it_starts_with() -> None:
    call_command("prepare_workshop")
    assert [kind.__name__ for kind in ROOMS if not kind.objects.exists()] == []


def test_a_prepared_workshop_is_left_as_it_is() -> None:
    call_command("prepare_workshop")
    before = HistoryEntry.objects.count()
    call_command("prepare_workshop")
    assert HistoryEntry.objects.count() == before
