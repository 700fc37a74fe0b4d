"""The pair on the bench, and the days the client was told."""

import uuid

from django.conf import settings
from django.db import models
from django.db.models import Q

from cases.bench.models.guards import pair_moves_by_its_rules, visit_is_of_the_same_client
from cases.diary.models import Visit
from cases.patients.models import Patient
from cases.prescriptions.models import Prescription
from cases.prescriptions.models.prescription import Feet, WorkKind
from shared.guards import never_changes
from shared.history import keeps_history

PERSON = settings.AUTH_USER_MODEL


class PairState(models.TextChoices):
    OPEN = "open", "on the bench"
    FINISHED = "finished", "finished, waiting for the client"
    HANDED_OVER = "handed over", "with the client"
    CLOSED = "closed", "given up"


@keeps_history(unrecorded=["bench_version"])
class Pair(models.Model):
    """One physical pair of shoes, or a single shoe, and the version of the prescription it is built to.

    `bench_version` counts with every tick, so that two people at one pair cannot pass each other.
    A repair has no prescription.
    """

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    number = models.PositiveIntegerField(unique=True)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="pairs")
    kind = models.CharField(max_length=12, choices=WorkKind.choices)
    feet = models.CharField(max_length=5, choices=Feet.choices, default=Feet.BOTH)
    working_to = models.ForeignKey(Prescription, on_delete=models.PROTECT, null=True, blank=True, related_name="pairs")
    repeat_of = models.ForeignKey("self", on_delete=models.PROTECT, null=True, blank=True, related_name="repeats")
    description = models.CharField(max_length=200, blank=True)
    promised_day = models.DateField()
    opened_at = models.DateTimeField()
    opened_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    state = models.CharField(max_length=12, choices=PairState.choices, default=PairState.OPEN)
    finished_at = models.DateTimeField(null=True, blank=True)
    bench_version = models.PositiveIntegerField(default=1, editable=False)

    class Meta:
        ordering = ["number"]
        indexes = [
            models.Index(fields=["promised_day"], condition=Q(state="open"), name="open_pairs_by_promised_day"),
        ]
        constraints = [
            models.CheckConstraint(condition=Q(state__in=PairState.values), name="pair_state_is_known"),
            models.CheckConstraint(condition=Q(kind__in=WorkKind.values), name="pair_kind_is_known"),
            models.CheckConstraint(condition=Q(feet__in=Feet.values), name="pair_feet_are_known"),
            models.CheckConstraint(
                condition=Q(kind="repair") | Q(working_to__isnull=False), name="a_pair_works_to_a_prescription"
            ),
        ]
        triggers = [pair_moves_by_its_rules()]

    def __str__(self) -> str:
        return f"pair {self.number}"


@keeps_history()
class Promise(models.Model):
    """A day the client was told. A new promise is a new row; none is changed."""

    pair = models.ForeignKey(Pair, on_delete=models.PROTECT, related_name="promises")
    day = models.DateField()
    reason = models.CharField(max_length=200)
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    append_only = True

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [models.CheckConstraint(condition=Q(reason__length__gt=0), name="a_promise_says_why")]
        triggers = [never_changes("promise_is_final", sentence="A promised day stays on record.")]

    def __str__(self) -> str:
        return f"{self.pair}: {self.day}"


@keeps_history()
class PairVisit(models.Model):
    """A visit that is about a pair. The diary knows no pair."""

    pair = models.ForeignKey(Pair, on_delete=models.PROTECT, related_name="pair_visits")
    visit = models.OneToOneField(Visit, on_delete=models.PROTECT, related_name="+")

    class Meta:
        triggers = [visit_is_of_the_same_client()]

    def __str__(self) -> str:
        return f"{self.pair}: {self.visit}"
