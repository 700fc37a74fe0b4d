"""The closed-in part: what nobody can see again once it is covered."""

from django.db import models
from django.db.models import Q

from cases.prescriptions.models.guards import part_of_a_foot_is_frozen
from cases.prescriptions.models.prescription import Foot
from shared.history import keeps_history


class Reach(models.TextChoices):
    NONE = "none", "none"
    SHORT = "short", "short"
    MEDIUM = "medium", "medium"
    LONG = "long", "long"


class AnkleHigh(models.TextChoices):
    NO = "no", "no"
    MEDIAL = "medial", "medial side"
    LATERAL = "lateral", "lateral side"
    BOTH = "both", "medial and lateral side"


class Adhesive(models.TextChoices):
    """What joins it: asked for at an allergy, and when the shoe is opened again."""

    PASTE = "paste", "water paste"
    CEMENT = "cement", "contact cement"


@keeps_history()
class Stiffener(models.Model):
    """Reaches are measured along the feather edge from the centre back, medial and lateral separately."""

    foot = models.OneToOneField(Foot, on_delete=models.CASCADE, related_name="stiffener")
    medial_reach = models.CharField(max_length=6, choices=Reach.choices, default=Reach.MEDIUM)
    medial_reach_mm = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
    lateral_reach = models.CharField(max_length=6, choices=Reach.choices, default=Reach.MEDIUM)
    lateral_reach_mm = models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)
    back_height_mm = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    material = models.CharField(max_length=80, blank=True)
    thickness_mm = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    thinned_to_mm = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    front_height_mm = models.DecimalField(
        "height at its front ends (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    medial_below_malleolus_mm = models.DecimalField(
        "medial top edge below the malleolus (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    lateral_below_malleolus_mm = models.DecimalField(
        "lateral top edge below the malleolus (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    ankle_high = models.CharField(max_length=8, choices=AnkleHigh.choices, default=AnkleHigh.NO)
    above_malleolus_mm = models.DecimalField(
        "ankle-high, above the malleolus (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    adhesive = models.CharField(max_length=10, choices=Adhesive.choices, blank=True)
    remarks = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(
                condition=Q(medial_reach__in=Reach.values) & Q(lateral_reach__in=Reach.values),
                name="stiffener_reaches_are_known",
            ),
            models.CheckConstraint(
                condition=(Q(medial_reach="none") | Q(medial_reach_mm__gt=0) | Q(medial_reach_mm__isnull=True))
                & (Q(lateral_reach="none") | Q(lateral_reach_mm__gt=0) | Q(lateral_reach_mm__isnull=True)),
                name="stiffener_reaches_are_positive",
            ),
        ]
        triggers = [part_of_a_foot_is_frozen()]

    def __str__(self) -> str:
        return f"stiffener of {self.foot}"

    @property
    def is_there(self) -> bool:
        return not (self.medial_reach == Reach.NONE and self.lateral_reach == Reach.NONE)


class ReliefWay(models.TextChoices):
    CUT_OUT = "cut out", "cut out"
    THINNED = "thinned", "thinned"


@keeps_history()
class Relief(models.Model):
    """A place in the stiffener that must not press: cut out, or thinned."""

    foot = models.ForeignKey(Foot, on_delete=models.CASCADE, related_name="reliefs")
    place = models.CharField(max_length=120)
    width_mm = models.DecimalField(max_digits=4, decimal_places=1)
    height_mm = models.DecimalField(max_digits=4, decimal_places=1)
    above_seat_mm = models.DecimalField(
        "centre above the seat (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    way = models.CharField(max_length=8, choices=ReliefWay.choices)
    thinned_to_mm = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(width_mm__gt=0) & Q(height_mm__gt=0), name="relief_has_a_size"),
            models.CheckConstraint(condition=Q(way__in=ReliefWay.values), name="relief_way_is_known"),
        ]
        triggers = [part_of_a_foot_is_frozen()]

    def __str__(self) -> str:
        return f"relief {self.place}"


class PuffKind(models.TextChoices):
    NONE = "none", "none"
    LIGHT = "light", "light"
    STANDARD = "standard", "standard"
    WALL = "wall", "wall, soft roof"
    STEEL = "steel", "steel toe cap (not certified protection)"


