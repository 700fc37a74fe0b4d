"""The invented workshop holds what a newcomer is to see, on whatever day it is loaded."""

from collections import Counter
from datetime import date, datetime, timedelta

import pytest
from django.core.management import call_command
from django.utils import timezone

from cases.bench.models import Difference, DifferenceState, Pair, PairState, Stage
from cases.patients.models import Paper, Patient
from cases.prescriptions.models import OrderDocument, StartingPattern, WeighedShoe
from cases.prescriptions.panel import day_of, implied_by
from cases.prescriptions.queries import whole
from demo.load import load
from demo.people import STAFF
from shared.workings import Status
from tests.factories.staff import make_person
from workshop.staff.models import Person, RoleKind

pytestmark = [pytest.mark.django_db, pytest.mark.slow]


@pytest.fixture
def sunday() -> datetime:
    """A Sunday morning, when nobody is at work: the hardest day to load it on."""
    today = timezone.localtime().replace(hour=7, minute=30, second=0, microsecond=0)
    return today + timedelta(days=(6 - today.weekday()) % 7)


def told_of_a_weight(pair: Pair, *, on: date) -> set[Status]:
    assert pair.working_to is not None
    feet = implied_by(whole(pair.working_to.uuid), day=day_of(on)).implied.feet
    return {foot.weight.workings.status for foot in feet.values()}


def test_the_invented_workshop_holds_what_is_to_be_seen(sunday: datetime) -> None:
    call_command("prepare_workshop")
    load(now=sunday)
    today = sunday.date()
    open_pairs = Pair.objects.filter(state=PairState.OPEN)
    assert {
        "staff": Person.objects.count(),
        "roles": set(Person.objects.values_list("roles__kind", flat=True)),
        "clients": Patient.objects.count(),
        "kinds of work": Counter(Pair.objects.values_list("kind", flat=True)),
        "late": open_pairs.filter(promised_day__lt=today).count(),
        "drying": Stage.objects.filter(dry_at__gt=sunday, pair__in=open_pairs).values("pair").distinct().count(),
        "differences waiting": Difference.objects.filter(state=DifferenceState.OPEN).count(),
        "letters": Paper.objects.filter(kind="review letter").count(),
        "patterns to begin from": StartingPattern.objects.filter(retired_on__isnull=True).count(),
        "orders from elsewhere, not yet signed": OrderDocument.objects.filter(
            prescription__status="draft", prescription__outside_author__gt="", prescription__taken_over_by__isnull=False
        ).count(),
        "pairs on the scale": WeighedShoe.objects.values("pair_uuid").distinct().count(),
        "the weight of a shoe under way is told": told_of_a_weight(
            open_pairs.filter(kind="new").latest("pk"), on=today
        ),
    } == {
        "staff": len(STAFF),
        "roles": set(RoleKind.values),
        "clients": 16,
        "kinds of work": Counter({"new": 15, "repair": 3, "repeat": 2, "adaptation": 1}),
        "late": 3,
        "drying": 1,
        "differences waiting": 2,
        "letters": 1,
        "patterns to begin from": 2,
        "orders from elsewhere, not yet signed": 1,
        "pairs on the scale": 6,
        "the weight of a shoe under way is told": {Status.WEIGHED_HERE},
    }
    assert (
        Stage.objects.filter(
            kind__key="rough-fitting", ticked_at__isnull=True, retired_at__isnull=True, pair__in=open_pairs
        )
        .exclude(after__needs__ticked_at__isnull=True)
        .values("pair")
        .distinct()
        .count()
        == 1
    )


def test_it_is_not_loaded_over_people_who_are_there(now: datetime) -> None:
    make_person(roles=["maker"])
    with pytest.raises(ValueError, match="already holds people"):
        load(now=now)
