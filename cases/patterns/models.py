"""What a maker adjusts on the patterns of a pair, and where he uses his own template instead."""

import uuid
from typing import Any

from django.conf import settings
from django.db import models
from django.db.models import Q

from cases.bench.models import Difference, Pair
from cases.patterns.guards import adjustment_is_made_once, template_is_ended_once
from cases.prescriptions.models import Prescription
from shared.history import keeps_history
from shared.side_checks import side_check
from shared.sides import Side

PERSON = settings.AUTH_USER_MODEL

MOST_SHIFTED_MM = 40
MOST_FIGURE_MM = 400
"""No piece of a shoe is longer. From memory."""


def _millimetres() -> "models.DecimalField[Any, Any]":
    return models.DecimalField(max_digits=5, decimal_places=1, null=True, blank=True)


class AdjustmentKind(models.TextChoices):
    FIGURE = "figure", "a figure of the prescription"
    POINT = "point", "a point of the cut line"


@keeps_history()
class PatternAdjustment(models.Model):
    """A figure changed or a point shifted on the patterns of one pair. The latest of each holds until taken back.

    `what` is the key of the figure or of the piece's handle; `part` is the bench's key of the part that is checked.
    A figure goes from `from_mm` to `to_mm`, a point by `medial_mm` towards medial and `along_mm` towards the toe or up.
    """

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    pair = models.ForeignKey(Pair, on_delete=models.PROTECT, related_name="adjustments")
    version = models.ForeignKey(Prescription, on_delete=models.PROTECT, related_name="+")
    side = models.CharField(max_length=5, choices=Side.choices)
    piece = models.CharField(max_length=60)
    part = models.CharField(max_length=40)
    kind = models.CharField(max_length=6, choices=AdjustmentKind.choices)
    what = models.CharField(max_length=60)
    what_words = models.CharField(max_length=120)
    from_mm = _millimetres()
    to_mm = _millimetres()
    medial_mm = _millimetres()
    along_mm = _millimetres()
    reason = models.TextField()
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    follows = models.OneToOneField("self", on_delete=models.PROTECT, null=True, related_name="followed_by")
    difference = models.OneToOneField(Difference, on_delete=models.PROTECT, null=True, related_name="adjustment")
    taken_back_at = models.DateTimeField(null=True, blank=True)
    taken_back_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        ordering = ["pk"]
        constraints = [
            side_check("adjustment_side_is_known"),
            models.CheckConstraint(condition=Q(reason__regex=r"\S.*\S.*\S"), name="an_adjustment_says_why"),
            models.CheckConstraint(
                condition=Q(
                    kind="figure",
                    from_mm__isnull=False,
                    to_mm__isnull=False,
                    medial_mm__isnull=True,
                    along_mm__isnull=True,
                )
                | Q(
                    kind="point",
                    from_mm__isnull=True,
                    to_mm__isnull=True,
                    medial_mm__isnull=False,
                    along_mm__isnull=False,
                ),
                name="an_adjustment_is_a_figure_or_a_point",
            ),
            models.CheckConstraint(
                # A comparison with nothing is not false, so what must be there is said.
                condition=Q(to_mm__isnull=False, to_mm__range=(0, MOST_FIGURE_MM))
                | Q(
                    to_mm__isnull=True,
                    medial_mm__isnull=False,
                    along_mm__isnull=False,
                    medial_mm__range=(-MOST_SHIFTED_MM, MOST_SHIFTED_MM),
                    along_mm__range=(-MOST_SHIFTED_MM, MOST_SHIFTED_MM),
                ),
                name="an_adjustment_stays_within_the_piece",
            ),
            models.CheckConstraint(
                condition=Q(taken_back_at__isnull=True, taken_back_by__isnull=True)
                | Q(taken_back_at__isnull=False, taken_back_by__isnull=False),
                name="who_takes_an_adjustment_back_is_named",
            ),
            models.UniqueConstraint(
                fields=["pair", "side", "piece", "what"],
                condition=Q(follows__isnull=True),
                name="one_adjustment_is_the_first",
            ),
        ]
        triggers = [adjustment_is_made_once()]

    def __str__(self) -> str:
        return f"{Side(self.side).label} {self.what_words}: {self.change_words}"

    @property
    def change_words(self) -> str:
        """128 → 134 mm; or 2 mm medial, 3 mm back."""
        if self.kind == AdjustmentKind.FIGURE:
            return f"{_plain(self.from_mm)} → {_plain(self.to_mm)} mm"
        return shift_words(float(self.medial_mm or 0), float(self.along_mm or 0), part=self.part)


STANDING = frozenset({"stiffener"})
"""Parts whose pieces stand in the shoe: along them is up and down."""


def shift_words(medial_mm: float, along_mm: float, *, part: str) -> str:
    """Where a point went, each way by its name: 3 mm medial, 2 mm up."""
    ways = ("up", "down") if part in STANDING else ("towards the toe", "towards the heel")
    across = f"{abs(medial_mm):g} mm {'medial' if medial_mm > 0 else 'lateral'}" if medial_mm else ""
    along = f"{abs(along_mm):g} mm {ways[0] if along_mm > 0 else ways[1]}" if along_mm else ""
    return ", ".join(filter(None, (across, along))) or "as drafted"


def _plain(value: object) -> str:
    return f"{float(str(value)):g}"


@keeps_history()
class OwnTemplate(models.Model):
    """A maker's own template, used for a part of one foot instead of the drafted pieces. The check still holds."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    pair = models.ForeignKey(Pair, on_delete=models.PROTECT, related_name="own_templates")
    side = models.CharField(max_length=5, choices=Side.choices)
    part = models.CharField(max_length=40)
    template = models.CharField("which template", max_length=120)
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, null=True, blank=True, related_name="+")

    class Meta:
        ordering = ["pk"]
        constraints = [
            side_check("own_template_side_is_known"),
            models.CheckConstraint(condition=Q(template__regex=r"\S"), name="an_own_template_says_which"),
            models.CheckConstraint(
                condition=Q(ended_at__isnull=True, ended_by__isnull=True)
                | Q(ended_at__isnull=False, ended_by__isnull=False),
                name="who_ends_a_template_is_named",
            ),
            models.UniqueConstraint(
                fields=["pair", "side", "part"], condition=Q(ended_at__isnull=True), name="one_template_stands"
            ),
        ]
        triggers = [template_is_ended_once()]

    def __str__(self) -> str:
        return f"{Side(self.side).label} {self.part}: {self.template}"
