"""The underfoot part: what touches the ground, and what lifts or tilts the foot above it."""

from django.db import models
from django.db.models import Q

from cases.prescriptions.models.guards import part_of_a_foot_is_frozen
from cases.prescriptions.models.prescription import Foot
from shared.history import keeps_history
from shared.side_checks import edge_check
from shared.sides import Edge


@keeps_history()
class Sole(models.Model):
    foot = models.OneToOneField(Foot, on_delete=models.CASCADE, related_name="sole")
    material = models.CharField(max_length=80, blank=True)
    thickness_mm = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    tread = models.CharField(max_length=80, blank=True)
    toe_spring_extra_mm = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    leading_edge = models.CharField(max_length=120, blank=True)
    remarks = models.CharField(max_length=200, blank=True)

    class Meta:
        triggers = [part_of_a_foot_is_frozen()]

    def __str__(self) -> str:
        return f"sole of {self.foot}"


@keeps_history()
class Heel(models.Model):
    foot = models.OneToOneField(Foot, on_delete=models.CASCADE, related_name="heel")
    height_mm = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    material = models.CharField(max_length=80, blank=True)
    extended_medial_mm = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    extended_lateral_mm = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    cushion_heel = models.BooleanField("soft wedge in the heel", default=False)

    class Meta:
        triggers = [part_of_a_foot_is_frozen()]

    def __str__(self) -> str:
        return f"heel of {self.foot}"


@keeps_history()
class Rocker(models.Model):
    foot = models.OneToOneField(Foot, on_delete=models.CASCADE, related_name="rocker")
    apex_percent = models.DecimalField("apex, of the sole from the heel (%)", max_digits=4, decimal_places=1)
    angle_deg = models.DecimalField(max_digits=3, decimal_places=1)
    curved = models.BooleanField(default=True)
    apex_angle_deg = models.DecimalField(
        "apex line, from the long axis (°)", max_digits=4, decimal_places=1, null=True, blank=True
    )

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(apex_percent__gt=30) & Q(apex_percent__lt=90) & Q(angle_deg__gt=0) & Q(angle_deg__lt=45),
                name="rocker_is_plausible",
            ),
        ]
        triggers = [part_of_a_foot_is_frozen()]

    def __str__(self) -> str:
        return f"rocker of {self.foot}"


@keeps_history()
class Raise(models.Model):
    """A raise in the shoe and on the sole; heel, ball and toe each in mm."""

    foot = models.OneToOneField(Foot, on_delete=models.CASCADE, related_name="height_raise")
    in_shoe_heel_mm = models.DecimalField(
        "in the shoe, heel (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    on_sole_heel_mm = models.DecimalField(
        "on the sole, heel (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    on_sole_ball_mm = models.DecimalField(
        "on the sole, joint (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    on_sole_toe_mm = models.DecimalField("on the sole, toe (mm)", max_digits=4, decimal_places=1, null=True, blank=True)
    material = models.CharField(max_length=80, blank=True)

    class Meta:
        triggers = [part_of_a_foot_is_frozen()]

    def __str__(self) -> str:
        return f"raise of {self.foot}"


class WedgePlace(models.TextChoices):
    HEEL = "heel", "heel"
    FOREFOOT = "forefoot", "forefoot"


@keeps_history()
class Wedge(models.Model):
    foot = models.ForeignKey(Foot, on_delete=models.CASCADE, related_name="wedges")
    place = models.CharField(max_length=10, choices=WedgePlace.choices)
    edge = models.CharField(max_length=8, choices=Edge.choices)
    height_mm = models.DecimalField(max_digits=3, decimal_places=1)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["foot", "place"], name="one_wedge_a_place"),
            models.CheckConstraint(condition=Q(place__in=WedgePlace.values), name="wedge_place_is_known"),
            edge_check("wedge_edge_is_known"),
            models.CheckConstraint(condition=Q(height_mm__gt=0), name="wedge_has_a_height"),
        ]
        triggers = [part_of_a_foot_is_frozen()]

    def __str__(self) -> str:
        return f"{self.place} wedge, {self.edge}"


@keeps_history()
class Flare(models.Model):
    foot = models.ForeignKey(Foot, on_delete=models.CASCADE, related_name="flares")
    edge = models.CharField(max_length=8, choices=Edge.choices)
    width_mm = models.DecimalField(max_digits=3, decimal_places=1)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["foot", "edge"], name="one_flare_an_edge"),
            edge_check("flare_edge_is_known"),
            models.CheckConstraint(condition=Q(width_mm__gt=0), name="flare_has_a_width"),
        ]
        triggers = [part_of_a_foot_is_frozen()]

    def __str__(self) -> str:
        return f"flare, {self.edge}"