@keeps_history()
class ToePuff(models.Model):
    foot = models.OneToOneField(Foot, on_delete=models.CASCADE, related_name="toe_puff")
    kind = models.CharField(max_length=10, choices=PuffKind.choices, default=PuffKind.STANDARD)
    length_mm = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    thickness_mm = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    wall_height_mm = models.DecimalField(
        "soft begins above the feather (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    toe_depth_mm = models.DecimalField(
        "depth over the highest toe (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    material = models.CharField(max_length=80, blank=True)
    shape = models.CharField("shape: template or photo", max_length=80, blank=True)
    adhesive = models.CharField(max_length=10, choices=Adhesive.choices, blank=True)
    remarks = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(kind__in=PuffKind.values), name="toe_puff_kind_is_known"),
        ]
        triggers = [part_of_a_foot_is_frozen()]

    def __str__(self) -> str:
        return f"toe puff of {self.foot}"


@keeps_history()
class Insole(models.Model):
    foot = models.OneToOneField(Foot, on_delete=models.CASCADE, related_name="insole")
    leather = models.CharField(max_length=80, blank=True)
    thickness_mm = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    blocked = models.BooleanField("blocked to the last", default=False)
    finished_forepart_mm = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    finished_waist_mm = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    finished_heel_mm = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    turn_up_medial_mm = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    turn_up_lateral_mm = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    turn_up_heel_mm = models.DecimalField(max_digits=4, decimal_places=1, null=True, blank=True)
    scoured_to_mm = models.DecimalField(
        "forepart scoured to (mm)", max_digits=3, decimal_places=1, null=True, blank=True
    )
    scoured_behind_joint_mm = models.DecimalField(
        "scoured zone begins behind the joint line (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    scoured_before_toe_mm = models.DecimalField(
        "scoured zone ends before the toe (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    scoured_rim_mm = models.DecimalField(
        "rim left round the scoured zone (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    rear_doubled_mm = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    posting_rear_medial_deg = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    posting_rear_lateral_deg = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    posting_fore_medial_deg = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    posting_fore_lateral_deg = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    hollowed_beneath = models.CharField("hollow or carve-out beneath", max_length=120, blank=True)
    inlay_heel_mm = models.DecimalField(
        "room for a removable inlay, heel (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    inlay_forepart_mm = models.DecimalField(
        "room for a removable inlay, forepart (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    sock = models.CharField("sock (lining on the insole)", max_length=80, blank=True)
    remarks = models.CharField(max_length=200, blank=True)

    class Meta:
        triggers = [part_of_a_foot_is_frozen()]

    def __str__(self) -> str:
        return f"insole of {self.foot}"


class CushionPlace(models.TextChoices):
    FOREPART = "forepart", "forepart, in the scoured zone"
    HEEL = "heel", "heel"
    FULL = "full", "full length"


@keeps_history()
class Cushion(models.Model):
    foot = models.ForeignKey(Foot, on_delete=models.CASCADE, related_name="cushions")
    place = models.CharField(max_length=10, choices=CushionPlace.choices)
    material = models.CharField(max_length=80)
    thickness_mm = models.DecimalField(max_digits=3, decimal_places=1)
    extent = models.CharField("size or extent", max_length=80, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["foot", "place"], name="one_cushion_a_place"),
            models.CheckConstraint(condition=Q(place__in=CushionPlace.values), name="cushion_place_is_known"),
            models.CheckConstraint(condition=Q(thickness_mm__gt=0), name="cushion_has_a_thickness"),
        ]
        triggers = [part_of_a_foot_is_frozen()]

    def __str__(self) -> str:
        return f"cushion {self.place}"


class SupportKind(models.TextChoices):
    BAR = "bar", "metatarsal bar"
    DOME = "dome", "metatarsal dome"


@keeps_history()
class MetatarsalSupport(models.Model):
    foot = models.ForeignKey(Foot, on_delete=models.CASCADE, related_name="metatarsal_supports")
    kind = models.CharField(max_length=5, choices=SupportKind.choices)
    behind_joint_line_mm = models.DecimalField(max_digits=4, decimal_places=1)
    height_mm = models.DecimalField(max_digits=3, decimal_places=1)
    long_mm = models.DecimalField("size along the foot (mm)", max_digits=4, decimal_places=1, null=True, blank=True)
    across_mm = models.DecimalField("size across the foot (mm)", max_digits=4, decimal_places=1, null=True, blank=True)
    remarks = models.CharField("centred on, or by trial", max_length=120, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(fields=["foot", "kind"], name="one_support_of_a_kind"),
            models.CheckConstraint(condition=Q(kind__in=SupportKind.values), name="support_kind_is_known"),
            models.CheckConstraint(condition=Q(height_mm__gt=0), name="support_has_a_height"),
        ]
        triggers = [part_of_a_foot_is_frozen()]

    def __str__(self) -> str:
        return self.get_kind_display()


class PropToes(models.TextChoices):
    """The toes that a prop lies under, counted from the big toe."""

    SECOND = "2", "toe 2"
    SECOND_TO_THIRD = "2-3", "toes 2 and 3"
    SECOND_TO_FOURTH = "2-4", "toes 2 to 4"
    SECOND_TO_FIFTH = "2-5", "toes 2 to 5"
    THIRD_TO_FOURTH = "3-4", "toes 3 and 4"
    ALL = "1-5", "all toes"


@keeps_history()
class ToeProp(models.Model):
    """A soft crest on the insole that fills the hollow under bent toes, so that they bear and do not grip."""

    foot = models.OneToOneField(Foot, on_delete=models.CASCADE, related_name="toe_prop")
    toes = models.CharField("under", max_length=4, choices=PropToes.choices, default=PropToes.SECOND_TO_FOURTH)
    material = models.CharField(max_length=80, blank=True)
    height_mm = models.DecimalField(max_digits=3, decimal_places=1)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(toes__in=PropToes.values), name="toe_prop_toes_are_known"),
            models.CheckConstraint(condition=Q(height_mm__gt=0), name="toe_prop_has_a_height"),
        ]
        triggers = [part_of_a_foot_is_frozen()]

    def __str__(self) -> str:
        return f"toe prop of {self.foot}"


