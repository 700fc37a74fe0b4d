"""A sitting of measuring: what was taken of each foot, how, and what was asked about it."""

import uuid
from collections.abc import Mapping

from django.conf import settings
from django.db import models
from django.db.models import Q

from cases.diary.models import Visit
from cases.patients.models import Patient
from shared.guards import never_changes
from shared.history import keeps_history
from shared.side_checks import edge_check, side_check
from shared.sides import Edge, Side

PERSON = settings.AUTH_USER_MODEL


class Method(models.TextChoices):
    TAPE = "tape", "tape and size stick"
    STICK = "stick", "size stick"
    CALIPER = "caliper", "caliper"
    SCAN = "scan", "scan"


class Load(models.TextChoices):
    SITTING = "sitting", "sitting, no load"
    PART = "part", "part load"
    STANDING = "standing", "standing, full load"


@keeps_history()
class MeasureSet(models.Model):
    """One sitting of measuring: method, load, heel height, time and who, said once for both feet."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="measure_sets")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, null=True, blank=True, related_name="measure_sets")
    taken_at = models.DateTimeField()
    taken_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    method = models.CharField(max_length=10, choices=Method.choices)
    load = models.CharField(max_length=10, choices=Load.choices)
    heel_height_mm = models.DecimalField(max_digits=5, decimal_places=1)
    note = models.TextField(blank=True)
    version = models.PositiveIntegerField(default=1, editable=False)

    stood_in_for: "Mapping[str, MeasureSet] | None" = None
    """By side, the earlier sitting that was found for a foot of which this one took nothing: read once."""

    class Meta:
        ordering = ["-taken_at"]
        constraints = [
            models.CheckConstraint(condition=Q(method__in=Method.values), name="measure_method_is_known"),
            models.CheckConstraint(condition=Q(load__in=Load.values), name="measure_load_is_known"),
            models.CheckConstraint(
                condition=Q(heel_height_mm__gte=0) & Q(heel_height_mm__lte=120), name="heel_height_is_plausible"
            ),
        ]

    def __str__(self) -> str:
        return f"measures of {self.taken_at:%Y-%m-%d}"


@keeps_history()
class Measure(models.Model):
    """One measure of one foot. `name` is a key of `measures.py`.

    Method, load, heel height, time and who stand here only where they differ from the sitting's.
    """

    measure_set = models.ForeignKey(MeasureSet, on_delete=models.PROTECT, related_name="measures")
    side = models.CharField(max_length=5, choices=Side.choices)
    name = models.CharField(max_length=40)
    take = models.PositiveSmallIntegerField(default=1)
    value_mm = models.DecimalField(max_digits=6, decimal_places=1)
    method = models.CharField(max_length=10, choices=Method.choices, blank=True)
    load = models.CharField(max_length=10, choices=Load.choices, blank=True)
    heel_height_mm = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
    taken_at = models.DateTimeField(null=True, blank=True)
    taken_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        ordering = ["pk"]
        constraints = [
            side_check("measure_side_is_known"),
            models.CheckConstraint(condition=Q(value_mm__gt=0) & Q(value_mm__lt=1500), name="measure_is_plausible"),
            models.CheckConstraint(condition=Q(take__gte=1) & Q(take__lte=3), name="measure_takes_are_three"),
            models.CheckConstraint(
                condition=Q(heel_height_mm__isnull=True) | (Q(heel_height_mm__gte=0) & Q(heel_height_mm__lte=120)),
                name="heel_height_of_a_measure_is_plausible",
            ),
            models.UniqueConstraint(fields=["measure_set", "side", "name", "take"], name="a_take_is_kept_once"),
        ]

    def __str__(self) -> str:
        return f"{self.side} {self.name} {self.value_mm} mm"


@keeps_history()
class LegGirth(models.Model):
    """The girth of a leg at a height above the floor, for a boot."""

    measure_set = models.ForeignKey(MeasureSet, on_delete=models.PROTECT, related_name="leg_girths")
    side = models.CharField(max_length=5, choices=Side.choices)
    words = models.CharField("where", max_length=60, blank=True)
    height_mm = models.DecimalField(max_digits=5, decimal_places=1)
    girth_mm = models.DecimalField(max_digits=5, decimal_places=1)

    class Meta:
        ordering = ["side", "height_mm"]
        constraints = [
            side_check("leg_girth_side_is_known"),
            models.CheckConstraint(
                condition=Q(height_mm__gt=0, height_mm__lt=900, girth_mm__gt=0, girth_mm__lt=1500),
                name="leg_girth_is_plausible",
            ),
            models.UniqueConstraint(fields=["measure_set", "side", "height_mm"], name="a_leg_girth_is_kept_once"),
        ]

    def __str__(self) -> str:
        return f"{self.side} leg {self.girth_mm} mm at {self.height_mm} mm"


@keeps_history()
class OutlineDeviation(models.Model):
    """Where a foot bulges beyond a regular outline, seen from above.

    `from_heel_mm` is the middle of the bulge along the foot, from the back of the heel; `extent_mm` its length along
    the edge; `beyond_mm` how far it stands out there.
    """

    measure_set = models.ForeignKey(MeasureSet, on_delete=models.PROTECT, related_name="deviations")
    side = models.CharField(max_length=5, choices=Side.choices)
    edge = models.CharField(max_length=7, choices=Edge.choices)
    from_heel_mm = models.DecimalField(max_digits=5, decimal_places=1)
    extent_mm = models.DecimalField(max_digits=5, decimal_places=1)
    beyond_mm = models.DecimalField(max_digits=4, decimal_places=1)
    words = models.CharField("what it is", max_length=80, blank=True)

    class Meta:
        ordering = ["side", "edge", "from_heel_mm"]
        constraints = [
            side_check("deviation_side_is_known"),
            edge_check("deviation_edge_is_known"),
            models.CheckConstraint(
                condition=Q(
                    from_heel_mm__gte=0,
                    from_heel_mm__lte=400,
                    extent_mm__gte=5,
                    extent_mm__lte=250,
                    beyond_mm__gt=0,
                    beyond_mm__lte=60,
                ),
                name="deviation_is_plausible",
            ),
            models.UniqueConstraint(
                fields=["measure_set", "side", "edge", "from_heel_mm"], name="a_deviation_is_kept_once"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.side} {self.edge} {self.beyond_mm} mm at {self.from_heel_mm} mm"


class Answer(models.TextChoices):
    """What a person said when asked to measure again."""

    STANDS = "stands", "measured again: it stands"
    NOT_AGAIN = "not again", "not measured again"


@keeps_history()
class SlipAnswer(models.Model):
    """A question a set of measures raised, as it was asked, and what was answered. `side` is empty across both feet."""

    measure_set = models.ForeignKey(MeasureSet, on_delete=models.PROTECT, related_name="slip_answers")
    side = models.CharField(max_length=5, choices=Side.choices, blank=True)
    keys = models.CharField(max_length=120)
    """Keys of `measures.py` the question is about, with commas."""
    question = models.TextField()
    source = models.CharField(max_length=200)
    answer = models.CharField(max_length=10, choices=Answer.choices)
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    append_only = True

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(answer__in=Answer.values), name="slip_answer_is_known"),
            models.UniqueConstraint(fields=["measure_set", "question"], name="a_slip_is_answered_once"),
        ]
        triggers = [never_changes("slip_answer_is_final", sentence="What was answered stays on record.")]

    def __str__(self) -> str:
        return f"{self.question} {self.answer}"


class MeasuringDraft(models.Model):
    """What somebody has typed of a sitting and not saved yet. No record: gone when the sitting is saved or given up."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    patient = models.ForeignKey(Patient, on_delete=models.CASCADE, related_name="+")
    person = models.ForeignKey(PERSON, on_delete=models.CASCADE, related_name="+")
    typed = models.JSONField(default=dict)
    """Every field by its name, as it was typed."""
    saved_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["patient", "person"], name="a_person_has_one_draft_of_a_foot"),
        ]

    def __str__(self) -> str:
        return f"draft of {self.saved_at:%Y-%m-%d %H:%M}"
