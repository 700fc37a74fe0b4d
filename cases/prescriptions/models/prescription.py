"""The prescription as a whole, and its two feet."""

import uuid
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, TypeVar

from django.conf import settings
from django.db import models
from django.db.models import Q

from cases.lasts.models import Last, MeasureSet
from cases.patients.models import Patient
from cases.prescriptions.models.guards import (
    gives_way_to_a_signed_version,
    last_is_of_this_foot,
    part_is_frozen,
    prescription_is_frozen,
)
from cases.prescriptions.weighed_here import WeighedHere
from shared.history import keeps_history
from shared.side_checks import side_check
from shared.sides import Side

if TYPE_CHECKING:
    from cases.prescriptions.models.beginnings import OrderDocument
    from shared.tree import Read

PERSON = settings.AUTH_USER_MODEL
SINGLE_PARTS = (
    "upper",
    "stiffener",
    "toe_puff",
    "insole",
    "toe_prop",
    "shank",
    "carbon_zone",
    "sole",
    "heel",
    "rocker",
    "height_raise",
)
"""Parts of which a foot has one or none."""
MANY_PARTS = ("soft_zones", "reliefs", "cushions", "metatarsal_supports", "wedges", "flares")
"""Parts of which a foot has any number."""

PartModel = TypeVar("PartModel", bound=models.Model)


class PrescriptionStatus(models.TextChoices):
    DRAFT = "draft", "draft"
    SIGNED = "signed", "signed"
    SUPERSEDED = "superseded", "superseded"
    WITHDRAWN = "withdrawn", "withdrawn"


class Construction(models.TextChoices):
    """How the shoe is put together: it decides the route, the insole and whether a toe puff makes sense."""

    CEMENTED = "cemented", "cemented"
    HAND_WELTED = "hand-welted", "hand-welted"
    MACHINE_WELTED = "machine-welted", "machine-welted"
    STITCHDOWN = "stitchdown", "stitchdown"
    MOCCASIN = "moccasin", "moccasin"
    SANDAL = "sandal", "sandal"


class WorkKind(models.TextChoices):
    NEW = "new", "new pair"
    REPEAT = "repeat", "repeat on an existing last"
    ADAPTATION = "adaptation", "adaptation of a ready-made shoe"
    REPAIR = "repair", "repair"


class ForepartLabel(models.TextChoices):
    """How stiff the forepart is to be across the joint."""

    BENDS = "bends", "bends"
    FIRM = "firm", "firm"
    RIGID = "rigid", "rigid"


class Feet(models.TextChoices):
    """Which shoes the work is on."""

    BOTH = "both", "both shoes"
    LEFT = "left", "LEFT shoe only"
    RIGHT = "right", "RIGHT shoe only"


