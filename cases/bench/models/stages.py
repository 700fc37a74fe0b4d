"""The kinds of stage a workshop knows, and the stages one foot of one pair needs."""

import uuid

from django.conf import settings
from django.contrib.postgres.fields import ArrayField
from django.db import models
from django.db.models import F, Q

from cases.bench.models.guards import edge_stays_on_one_foot, stage_moves_by_its_rules
from cases.bench.models.pair import Pair
from cases.prescriptions.models import Prescription
from shared.history import keeps_history
from shared.side_checks import side_check
from shared.sides import Side
from workshop.figures.models import Standing
from workshop.hours.models import Bench

PERSON = settings.AUTH_USER_MODEL


@keeps_history()
class StageKind(models.Model):
    """A stage as the workshop does it: where, minutes of work for both feet, hours that must pass after it."""

    key = models.SlugField(max_length=40, unique=True)
    name = models.CharField(max_length=120)
    bench = models.ForeignKey(Bench, on_delete=models.PROTECT, related_name="+")
    order = models.PositiveSmallIntegerField()
    minutes = models.PositiveSmallIntegerField()
    hours_after = models.DecimalField(max_digits=5, decimal_places=1, default=0)
    hours_standing = models.CharField(max_length=20, choices=Standing.choices, default=Standing.FROM_MEMORY)
    waiting_word = models.CharField("what it does in these hours", max_length=20, default="drying")
    look_for = models.CharField("what to look at before it is ticked", max_length=300, blank=True)
    by_visit = models.BooleanField("done at a visit, not ticked at the bench", default=False)

    class Meta:
        ordering = ["order"]

    def __str__(self) -> str:
        return self.name


@keeps_history()
class StageKindAfter(models.Model):
    """What must be done before a kind of stage; `started_is_enough` where a beginning suffices."""

    kind = models.ForeignKey(StageKind, on_delete=models.CASCADE, related_name="after")
    needs = models.ForeignKey(StageKind, on_delete=models.CASCADE, related_name="+")
    started_is_enough = models.BooleanField(default=False)
    hours_between = models.DecimalField(max_digits=6, decimal_places=1, default=0)

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["kind", "needs"], name="a_need_is_named_once"),
            models.CheckConstraint(condition=~Q(kind=F("needs")), name="a_stage_does_not_need_itself"),
        ]

    def __str__(self) -> str:
        return f"{self.kind} after {self.needs}"


@keeps_history(unrecorded=["checks_version"])
class Stage(models.Model):
    """One stage of one foot of one pair. Both feet are ticked together unless the maker says one.

    `covers` names the parts that this stage closes in. `round` counts when a stage comes again.
    A stage that is planned anew, or that another version no longer asks for, is retired, never changed or deleted.
    """

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    pair = models.ForeignKey(Pair, on_delete=models.PROTECT, related_name="stages")
    kind = models.ForeignKey(StageKind, on_delete=models.PROTECT, related_name="+")
    side = models.CharField(max_length=5, choices=Side.choices)
    round = models.PositiveSmallIntegerField(default=1)
    order = models.PositiveSmallIntegerField()
    covers = ArrayField(models.CharField(max_length=40), default=list, blank=True)
    held_by_differences = models.BooleanField(default=False)
    """True for the stages before which every difference of this pair must be settled."""
    minutes = models.PositiveSmallIntegerField(default=0)
    """Planned minutes of work on this shoe."""
    hours_after = models.DecimalField(max_digits=5, decimal_places=1, default=0)
    asked_by = models.ForeignKey(Prescription, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    """The version of the prescription that asks for it; the same as the pair's, once that was taken up."""
    begun_at = models.DateTimeField(null=True, blank=True)
    ticked_at = models.DateTimeField(null=True, blank=True)
    ticked_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    dry_at = models.DateTimeField(null=True, blank=True)
    felt_dry_at = models.DateTimeField(null=True, blank=True)
    retired_at = models.DateTimeField(null=True, blank=True)
    checks_version = models.PositiveIntegerField(default=1, editable=False)

    class Meta:
        ordering = ["order", "side"]
        indexes = [
            models.Index(fields=["dry_at"], condition=Q(dry_at__isnull=False), name="stages_drying"),
        ]
        constraints = [
            side_check("stage_side_is_known"),
            models.UniqueConstraint(fields=["pair", "kind", "side", "round"], name="a_stage_is_planned_once"),
            models.CheckConstraint(
                condition=Q(ticked_at__isnull=True, ticked_by__isnull=True)
                | Q(ticked_at__isnull=False, ticked_by__isnull=False),
                name="a_tick_names_its_maker",
            ),
        ]
        triggers = [stage_moves_by_its_rules()]

    def __str__(self) -> str:
        return f"{self.kind} {Side(self.side).label}"


@keeps_history()
class StageAfter(models.Model):
    """An edge of this pair's route: a stage that must be ticked before another of the same foot."""

    stage = models.ForeignKey(Stage, on_delete=models.PROTECT, related_name="after")
    needs = models.ForeignKey(Stage, on_delete=models.PROTECT, related_name="before")
    started_is_enough = models.BooleanField(default=False)
    hours_between = models.DecimalField(max_digits=6, decimal_places=1, default=0)

    append_only = True

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["stage", "needs"], name="an_edge_is_drawn_once"),
            models.CheckConstraint(condition=~Q(stage=F("needs")), name="a_stage_does_not_wait_for_itself"),
        ]
        triggers = [edge_stays_on_one_foot()]

    def __str__(self) -> str:
        return f"{self.stage} after {self.needs}"
