"""Fittings, hand-overs and reviews: what the client's feet say of the pair."""

import uuid

from django.conf import settings
from django.db import models
from django.db.models import Q

from cases.bench.models import Pair
from cases.bench.models.guards.pair import visit_is_of_the_same_client
from cases.diary.models import Visit
from shared.guards import never_changes
from shared.history import keeps_history
from shared.side_checks import side_check
from shared.sides import Side

PERSON = settings.AUTH_USER_MODEL


class FittingKind(models.TextChoices):
    TRIAL_SHOE = "trial shoe", "trial shoe"
    ROUGH = "rough", "rough fitting, before the sole"
    FINAL = "final", "final fitting"

    @property
    def called(self) -> str:
        """What it is called in a sentence, without when it comes."""
        return self.label.split(",")[0]


class FittingOutcome(models.TextChoices):
    ACCEPT = "accept", "accept: go on"
    ALTER = "alter", "alter, and try on again"
    REMAKE = "remake", "make again on a new last"


@keeps_history()
class Fitting(models.Model):
    """One fitting of one pair, with its outcome. Written once."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    visit = models.OneToOneField(Visit, on_delete=models.PROTECT, related_name="+")
    pair = models.ForeignKey(Pair, on_delete=models.PROTECT, related_name="fittings")
    kind = models.CharField(max_length=10, choices=FittingKind.choices)
    outcome = models.CharField(max_length=6, choices=FittingOutcome.choices)
    note = models.TextField(blank=True)
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    append_only = True

    class Meta:
        ordering = ["at"]
        constraints = [
            models.CheckConstraint(condition=Q(outcome__in=FittingOutcome.values), name="fitting_outcome_is_known"),
            models.CheckConstraint(condition=Q(kind__in=FittingKind.values), name="fitting_kind_is_known"),
        ]
        triggers = [
            never_changes("fitting_is_final", sentence="A fitting stays on record as it was."),
            visit_is_of_the_same_client(),
        ]

    def __str__(self) -> str:
        return f"{FittingKind(self.kind).called} of {self.pair}"


@keeps_history()
class FittingFinding(models.Model):
    """What was found on one foot at a fitting."""

    fitting = models.ForeignKey(Fitting, on_delete=models.PROTECT, related_name="findings")
    side = models.CharField(max_length=5, choices=Side.choices)
    place = models.CharField(max_length=80, blank=True)
    found = models.CharField(max_length=200)
    to_do = models.CharField(max_length=200, blank=True)

    append_only = True

    class Meta:
        ordering = ["pk"]
        constraints = [
            side_check("fitting_finding_side_is_known"),
            models.CheckConstraint(condition=Q(found__length__gt=0), name="a_fitting_finding_says_what"),
        ]
        triggers = [never_changes("fitting_finding_is_final", sentence="A fitting stays on record as it was.")]

    def __str__(self) -> str:
        return f"{Side(self.side).label} {self.place}: {self.found}"


@keeps_history()
class HandOver(models.Model):
    """The pair goes home: what was said and shown, weights felt, and who took it."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    visit = models.OneToOneField(Visit, on_delete=models.PROTECT, related_name="+")
    pair = models.OneToOneField(Pair, on_delete=models.PROTECT, related_name="hand_over")
    wear_in = models.CharField("wear-in table", max_length=40)
    wear_in_steps = models.JSONField()
    """The table as it was given, for the tables of the workshop may change."""
    cautions_explained = models.BooleanField(default=False)
    red_flags_asked = models.BooleanField(default=False)
    hands_can_close_it = models.BooleanField("the client, or a named helper, closes the shoes alone", default=False)
    both_shoes_lifted = models.BooleanField("the client lifted both shoes", default=False)
    collected_by = models.CharField(max_length=120)
    review_due_on = models.DateField()
    note = models.TextField(blank=True)
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    append_only = True

    class Meta:
        ordering = ["at"]
        constraints = [
            models.CheckConstraint(condition=Q(collected_by__length__gt=0), name="a_hand_over_says_to_whom"),
            models.CheckConstraint(
                condition=Q(cautions_explained=True, red_flags_asked=True), name="a_hand_over_explains_the_cautions"
            ),
        ]
        triggers = [
            never_changes("hand_over_is_final", sentence="A hand-over stays on record as it was."),
            visit_is_of_the_same_client(),
        ]

    def __str__(self) -> str:
        return f"hand-over of {self.pair}"


class Worn(models.TextChoices):
    ALL_DAY = "all day", "all day"
    PART_OF_DAY = "part of the day", "part of the day"
    SOMETIMES = "sometimes", "some days only"
    NOT_AT_ALL = "not at all", "not at all"


@keeps_history()
class Review(models.Model):
    """How the pair is worn and what was found. Written once."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    visit = models.OneToOneField(Visit, on_delete=models.PROTECT, related_name="+")
    pair = models.ForeignKey(Pair, on_delete=models.PROTECT, related_name="reviews")
    worn = models.CharField(max_length=16, choices=Worn.choices)
    hours_a_day = models.DecimalField(max_digits=3, decimal_places=1, null=True, blank=True)
    why_not_worn = models.CharField(max_length=200, blank=True)
    walking_before = models.CharField("how far they could walk before", max_length=120, blank=True)
    walking_now = models.CharField("how far they can walk now", max_length=120, blank=True)
    pain_before = models.PositiveSmallIntegerField("pain before, 0 to 10", null=True, blank=True)
    pain_now = models.PositiveSmallIntegerField("pain now, 0 to 10", null=True, blank=True)
    plan = models.TextField()
    next_review_on = models.DateField(null=True, blank=True)
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    append_only = True

    class Meta:
        ordering = ["at"]
        constraints = [
            models.CheckConstraint(condition=Q(worn__in=Worn.values), name="wear_is_known"),
            models.CheckConstraint(
                condition=~Q(worn="not at all") | Q(why_not_worn__length__gt=0), name="not_worn_says_why"
            ),
            models.CheckConstraint(
                condition=(Q(pain_before__isnull=True) | Q(pain_before__lte=10))
                & (Q(pain_now__isnull=True) | Q(pain_now__lte=10)),
                name="pain_is_0_to_10",
            ),
            models.CheckConstraint(
                condition=Q(hours_a_day__isnull=True) | Q(hours_a_day__gte=0, hours_a_day__lte=24),
                name="a_day_has_24_hours",
            ),
            models.CheckConstraint(condition=Q(plan__length__gt=0), name="a_review_has_a_plan"),
        ]
        triggers = [
            never_changes("review_is_final", sentence="A review stays on record as it was."),
            visit_is_of_the_same_client(),
        ]

    def __str__(self) -> str:
        return f"review of {self.pair}"


@keeps_history()
class ReviewFoot(models.Model):
    """The skin and the shoe of one foot at a review."""

    review = models.ForeignKey(Review, on_delete=models.PROTECT, related_name="feet")
    side = models.CharField(max_length=5, choices=Side.choices)
    skin = models.CharField(max_length=200)
    shoe = models.CharField(max_length=200, blank=True)

    append_only = True

    class Meta:
        ordering = ["side"]
        constraints = [
            side_check("review_foot_side_is_known"),
            models.CheckConstraint(condition=Q(skin__length__gt=0), name="a_foot_review_says_how_the_skin_is"),
            models.UniqueConstraint(fields=["review", "side"], name="a_foot_is_reviewed_once"),
        ]
        triggers = [never_changes("review_foot_is_final", sentence="A review stays on record as it was.")]

    def __str__(self) -> str:
        return f"{Side(self.side).label}: {self.skin}"
