"""The diary: who is seen when, by whom and where, and the people who must be called."""

import uuid

from django.conf import settings
from django.contrib.postgres.fields import DateTimeRangeField
from django.db import models
from django.db.models import Q

from cases.patients.models import Patient
from shared.history import keeps_history
from workshop.hours.models import Room

PERSON = settings.AUTH_USER_MODEL


@keeps_history()
class VisitKind(models.Model):
    """A kind of visit with its usual length. A drop-in takes no slot: its length is 0."""

    key = models.SlugField(max_length=30, unique=True)
    name = models.CharField(max_length=80)
    minutes = models.PositiveSmallIntegerField()
    order = models.PositiveSmallIntegerField()

    class Meta:
        ordering = ["order"]

    def __str__(self) -> str:
        return self.name

    @property
    def takes_a_slot(self) -> bool:
        return self.minutes > 0


class VisitStatus(models.TextChoices):
    BOOKED = "booked", "booked"
    ARRIVED = "arrived", "arrived"
    DONE = "done", "done"
    MISSED = "missed", "missed"
    CANCELLED = "cancelled", "cancelled"


@keeps_history()
class Visit(models.Model):
    """One visit of one client. `during` is null for a drop-in, which takes no slot; `day` is always there.

    The exclusion constraints, written in the migration, refuse two visits at one time for one clinician,
    one client or one room; a cancelled visit gives its time back.
    """

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="visits")
    clinician = models.ForeignKey(PERSON, on_delete=models.PROTECT, null=True, blank=True, related_name="visits")
    room = models.ForeignKey(Room, on_delete=models.PROTECT, null=True, blank=True, related_name="visits")
    kind = models.ForeignKey(VisitKind, on_delete=models.PROTECT, related_name="+")
    day = models.DateField()
    during = DateTimeRangeField(null=True, blank=True)
    status = models.CharField(max_length=10, choices=VisitStatus.choices, default=VisitStatus.BOOKED)
    note = models.CharField(max_length=300, blank=True)
    version = models.PositiveIntegerField(default=1, editable=False)

    class Meta:
        ordering = ["day", "during"]
        indexes = [models.Index(fields=["day", "during"], name="visits_of_a_day")]
        constraints = [
            models.CheckConstraint(condition=Q(status__in=VisitStatus.values), name="visit_status_is_known"),
            models.CheckConstraint(condition=~Q(during__isempty=True), name="visit_takes_some_time"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.day}"


class CallState(models.TextChoices):
    OPEN = "open", "to call"
    BOOKED = "booked", "booked"
    NOT_NEEDED = "not needed", "not needed"


@keeps_history()
class Call(models.Model):
    """Somebody to be called. `about_uuid` is what a later room wants booked: a pair, a review."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="calls")
    why = models.CharField(max_length=200)
    kind = models.ForeignKey(VisitKind, on_delete=models.PROTECT, related_name="+")
    about_uuid = models.UUIDField(null=True, blank=True)
    due_on = models.DateField()
    state = models.CharField(max_length=12, choices=CallState.choices, default=CallState.OPEN)
    tries = models.PositiveSmallIntegerField(default=0)
    last_tried_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["due_on", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["patient", "kind", "about_uuid"],
                condition=Q(state="open"),
                nulls_distinct=False,
                name="one_open_call_for_one_thing",
            ),
        ]

    def __str__(self) -> str:
        return self.why
