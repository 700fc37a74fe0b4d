"""Lasts, the rack they stand on, and who agreed them."""

import uuid
from collections.abc import Sequence

import pgtrigger
from django.conf import settings
from django.db import models
from django.db.models import Q

from cases.lasts.models.casts import Cast
from cases.patients.models import Patient
from shared.guards import Guard, never_changes, refuse
from shared.history import keeps_history
from shared.side_checks import side_check
from shared.sides import Side

PERSON = settings.AUTH_USER_MODEL

MEASURED_MM = (
    "joint_girth_mm",
    "waist_girth_mm",
    "instep_girth_mm",
    "short_heel_girth_mm",
    "long_heel_girth_mm",
    "ankle_girth_mm",
    "joint_width_mm",
    "heel_width_mm",
    "heel_to_joint_mm",
    "heel_to_fifth_mm",
    "toe_depth_mm",
)
"""What the tape, caliper and stick find on a last, in the order of the register. Each may be not taken yet."""


TILTS_DEGREES = ("rearfoot_varus_degrees", "forefoot_varus_degrees", "toe_out_degrees")

_SAYS_NOTHING_OF_ITS_SHAPE = (
    "place",
    "condition",
    "not_used_because",
    "measured_version",
    "measured_on",
    "measured_by_id",
)
_NOT_TAKEN_YET = f"""
    ARRAY(
        SELECT key FROM jsonb_each(to_jsonb(OLD))
         WHERE value = 'null' AND key = ANY(ARRAY{[*MEASURED_MM, *TILTS_DEGREES]})
    )
"""
"""What the tape had not been laid on: to take it later changes nothing about the last."""
_ITS_SHAPE = f"- ARRAY{[*_SAYS_NOTHING_OF_ITS_SHAPE]} - {_NOT_TAKEN_YET}"


def _measured() -> models.DecimalField:  # type: ignore[type-arg]
    return models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)


def _degrees(words: str) -> models.DecimalField:  # type: ignore[type-arg]
    return models.DecimalField(words, max_digits=4, decimal_places=1, null=True, blank=True)


def _none_or_within(least: int, most: int, *names: str) -> Q:
    condition = Q()
    for name in names:
        condition &= Q(**{f"{name}__isnull": True}) | Q(**{f"{name}__gte": least, f"{name}__lte": most})
    return condition


class Origin(models.TextChoices):
    """How a last came to be."""

    MADE = "made", "made new"
    ALTERED = "altered", "altered from stock"
    REUSED = "reused", "reused as it is"


class ReadOn(models.TextChoices):
    """What a size number was read on."""

    LAST = "last", "read on the last"
    FOOT = "foot", "read on the foot"


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
    marked_size = models.CharField("size marked on it", max_length=20, blank=True)
    marked_read_on = models.CharField(max_length=4, choices=ReadOn.choices, blank=True)
    length_mm = models.DecimalField(max_digits=5, decimal_places=1)
    heel_height_mm = models.DecimalField(max_digits=5, decimal_places=1)
    toe_spring_mm = models.DecimalField(max_digits=4, decimal_places=1, default=12)
    toe_shape = models.CharField(max_length=80, blank=True)
    joint_girth_mm = _measured()
    waist_girth_mm = _measured()
    instep_girth_mm = _measured()
    short_heel_girth_mm = _measured()
    long_heel_girth_mm = _measured()
    ankle_girth_mm = _measured()
    joint_width_mm = _measured()
    heel_width_mm = _measured()
    heel_to_joint_mm = _measured()
    heel_to_fifth_mm = _measured()
    toe_depth_mm = _measured()
    measured_version = models.PositiveIntegerField(null=True, blank=True)
    """The state of the last at which the tape was last on it; less than `version` after an alteration."""
    measured_on = models.DateField(null=True, blank=True)
    measured_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    rearfoot_varus_degrees = _degrees("rearfoot tilt, varus positive, valgus negative")
    forefoot_varus_degrees = _degrees("forefoot tilt, varus positive, valgus negative")
    toe_out_degrees = _degrees("toe-out, toe-in negative")
    place = models.CharField("where it stands", max_length=80)
    condition = models.CharField(max_length=120, blank=True)
    not_used_because = models.CharField("not to be used, because", max_length=120, blank=True)
    """Why no shoe is to be made on it as it is: cracked, hinge broken. Empty for a last that may be used."""
    alteration_note = models.TextField("what was built up or taken down", blank=True)
    made_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    made_on = models.DateField()
    altered_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    altered_on = models.DateField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1, editable=False)
    is_agreed: bool
    """Whether somebody agreed it as it is now: only on rows of `queries.with_agreement`."""
    shown_photos: Sequence[object]
    """Its photos without the pictures: only on a last of `permissions.last`."""

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
            models.CheckConstraint(
                condition=_none_or_within(50, 700, *(name for name in MEASURED_MM if "girth" in name))
                & _none_or_within(20, 350, *(name for name in MEASURED_MM if "width" in name or "heel_to" in name))
                & _none_or_within(5, 90, "toe_depth_mm"),
                name="last_measures_are_plausible",
            ),
            models.CheckConstraint(
                condition=_none_or_within(-45, 45, *TILTS_DEGREES[:2]) & _none_or_within(-60, 60, TILTS_DEGREES[2]),
                name="last_alignment_is_plausible",
            ),
            models.CheckConstraint(
                condition=Q(marked_size="", marked_read_on="")
                | (Q(marked_size__regex=r"\S") & Q(marked_read_on__in=ReadOn.values)),
                name="a_size_says_what_it_was_read_on",
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
                func=f"""
                    IF NEW.version < OLD.version OR (
                        NEW.version = OLD.version
                        AND (to_jsonb(NEW) {_ITS_SHAPE}) <> (to_jsonb(OLD) {_ITS_SHAPE})
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

    @property
    def awaits_tape(self) -> bool:
        """Whether it was altered and not measured since: then it is not agreed."""
        return self.altered_on is not None and self.measured_version != self.version


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
                    PERFORM 1 FROM lasts_last
                     WHERE id = NEW.last_id AND altered_on IS NOT NULL AND measured_version IS DISTINCT FROM version;
                    IF FOUND THEN
                """
                + refuse(
                    "an_altered_last_is_measured_first",
                    "This last was altered and not measured since: measure it again before it is agreed.",
                )
                + """
                    END IF;
                    RETURN NEW;
                """,
            ),
        ]

    def __str__(self) -> str:
        return f"{self.last} at version {self.last_version}"
