"""Casts and scans of one foot."""

import uuid

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from cases.diary.models import Visit
from cases.lasts.models.measuring import Load, MeasureSet
from cases.patients.models import Patient
from shared.checksums import hash_check
from shared.history import keeps_history
from shared.side_checks import side_check
from shared.sides import Side

PERSON = settings.AUTH_USER_MODEL


class CastKind(models.TextChoices):
    NEGATIVE = "negative", "plaster or fibre bandage"
    POSITIVE = "positive", "positive, poured"
    FOAM = "foam", "foam impression"


@keeps_history()
class Cast(models.Model):
    """A cast of one foot: where it is stored and in what condition. `load` is empty where nobody said."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="casts")
    visit = models.ForeignKey(Visit, on_delete=models.PROTECT, null=True, blank=True, related_name="casts")
    side = models.CharField(max_length=5, choices=Side.choices)
    kind = models.CharField(max_length=10, choices=CastKind.choices, default=CastKind.NEGATIVE)
    load = models.CharField(max_length=10, choices=Load.choices, blank=True)
    heel_height_mm = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
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
            models.CheckConstraint(condition=Q(kind__in=CastKind.values), name="cast_kind_is_known"),
            models.CheckConstraint(condition=Q(load__in=["", *Load.values]), name="cast_load_is_known"),
            models.CheckConstraint(
                condition=Q(heel_height_mm__isnull=True) | (Q(heel_height_mm__gte=0) & Q(heel_height_mm__lte=120)),
                name="cast_heel_height_is_plausible",
            ),
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


class ScanFormat(models.TextChoices):
    STL = "stl", "STL"
    OBJ = "obj", "OBJ"


@keeps_history(unrecorded=["file"])
class Scan(models.Model):
    """A scan of a foot, or of its cast, kept as the file that came.

    `placed` says how the mesh lies (unit, axes, heel, toe, stations) as a person set it, `measured` what was worked
    out from it in mm. Its numbers are measures only once a person took them: `taken_as`.
    """

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="scans")
    cast = models.ForeignKey(Cast, on_delete=models.PROTECT, null=True, blank=True, related_name="scans")
    side = models.CharField(max_length=5, choices=Side.choices)
    format = models.CharField(max_length=3, choices=ScanFormat.choices)
    file = models.BinaryField()
    sha256 = models.CharField(max_length=64)
    faces = models.PositiveIntegerField()
    load = models.CharField(max_length=10, choices=Load.choices)
    heel_height_mm = models.DecimalField(max_digits=5, decimal_places=1)
    made_on = models.DateField()
    added_at = models.DateTimeField()
    added_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    placed = models.JSONField(default=dict)
    measured = models.JSONField(default=dict)
    taken_as = models.ForeignKey(MeasureSet, on_delete=models.PROTECT, null=True, blank=True, related_name="scans")
    version = models.PositiveIntegerField(default=1, editable=False)

    class Meta:
        ordering = ["-added_at"]
        constraints = [
            side_check("scan_side_is_known"),
            models.CheckConstraint(condition=Q(format__in=ScanFormat.values), name="scan_format_is_known"),
            models.CheckConstraint(condition=Q(load__in=Load.values), name="scan_load_is_known"),
            models.CheckConstraint(condition=Q(faces__gt=0), name="a_scan_has_faces"),
            hash_check("scan_matches_its_hash", of="file"),
        ]

    def __str__(self) -> str:
        return f"scan {self.side} {self.made_on}"
