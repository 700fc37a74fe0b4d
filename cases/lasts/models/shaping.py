"""What a last must become, what was built up or taken down on it, and how it was looked at."""

import uuid

from django.conf import settings
from django.db import models
from django.db.models import Q

from cases.lasts.models.lasts import Last
from cases.lasts.models.measuring import MeasureSet
from cases.patients.models import Finding
from shared.checksums import hash_check
from shared.guards import never_changes
from shared.history import keeps_history

PERSON = settings.AUTH_USER_MODEL


class FootwearKind(models.TextChoices):
    """What the last is for: it decides the ease at each station. Keys are part of the names of settings."""

    LOW = "low", "low laced or strapped"
    COURT = "court", "court or slip-on"
    ANKLE_BOOT = "ankle_boot", "ankle boot"
    LONG_BOOT = "long_boot", "long boot"
    MOCCASIN = "moccasin", "moccasin"
    SANDAL = "sandal", "sandal"
    NO_SENSATION = "no_sensation", "loss of sensation, with inlay"
    INDOOR = "indoor", "indoor"


class Hose(models.TextChoices):
    """What the client wears on the foot."""

    NONE = "none", "none"
    THIN = "thin", "thin"
    NORMAL = "normal", "normal"
    THICK = "thick", "thick"


@keeps_history()
class LastTarget(models.Model):
    """What a last is to fit: the sitting of measures it starts from, and what is added to them.

    The latest of a last counts. Its figures are worked out with the workshop's settings of that day. `own_mm` has what
    a person adds at a station, by its key, in mm; `note` says why.
    """

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    last = models.ForeignKey(Last, on_delete=models.PROTECT, related_name="targets")
    measure_set = models.ForeignKey(MeasureSet, on_delete=models.PROTECT, related_name="targets")
    footwear_kind = models.CharField(max_length=20, choices=FootwearKind.choices)
    hose = models.CharField(max_length=10, choices=Hose.choices)
    light_upper = models.BooleanField(default=False)
    swelling_mm = models.DecimalField(max_digits=4, decimal_places=1, default=0)
    inlay_mm = models.DecimalField("removable inlay: thickness", max_digits=4, decimal_places=1, default=0)
    own_mm = models.JSONField(default=dict)
    note = models.TextField(blank=True)
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    append_only = True

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.CheckConstraint(condition=Q(footwear_kind__in=FootwearKind.values), name="target_kind_is_known"),
            models.CheckConstraint(condition=Q(hose__in=Hose.values), name="target_hose_is_known"),
            models.CheckConstraint(
                condition=Q(swelling_mm__gte=0, swelling_mm__lte=60, inlay_mm__gte=0, inlay_mm__lte=30),
                name="target_is_plausible",
            ),
        ]
        triggers = [never_changes("last_target_is_final", sentence="A target is not changed; a new one is set.")]

    def __str__(self) -> str:
        return f"target of {self.last}"


class PatchWork(models.TextChoices):
    BUILD_UP = "build up", "build up"
    TAKE_DOWN = "take down", "take down"


@keeps_history()
class LastPatch(models.Model):
    """A place on a last that is built up or taken down: planned, then done, and perhaps taken off again.

    `station` is a key of `stations.py`, or empty for a bump between stations; `place` says in words where it lies.
    A feathered patch changes a girth by less than a layer all round: the tape decides.
    """

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    last = models.ForeignKey(Last, on_delete=models.PROTECT, related_name="patches")
    work = models.CharField(max_length=10, choices=PatchWork.choices)
    station = models.CharField(max_length=20, blank=True)
    place = models.CharField(max_length=120)
    height_mm = models.DecimalField(max_digits=4, decimal_places=1)
    length_mm = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
    width_mm = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
    feather_mm = models.DecimalField("feathered edge", max_digits=4, decimal_places=1, null=True, blank=True)
    material = models.CharField(max_length=60, blank=True)
    planned_at = models.DateTimeField()
    planned_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    done_at = models.DateTimeField(null=True, blank=True)
    done_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(work__in=PatchWork.values), name="patch_work_is_known"),
            models.CheckConstraint(condition=Q(place__regex=r"\S"), name="a_patch_has_a_place"),
            models.CheckConstraint(
                condition=Q(height_mm__gt=0, height_mm__lte=60)
                & (Q(length_mm__isnull=True) | Q(length_mm__gt=0, length_mm__lte=400))
                & (Q(width_mm__isnull=True) | Q(width_mm__gt=0, width_mm__lte=300))
                & (Q(feather_mm__isnull=True) | Q(feather_mm__gte=0, feather_mm__lte=60)),
                name="patch_is_plausible",
            ),
            models.CheckConstraint(
                condition=Q(done_at__isnull=True, done_by__isnull=True)
                | Q(done_at__isnull=False, done_by__isnull=False),
                name="a_patch_done_says_by_whom",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.work} {self.height_mm.normalize():f} mm, {self.place}"


