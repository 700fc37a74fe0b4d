"""The cover gate: what must be checked before a part is closed in, and where what is made differs."""

import uuid

from django.conf import settings
from django.db import models
from django.db.models import Q

from cases.bench.models.guards import (
    check_locks_its_stage,
    difference_is_settled_once,
    requirement_is_asked_once_and_for_all,
)
from cases.bench.models.pair import Pair
from cases.bench.models.stages import Stage
from shared.history import keeps_history
from shared.side_checks import side_check
from shared.sides import Side

PERSON = settings.AUTH_USER_MODEL


class CheckMoment(models.TextChoices):
    """The three moments of a cover check."""

    PART = "part", "part check"
    PLACED = "placed", "placed check"
    SHELL = "shell", "shell check"


class Outcome(models.TextChoices):
    AS_PRESCRIBED = "as prescribed", "as prescribed"
    DIFFERS = "differs", "differs"


@keeps_history()
class CoverRequirement(models.Model):
    """A check that a stage waits for, with the values that were prescribed. It stays as long as its stage."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    stage = models.ForeignKey(Stage, on_delete=models.PROTECT, related_name="requirements")
    side = models.CharField(max_length=5, choices=Side.choices)
    part = models.CharField(max_length=40)
    moment = models.CharField(max_length=6, choices=CheckMoment.choices)
    prescribed = models.JSONField(default=list)
    """A list of [label, value with unit], in the order a maker reads them."""
    measured = models.JSONField(default=list, blank=True)
    """What is measured before its prescribed value is shown: rows of `measured.AskedFigure`."""

    append_only = True

    class Meta:
        ordering = ["pk"]
        constraints = [
            side_check("requirement_side_is_known"),
            models.CheckConstraint(condition=Q(moment__in=CheckMoment.values), name="check_moment_is_known"),
            models.UniqueConstraint(fields=["stage", "part", "moment"], name="a_check_is_asked_for_once"),
        ]
        triggers = [requirement_is_asked_once_and_for_all()]

    def __str__(self) -> str:
        return f"{self.get_moment_display()} of {self.part}, {Side(self.side).label}"


@keeps_history()
class CoverCheck(models.Model):
    """What a maker found. Withdrawn and made again, never changed otherwise."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    requirement = models.ForeignKey(CoverRequirement, on_delete=models.PROTECT, related_name="checks")
    outcome = models.CharField(max_length=14, choices=Outcome.choices)
    found = models.TextField("what differs", blank=True)
    measured = models.JSONField(default=dict, blank=True)
    """What was measured, as a figure in words by its label: one for each that the requirement asks for."""
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    withdrawn_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(outcome__in=Outcome.values), name="check_outcome_is_known"),
            models.CheckConstraint(
                condition=Q(outcome="as prescribed") | Q(found__length__gt=0), name="what_differs_is_said"
            ),
            models.UniqueConstraint(
                fields=["requirement"], condition=Q(withdrawn_at__isnull=True), name="one_check_stands"
            ),
        ]
        triggers = [check_locks_its_stage()]

    def __str__(self) -> str:
        return f"{self.requirement}: {self.outcome}"


class DifferenceSource(models.TextChoices):
    CHECK = "check", "found at a check"
    NEW_VERSION = "new version", "a new version asks for something else than was made"
    PATTERN = "pattern", "adjusted on the pattern"


class DifferenceState(models.TextChoices):
    OPEN = "open", "waiting for a clinician"
    ACCEPTED = "accepted", "accepted as built"
    UNDONE = "undone", "to be made again as prescribed"


@keeps_history()
class Difference(models.Model):
    """Where what is made is not what was prescribed. Only a person who may prescribe accepts it, with a reason."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    pair = models.ForeignKey(Pair, on_delete=models.PROTECT, related_name="differences")
    side = models.CharField(max_length=5, choices=Side.choices)
    part = models.CharField(max_length=40)
    source = models.CharField(max_length=12, choices=DifferenceSource.choices, default=DifferenceSource.CHECK)
    stage = models.ForeignKey(Stage, on_delete=models.PROTECT, related_name="differences")
    """Where it was found, or where what was made before a new version is built in."""
    built = models.JSONField(null=True, blank=True)
    """What was made before a new version, as [label, value]; null where the part is not there."""
    check_found = models.OneToOneField(
        CoverCheck, on_delete=models.PROTECT, null=True, blank=True, related_name="difference"
    )
    found = models.TextField()
    raised_at = models.DateTimeField()
    raised_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    state = models.CharField(max_length=10, choices=DifferenceState.choices, default=DifferenceState.OPEN)
    settled_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    settled_at = models.DateTimeField(null=True, blank=True)
    settled_because = models.TextField(blank=True)

    class Meta:
        ordering = ["raised_at", "pk"]
        indexes = [models.Index(fields=["raised_at"], condition=Q(state="open"), name="open_differences")]
        constraints = [
            side_check("difference_side_is_known"),
            models.CheckConstraint(condition=Q(found__length__gt=0), name="a_difference_says_what"),
            models.CheckConstraint(
                condition=Q(source="check", check_found__isnull=False)
                | Q(source__in=["new version", "pattern"], check_found__isnull=True),
                name="a_difference_says_where_it_comes_from",
            ),
            models.CheckConstraint(
                condition=Q(state="open", settled_by__isnull=True, settled_at__isnull=True)
                | Q(
                    state__in=["accepted", "undone"],
                    settled_by__isnull=False,
                    settled_at__isnull=False,
                    settled_because__length__gt=0,
                ),
                name="a_settled_difference_says_who_and_why",
            ),
        ]
        triggers = [difference_is_settled_once()]

    def __str__(self) -> str:
        return f"{self.pair} {Side(self.side).label} {self.part}"

    @property
    def accepted_as(self) -> str:
        """What an accepted one is accepted as: by a pattern nothing may be built yet."""
        return "accepted as adjusted" if self.source == DifferenceSource.PATTERN else "accepted as built"