@keeps_history()
class Shank(models.Model):
    """`count` shanks side by side; the front end lies behind the joint line, off the bend."""

    foot = models.OneToOneField(Foot, on_delete=models.CASCADE, related_name="shank")
    count = models.PositiveSmallIntegerField(default=1)
    material = models.CharField(max_length=80)
    width_mm = models.DecimalField(max_digits=4, decimal_places=1)
    thickness_mm = models.DecimalField(max_digits=3, decimal_places=1)
    front_end_behind_joint_mm = models.DecimalField(max_digits=4, decimal_places=1)
    rear_end_in_seat_mm = models.DecimalField(
        "rear end ahead of the back of the seat (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    apart_mm = models.DecimalField(
        "shanks apart, centre to centre (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(count__gte=1) & Q(count__lte=4), name="shanks_are_one_to_four"),
        ]
        triggers = [part_of_a_foot_is_frozen()]

    def __str__(self) -> str:
        return f"shank of {self.foot}"


@keeps_history()
class CarbonZone(models.Model):
    foot = models.OneToOneField(Foot, on_delete=models.CASCADE, related_name="carbon_zone")
    plies = models.PositiveSmallIntegerField()
    cloth_g_m2 = models.PositiveSmallIntegerField("cloth (g/m²)", default=200)
    starts = models.CharField("from", max_length=80, default="seat front")
    ends_before_toe_mm = models.DecimalField(max_digits=4, decimal_places=1)
    overlap_on_shank_mm = models.DecimalField(max_digits=4, decimal_places=1)
    direction = models.CharField("direction of the cloth", max_length=80, blank=True)

    class Meta:
        constraints = [
            models.CheckConstraint(condition=Q(plies__gte=1) & Q(plies__lte=20), name="plies_are_plausible"),
        ]
        triggers = [part_of_a_foot_is_frozen()]

    def __str__(self) -> str:
        return f"carbon of {self.foot}"
