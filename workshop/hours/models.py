"""Where and when work is done: rooms, benches, opening hours, closures."""

import uuid

from django.db import models
from django.db.models import F, Q

from shared.history import keeps_history


@keeps_history()
class Room(models.Model):
    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    name = models.CharField(max_length=80, unique=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


@keeps_history()
class Bench(models.Model):
    """A place where one kind of work is done. `key` is what the stages of a route name."""

    key = models.SlugField(max_length=30, unique=True)
    name = models.CharField(max_length=80)

    class Meta:
        ordering = ["name"]
        verbose_name_plural = "benches"

    def __str__(self) -> str:
        return self.name


@keeps_history()
class OpeningHours(models.Model):
    """When the clinic sees people on a weekday (Monday is 0)."""

    weekday = models.PositiveSmallIntegerField()
    opens = models.TimeField()
    closes = models.TimeField()

    class Meta:
        ordering = ["weekday", "opens"]
        constraints = [
            models.CheckConstraint(condition=Q(weekday__lte=6), name="weekday_is_known"),
            models.CheckConstraint(condition=Q(opens__lt=F("closes")), name="opening_before_closing"),
        ]
        verbose_name_plural = "opening hours"

    def __str__(self) -> str:
        return f"{self.weekday}: {self.opens:%H:%M} to {self.closes:%H:%M}"


@keeps_history()
class Closure(models.Model):
    """A day on which nobody is here."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    day = models.DateField(unique=True)
    name = models.CharField(max_length=120)

    class Meta:
        ordering = ["day"]

    def __str__(self) -> str:
        return f"{self.day}: {self.name}"
