"""Measures, casts and lasts, foot by foot."""

import uuid

import pgtrigger
from django.conf import settings
from django.db import models
from django.db.models import F, Q

from cases.diary.models import Visit
from cases.patients.models import Patient
from shared.guards import Guard, never_changes, refuse
from shared.history import keeps_history
from shared.sides import Side, side_check

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
    """One measure of one foot. `name` is a key of `measures.py`."""

    measure_set = models.ForeignKey(MeasureSet, on_delete=models.PROTECT, related_name="measures")
    side = models.CharField(max_length=5, choices=Side.choices)
    name = models.CharField(max_length=40)
    take = models.PositiveSmallIntegerField(default=1)
    value_mm = models.DecimalField(max_digits=6, decimal_places=1)
    method = models.CharField(max_length=10, choices=Method.choices, blank=True)
    """Only where it differs from the sitting's; `load` below likewise."""
    load = models.CharField(max_length=10, choices=Load.choices, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            side_check("measure_side_is_known"),
            models.CheckConstraint(condition=Q(value_mm__gt=0) & Q(value_mm__lt=1500), name="measure_is_plausible"),
            models.CheckConstraint(condition=Q(take__gte=1) & Q(take__lte=3), name="measure_takes_are_three"),
            models.UniqueConstraint(fields=["measure_set", "side", "name", "take"], name="a_take_is_kept_once"),
        ]

    def __str__(self) -> str:
        return f"{self.side} {self.name} {self.value_mm} mm"


@keeps_history()
class Cast(models.Model):
    """A cast of one foot: where it is stored and in what condition."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="casts")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, null=True, blank=True, related_name="casts")
    side = models.CharField(max_length=5, choices=Side.choices)
    made_on = models.DateField()
    made_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    place = models.CharField(max_length=80)
    condition = models.CharField(max_length=120)
    destroyed_on = models.DateField(null=True, blank=True)
    destroyed_why = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["-made_on", "side"]
        constraints = [
            side_check("cast_side_is_known"),
            models.CheckConstraint(
                condition=Q(destroyed_on__isnull=True) | Q(destroyed_why__regex=r"\S"),
                name="a_destroyed_cast_says_why",
            ),
            models.CheckConstraint(
                condition=Q(destroyed_on__isnull=True) | Q(destroyed_on__gte=F("made_on")),
                name="a_cast_is_made_before_it_is_destroyed",
            ),
            models.CheckConstraint(condition=Q(place__regex=r"\S"), name="a_cast_is_kept_somewhere"),
        ]

    def __str__(self) -> str:
        return f"cast {self.side} {self.made_on}"


class Origin(models.TextChoices):
    """How a last came to be."""

    MADE = "made", "made new"
    ALTERED = "altered", "altered from stock"
    REUSED = "reused", "reused as it is"


class Making(models.TextChoices):
    TAPE = "tape", "tape and stock last, built up"
    CAST = "cast", "cast, positive, rectified last"
    SCAN = "scan", "scan, carved last"


@keeps_history()
class Last(models.Model):
    """A last for one foot, and where it stands on the rack. A stock last has no owner."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    owner = models.ForeignKey(Patient, on_delete=models.PROTECT, null=True, blank=True, related_name="lasts")
    number = models.CharField(max_length=30)
    side = models.CharField(max_length=5, choices=Side.choices)
    origin = models.CharField(max_length=10, choices=Origin.choices)
    making = models.CharField(max_length=10, choices=Making.choices)
    cast = models.ForeignKey(Cast, on_delete=models.PROTECT, null=True, blank=True, related_name="lasts")
    length_mm = models.DecimalField(max_digits=5, decimal_places=1)
    heel_height_mm = models.DecimalField(max_digits=5, decimal_places=1)
    toe_spring_mm = models.DecimalField(max_digits=4, decimal_places=1, default=12)
    toe_shape = models.CharField(max_length=80, blank=True)
    place = models.CharField("where it stands", max_length=80)
    condition = models.CharField(max_length=120, blank=True)
    alteration_note = models.TextField("what was built up or taken down", blank=True)
    made_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    made_on = models.DateField()
    altered_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    altered_on = models.DateField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1, editable=False)
    is_agreed: bool
    """Whether somebody agreed it as it is now: only on rows of `queries.with_agreement`."""

    class Meta:
        ordering = ["number", "side"]
        constraints = [
            side_check("last_side_is_known"),
            models.UniqueConstraint(fields=["number", "side"], name="a_last_number_is_given_once"),
            models.CheckConstraint(
                condition=Q(length_mm__gte=80) & Q(length_mm__lte=400), name="last_length_is_plausible"
            ),
            models.CheckConstraint(
                condition=Q(heel_height_mm__gte=0) & Q(heel_height_mm__lte=120), name="last_heel_is_plausible"
            ),
            models.CheckConstraint(
                condition=Q(toe_spring_mm__gte=0) & Q(toe_spring_mm__lte=60), name="last_toe_spring_is_plausible"
            ),
            models.CheckConstraint(condition=Q(origin__in=Origin.values), name="last_origin_is_known"),
            models.CheckConstraint(condition=Q(making__in=Making.values), name="last_making_is_known"),
            models.CheckConstraint(
                condition=Q(number__regex=r"\S") & Q(place__regex=r"\S"), name="a_last_has_a_number_and_a_place"
            ),
        ]
        triggers = [
            Guard(
                name="an_agreed_last_counts_up",
                when=pgtrigger.Before,
                operation=pgtrigger.Update,
                func="""
                    IF NEW.version < OLD.version OR (
                        NEW.version = OLD.version
                        AND (to_jsonb(NEW) - 'place' - 'condition') <> (to_jsonb(OLD) - 'place' - 'condition')
                        AND EXISTS (
                            SELECT 1 FROM lasts_lastagreement
                             WHERE last_id = OLD.id AND last_version = OLD.version
                        )
                    ) THEN
                """
                + refuse(
                    "an_agreed_last_counts_up",
                    "This last was agreed as it is. A change makes it a new state that must be agreed again.",
                )
                + """
                    END IF;
                    RETURN NEW;
                """,
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} {Side(self.side).label}"


@keeps_history()
class LastAgreement(models.Model):
    """A person agreed a last as it was at one version. Never changed; a changed last is agreed anew."""

    last = models.ForeignKey(Last, on_delete=models.PROTECT, related_name="agreements")
    last_version = models.PositiveIntegerField()
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    append_only = True

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["last", "last_version"], name="a_state_of_a_last_is_agreed_once"),
        ]
        triggers = [
            never_changes("last_agreement_is_final", sentence="An agreement on a last is not changed."),
            Guard(
                name="a_last_is_agreed_as_it_stands",
                when=pgtrigger.Before,
                operation=pgtrigger.Insert,
                # The lock lets no alteration pass between looking and agreeing.
                func="""
                    PERFORM 1 FROM lasts_last
                     WHERE id = NEW.last_id AND version = NEW.last_version FOR SHARE;
                    IF NOT FOUND THEN
                """
                + refuse("a_last_is_agreed_as_it_stands", "This last was altered since: look at it again.")
                + """
                    END IF;
                    RETURN NEW;
                """,
            ),
        ]

    def __str__(self) -> str:
        return f"{self.last} at version {self.last_version}"