@keeps_history()
class Prescription(models.Model):
    """One version. `number` stays the same from version to version of one client's prescription."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="prescriptions")
    number = models.PositiveIntegerField()
    version_no = models.PositiveIntegerField(default=1)
    status = models.CharField(max_length=10, choices=PrescriptionStatus.choices, default=PrescriptionStatus.DRAFT)
    supersedes = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="later_versions"
    )
    reason = models.TextField("why this version was written", blank=True)
    work = models.CharField(max_length=12, choices=WorkKind.choices, default=WorkKind.NEW)
    feet = models.CharField(max_length=5, choices=Feet.choices, default=Feet.BOTH)
    construction = models.CharField(max_length=16, choices=Construction.choices, default=Construction.CEMENTED)
    purpose = models.CharField("what the pair is for", max_length=200, blank=True)
    own_shoe = models.CharField("the client's own shoe that is worked on", max_length=200, blank=True)
    trial_shoe = models.BooleanField("trial shoe before the uppers", default=False)
    measure_set = models.ForeignKey(
        MeasureSet, on_delete=models.PROTECT, null=True, blank=True, related_name="prescriptions"
    )
    shoe_weight_limit_g = models.PositiveSmallIntegerField("most that each shoe may weigh (g)", null=True, blank=True)
    heel_limit_mm = models.DecimalField(
        "highest heel the client was promised (mm)", max_digits=4, decimal_places=1, null=True, blank=True
    )
    review_months = models.PositiveSmallIntegerField("review planned, months after hand-over", null=True, blank=True)
    wear_in = models.CharField("wear-in planned", max_length=24, blank=True)
    """Key of a wear-in table, empty where none is planned yet."""
    remarks = models.TextField(blank=True)
    outside_author = models.CharField("prescriber who ordered it from elsewhere", max_length=120, blank=True)
    outside_profession = models.CharField("profession", max_length=80, blank=True)
    ordered_on = models.DateField("ordered on", null=True, blank=True)
    taken_over_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    """The person here who took the order over, where it came from elsewhere."""
    written_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    written_at = models.DateTimeField()
    saved_at = models.DateTimeField("last saved", null=True, blank=True)
    signed_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    signed_at = models.DateTimeField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1, editable=False)

    is_whole = False
    """Whether `queries.whole` read it: everything that belongs to it came along."""
    weighed: WeighedHere = WeighedHere()
    """What this workshop's scale teaches every estimate, where `queries.whole` read it with the version."""
    behind_notes: "Read | None" = None
    """What stands behind the notes on it, where `queries.whole` read that too; `answers.background_of` gives it."""
    order_papers: "Sequence[OrderDocument]" = ()
    """The papers of a received order without the files themselves, where `queries.whole` read them with the version."""

    class Meta:
        ordering = ["patient", "number", "version_no"]
        constraints = [
            models.UniqueConstraint(fields=["patient", "number", "version_no"], name="a_version_is_numbered_once"),
            models.UniqueConstraint(
                fields=["patient", "number"], condition=Q(status="draft"), name="one_draft_at_a_time"
            ),
            models.UniqueConstraint(
                fields=["patient", "number"], condition=Q(status="signed"), name="one_signed_version_at_a_time"
            ),
            models.CheckConstraint(
                condition=Q(status__in=PrescriptionStatus.values), name="prescription_status_is_known"
            ),
            models.UniqueConstraint(
                fields=["supersedes"], condition=~Q(status="withdrawn"), name="a_version_is_followed_by_one"
            ),
            models.CheckConstraint(
                condition=~Q(status="draft") | Q(signed_by__isnull=True, signed_at__isnull=True),
                name="a_draft_is_not_signed",
            ),
            models.CheckConstraint(
                condition=Q(outside_author="") | Q(taken_over_by__isnull=False),
                name="an_order_is_taken_over_by_somebody",
            ),
            models.CheckConstraint(
                condition=Q(review_months__isnull=True) | Q(review_months__gte=1, review_months__lte=36),
                name="review_is_planned_plausibly",
            ),
            models.CheckConstraint(condition=Q(feet__in=Feet.values), name="prescription_feet_are_known"),
            models.CheckConstraint(condition=Q(work__in=WorkKind.values), name="prescription_work_is_known"),
            models.CheckConstraint(
                condition=Q(construction__in=Construction.values), name="prescription_construction_is_known"
            ),
            models.CheckConstraint(
                condition=Q(status__in=["draft", "withdrawn"]) | Q(signed_by__isnull=False, signed_at__isnull=False),
                name="a_signed_version_names_its_signer",
            ),
            models.CheckConstraint(
                condition=Q(version_no=1) | Q(supersedes__isnull=False, reason__length__gt=0),
                name="a_new_version_says_why",
            ),
        ]
        triggers = [prescription_is_frozen(), gives_way_to_a_signed_version()]

    def __str__(self) -> str:
        return f"prescription {self.number}, version {self.version_no}"


@keeps_history()
class Foot(models.Model):
    """What one foot's shoe must be, and the last it is built on."""

    prescription = models.ForeignKey(Prescription, on_delete=models.CASCADE, related_name="foot_set")
    side = models.CharField(max_length=5, choices=Side.choices)
    last = models.ForeignKey(Last, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    last_version = models.PositiveIntegerField(null=True, blank=True)
    orthosis_room = models.CharField("orthosis or caliper to be worn in it", max_length=200, blank=True)
    toe_filler = models.CharField(max_length=200, blank=True)
    forepart_asked = models.CharField(
        "forepart across the joint", max_length=5, choices=ForepartLabel.choices, blank=True
    )
    remarks = models.TextField(blank=True)

    brought: Mapping[str, list[models.Model]] | None = None
    """The parts of which it has any number, by name, where `queries.whole` read them with it."""

    class Meta:
        ordering = ["side"]
        constraints = [
            side_check("foot_side_is_known"),
            models.UniqueConstraint(fields=["prescription", "side"], name="a_foot_is_prescribed_once"),
            models.CheckConstraint(
                condition=Q(forepart_asked__in=["", *ForepartLabel.values]), name="forepart_label_is_known"
            ),
        ]
        triggers = [part_is_frozen("{part}.prescription_id"), last_is_of_this_foot()]

    def __str__(self) -> str:
        return f"{self.prescription}, {Side(self.side).label}"

    def one(self, name: str, kind: type[PartModel]) -> PartModel | None:
        """The part of this foot of which it has one or none."""
        part = getattr(self, name, None)
        return part if isinstance(part, kind) else None

    def hold(self, name: str, part: models.Model | None) -> None:
        """Take the part of which it has one or none as read: nothing is asked of the database for it."""
        if part is None:
            related = self._meta.get_field(name)
            assert isinstance(related, models.OneToOneRel)
            related.set_cached_value(self, None)
        else:
            part.foot = self  # type: ignore[attr-defined]  # every part has its foot

    def several(self, name: str, kind: type[PartModel]) -> list[PartModel]:
        """The parts of this foot of which it has any number, as they were first written: brought with it, else read."""
        rows = self.brought[name] if self.brought is not None else getattr(self, name).order_by("pk")
        return [part for part in rows if isinstance(part, kind)]
