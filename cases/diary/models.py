"""The diary: who is seen when, by whom and where, and the people who must be called."""

import uuid
from datetime import datetime

from django.conf import settings
from django.contrib.postgres.constraints import ExclusionConstraint
from django.contrib.postgres.fields import BigIntegerRangeField, DateTimeRangeField, RangeOperators
from django.db import models
from django.db.models import F, Func, Q, Value

from cases.patients.models import Patient
from shared.history import keeps_history
from workshop.hours.models import Room

PERSON = settings.AUTH_USER_MODEL

RING_BACK = "ring-back"
"""The kind of a call that a clinician makes: a possible red flag was heard on the telephone. Never booked."""


@keeps_history()
class VisitKind(models.Model):
    """A kind of visit with its usual length. A drop-in takes no slot: its length is 0."""

    key = models.SlugField(max_length=30, unique=True)
    name = models.CharField(max_length=80)
    minutes = models.PositiveSmallIntegerField()
    with_clinician = models.BooleanField("needs a clinician", default=True)
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


HOLDS_ITS_TIME = (VisitStatus.BOOKED, VisitStatus.ARRIVED, VisitStatus.DONE)
"""A cancelled or missed visit gives its time back."""


def _one_at_a_time(of: str) -> ExclusionConstraint:
    """No two visits at one time for one clinician, client or room.

    A number alone has no gist operators without an extension, so it is compared as a range of one. A range with
    a null bound is endless and would clash with everything: rows without the number stand apart.
    """
    just_this_one = Func(F(of), F(of), Value("[]"), function="int8range", output_field=BigIntegerRangeField())
    return ExclusionConstraint(
        name=f"one_visit_at_a_time_for_a_{of}",
        expressions=[(just_this_one, RangeOperators.OVERLAPS), ("during", RangeOperators.OVERLAPS)],
        condition=Q(status__in=HOLDS_ITS_TIME, during__isnull=False) & Q(**{f"{of}__isnull": False}),
    )


@keeps_history()
class Visit(models.Model):
    """One visit of one client. `during` is null for a drop-in, which takes no slot; `day` is always there.

    `about_uuid` is what a later room wants seen at this visit: a pair. The diary itself knows no pair.
    """

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="visits")
    clinician = models.ForeignKey(PERSON, on_delete=models.PROTECT, null=True, blank=True, related_name="visits")
    room = models.ForeignKey(Room, on_delete=models.PROTECT, null=True, blank=True, related_name="visits")
    kind = models.ForeignKey(VisitKind, on_delete=models.PROTECT, related_name="+")
    about_uuid = models.UUIDField(null=True, blank=True)
    day = models.DateField()
    during = DateTimeRangeField(null=True, blank=True)
    status = models.CharField(max_length=10, choices=VisitStatus.choices, default=VisitStatus.BOOKED)
    note = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["day", "during", "pk"]
        indexes = [
            models.Index(fields=["day", "during"], name="visits_of_a_day"),
            models.Index(fields=["about_uuid"], condition=Q(about_uuid__isnull=False), name="visits_about"),
        ]
        constraints = [
            models.CheckConstraint(condition=Q(status__in=VisitStatus.values), name="visit_status_is_known"),
            models.CheckConstraint(
                condition=Q(during__isempty=False, during__lower_inf=False, during__upper_inf=False),
                name="visit_takes_some_time",
            ),
            _one_at_a_time("clinician"),
            _one_at_a_time("patient"),
            _one_at_a_time("room"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} {self.day}"

    @property
    def starts_at(self) -> datetime | None:
        return self.during.lower if self.during else None

    @property
    def ends_at(self) -> datetime | None:
        return self.during.upper if self.during else None

    @property
    def is_drop_in(self) -> bool:
        return self.during is None

    @property
    def is_to_come(self) -> bool:
        return self.status in {VisitStatus.BOOKED, VisitStatus.ARRIVED}


class CallState(models.TextChoices):
    OPEN = "open", "to call"
    BOOKED = "booked", "booked"
    NOT_NEEDED = "not needed", "not needed"


@keeps_history()
class Call(models.Model):
    """Somebody to be called. `about_uuid` is what a later room wants booked: a pair."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="calls")
    why = models.CharField(max_length=200)
    kind = models.ForeignKey(VisitKind, on_delete=models.PROTECT, related_name="+")
    about_uuid = models.UUIDField(null=True, blank=True)
    due_on = models.DateField()
    not_before = models.DateField(null=True, blank=True)
    """The visit itself had better not be earlier than this day."""
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

    @property
    def is_for_a_clinician(self) -> bool:
        return self.kind.key == RING_BACK