class BottomPart(models.TextChoices):
    ARCH = "arch", "arch height"
    HEEL_SEAT = "heel seat", "heel seat"
    METATARSAL = "metatarsal", "metatarsal support"
    RELIEF = "relief", "relief spots"


class Verdict(models.TextChoices):
    FITS = "fits", "fits"
    GAP = "gap", "gap"
    PROUD = "proud", "stands proud"


@keeps_history()
class BottomCheck(models.Model):
    """The bottom of a last held against the cast, by eye or gauge. The latest of each part counts for its state."""

    last = models.ForeignKey(Last, on_delete=models.PROTECT, related_name="bottom_checks")
    last_version = models.PositiveIntegerField()
    part = models.CharField(max_length=12, choices=BottomPart.choices)
    verdict = models.CharField(max_length=6, choices=Verdict.choices)
    by_gauge = models.BooleanField(default=False)
    off_by_mm = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    note = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    append_only = True

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(part__in=BottomPart.values), name="bottom_part_is_known"),
            models.CheckConstraint(condition=Q(verdict__in=Verdict.values), name="bottom_verdict_is_known"),
            models.CheckConstraint(
                condition=Q(off_by_mm__isnull=True) | Q(off_by_mm__gt=0, off_by_mm__lte=40),
                name="bottom_is_off_by_a_plausible_amount",
            ),
        ]
        triggers = [never_changes("bottom_check_is_final", sentence="What was seen stays; look again and say so.")]

    def __str__(self) -> str:
        return f"{self.part} {self.verdict}"


class Handled(models.TextChoices):
    ACCOMMODATED = "accommodated", "accommodated"
    CORRECTED = "corrected", "corrected"


@keeps_history()
class LastDeformity(models.Model):
    """For a deformity found on the foot: whether this last makes room for it or brings the foot straight."""

    last = models.ForeignKey(Last, on_delete=models.PROTECT, related_name="deformities")
    finding = models.ForeignKey(Finding, on_delete=models.PROTECT, related_name="+")
    handled = models.CharField(max_length=14, choices=Handled.choices)
    note = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(handled__in=Handled.values), name="deformity_handling_is_known"),
            models.UniqueConstraint(fields=["last", "finding"], name="a_deformity_is_handled_one_way"),
        ]

    def __str__(self) -> str:
        return f"{self.finding}: {self.handled}"


@keeps_history(unrecorded=["jpeg"])
class LastPhoto(models.Model):
    """A photo of a last, encoded anew and without what the camera wrote into it."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    last = models.ForeignKey(Last, on_delete=models.PROTECT, related_name="photos")
    jpeg = models.BinaryField()
    sha256 = models.CharField(max_length=64)
    words = models.CharField("what it shows", max_length=120, blank=True)
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    append_only = True

    class Meta:
        ordering = ["-pk"]
        constraints = [hash_check("photo_matches_its_hash", of="jpeg")]
        triggers = [never_changes("last_photo_is_final", sentence="A photo of a last is not changed.")]

    def __str__(self) -> str:
        return f"photo of {self.last}"
