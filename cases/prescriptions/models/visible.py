"""The visible part: what can be seen of the shoe."""

from django.db import models
from django.db.models import Q

from cases.prescriptions.models.guards import part_of_a_foot_is_frozen
from cases.prescriptions.models.prescription import Foot
from shared.history import keeps_history


class Height(models.TextChoices):
    COURT = "court", "court or slip-on"
    LOW = "low", "low shoe"
    ANKLE_BOOT = "ankle boot", "ankle boot"
    HIGH_BOOT = "high boot", "high boot"


class Fastening(models.TextChoices):
    LACES = "laces", "laces"
    STRAP = "strap", "strap"
    RETURNING_STRAP = "returning strap", "strap returning through a ring"
    ELASTIC = "elastic", "elastic"
    ZIP = "zip", "zip"
    NONE = "none", "none"


@keeps_history()
class Upper(models.Model):
    foot = models.OneToOneField(Foot, on_delete=models.CASCADE, related_name="upper")
    style = models.CharField(max_length=80, blank=True)
    height = models.CharField(max_length=12, choices=Height.choices, default=Height.LOW, blank=True)
    opening = models.CharField(max_length=120, blank=True)
    fastening = models.CharField(max_length=16, choices=Fastening.choices, default=Fastening.LACES, blank=True)
    fastening_count = models.PositiveSmallIntegerField("straps, or pairs of eyelets", null=True, blank=True)
    fastening_width_mm = models.DecimalField("strap width (mm)", max_digits=4, decimal_places=1, null=True, blank=True)
    fastening_tab = models.CharField("tab or pull", max_length=80, blank=True)
    fastening_hand = models.CharField("hand that closes it, and pull direction", max_length=120, blank=True)
    leather = models.CharField("upper leather", max_length=80, blank=True)
    vamp_lining = models.CharField(max_length=80, blank=True)
    quarter_lining = models.CharField(max_length=80, blank=True)
    tongue_lining = models.CharField(max_length=80, blank=True)
    seam_free_lining = models.BooleanField("lining without a seam over the foot", default=False)
    collar_padding_mm = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    collar_height_mm = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    topline_medial_mm = models.DecimalField(
        "topline height, medial (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    topline_lateral_mm = models.DecimalField(
        "topline height, lateral (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    tongue = models.CharField("tongue or front stiffener", max_length=80, blank=True)
    room_for_bulge = models.CharField("room for a bulge: place and mm", max_length=200, blank=True)

    class Meta:
        triggers = [part_of_a_foot_is_frozen()]

    def __str__(self) -> str:
        return f"upper of {self.foot}"


class SoftPlace(models.TextChoices):
    """Where on the upper."""

    TOES = "toes", "over the toes"
    FIRST_JOINT = "1st joint", "1st joint, medial"
    FIFTH_JOINT = "5th joint", "5th joint, lateral"
    INSTEP = "instep", "over the instep"
    MEDIAL_ANKLE = "medial ankle", "ankle, medial"
    LATERAL_ANKLE = "lateral ankle", "ankle, lateral"
    HEEL = "heel", "back of the heel"


class Softness(models.TextChoices):
    """What makes it soft."""

    SOFTER = "softer", "softer leather"
    STRETCH = "stretch", "stretch leather"
    UNBACKED = "unbacked", "leather without backing"
    PADDED = "padded", "padded"


@keeps_history()
class SoftZone(models.Model):
    """A place where the upper must give: a bump, a swelling, toes that are bent."""

    foot = models.ForeignKey(Foot, on_delete=models.CASCADE, related_name="soft_zones")
    place = models.CharField(max_length=16, choices=SoftPlace.choices)
    softness = models.CharField("how soft", max_length=10, choices=Softness.choices)
    extent = models.CharField("size or extent", max_length=80, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(place__in=SoftPlace.values), name="soft_zone_place_is_known"),
            models.CheckConstraint(condition=Q(softness__in=Softness.values), name="soft_zone_softness_is_known"),
        ]
        triggers = [part_of_a_foot_is_frozen()]

    def __str__(self) -> str:
        return f"soft zone, {self.get_place_display()}"
