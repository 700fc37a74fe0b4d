"""The client's record: who they are, what was found on each foot, what must be asked, and the papers given."""

import uuid

import pgtrigger
from django.conf import settings
from django.db import models
from django.db.models import F, Q

from cases.patients import red_flags
from cases.patients.conditions import CONDITIONS
from shared.checksums import hash_check
from shared.guards import Guard, never_changes, refuse
from shared.history import keeps_history
from shared.sides import Side

PERSON = settings.AUTH_USER_MODEL


class YesNoUnknown(models.TextChoices):
    YES = "yes", "yes"
    NO = "no", "no"
    UNKNOWN = "unknown", "not known"


class HandFunction(models.TextChoices):
    LACES = "laces", "can tie laces"
    STRAP = "strap", "can close a strap"
    NEITHER = "neither", "can close neither"
    UNKNOWN = "unknown", "not yet asked"


@keeps_history()
class Referrer(models.Model):
    """Whoever sends clients and reads the review letter."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    name = models.CharField(max_length=200)
    address = models.TextField(blank=True)

    class Meta:
        ordering = ["name"]

    def __str__(self) -> str:
        return self.name


@keeps_history(unrecorded=["search_text"])
class Patient(models.Model):
    """A client. `search_text` holds everything a person is looked up by, folded to plain lower-case letters."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    record_number = models.CharField(max_length=20, unique=True)
    given_names = models.CharField(max_length=120)
    family_name = models.CharField(max_length=120)
    born_on = models.DateField("date of birth")
    phone = models.CharField(max_length=40, blank=True)
    email = models.EmailField(blank=True)
    address = models.TextField(blank=True)
    communication_needs = models.TextField(blank=True)
    hand_function = models.CharField(max_length=10, choices=HandFunction.choices, default=HandFunction.UNKNOWN)
    hand_note = models.CharField("which hand, or whose hands, close the shoe", max_length=200, blank=True)
    diabetes = models.CharField(max_length=10, choices=YesNoUnknown.choices, default=YesNoUnknown.UNKNOWN)
    screened_elsewhere_by = models.CharField(max_length=200, blank=True)
    referrer = models.ForeignKey(Referrer, on_delete=models.PROTECT, null=True, blank=True, related_name="patients")
    referred_on = models.DateField(null=True, blank=True)
    referral_reason = models.TextField(blank=True)
    treatment_record_consent = models.BooleanField("treatment record", default=False)
    letters_consent = models.BooleanField("letters to the referrer", default=False)
    photos_consent = models.BooleanField("photos", default=False)
    reminders_consent = models.BooleanField("reminders", default=False)
    search_text = models.TextField(editable=False)
    version = models.PositiveIntegerField(default=1, editable=False)

    class Meta:
        ordering = ["family_name", "given_names", "record_number"]
        constraints = [
            models.CheckConstraint(condition=Q(family_name__regex=r"\S"), name="client_has_a_name"),
            models.CheckConstraint(condition=Q(hand_function__in=HandFunction.values), name="hand_function_is_known"),
            models.CheckConstraint(condition=Q(diabetes__in=YesNoUnknown.values), name="diabetes_is_known"),
        ]

    def __str__(self) -> str:
        return self.name

    @property
    def name(self) -> str:
        return f"{self.given_names} {self.family_name}".strip()


class AllergyKind(models.TextChoices):
    MATERIAL = "material", "material"
    ADHESIVE = "adhesive", "adhesive"
    OTHER = "other", "other"


@keeps_history()
class Allergy(models.Model):
    """What must not touch this client's skin."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="allergies")
    kind = models.CharField(max_length=10, choices=AllergyKind.choices)
    substance = models.CharField(max_length=120)
    ended_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["kind", "substance"]
        constraints = [
            models.CheckConstraint(condition=Q(kind__in=AllergyKind.values), name="allergy_kind_is_known"),
            models.CheckConstraint(condition=Q(substance__regex=r"\S"), name="allergy_names_a_substance"),
            models.UniqueConstraint(
                fields=["patient", "kind", "substance"],
                condition=Q(ended_on__isnull=True),
                name="an_allergy_stands_once",
            ),
        ]
        verbose_name_plural = "allergies"

    def __str__(self) -> str:
        return f"{self.get_kind_display()}: {self.substance}"


class Flexibility(models.TextChoices):
    FIXED = "fixed", "fixed (accommodate)"
    FLEXIBLE = "flexible", "flexible (correct)"
    NOT_APPLICABLE = "", "not applicable"


class Marked(models.TextChoices):
    MILD = "mild", "mild"
    MARKED = "marked", "marked"
    SEVERE = "severe", "severe"
    NOT_GRADED = "", "not graded"


@keeps_history()
class Finding(models.Model):
    """Something found on one foot. `condition` is a key of the closed list in `conditions.py`.

    A general finding (falls, a walking aid) has no side.
    """

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="findings")
    side = models.CharField(max_length=5, choices=Side.choices, null=True, blank=True)
    condition = models.CharField(max_length=40)
    place = models.CharField(max_length=80, blank=True)
    flexibility = models.CharField(max_length=10, choices=Flexibility.choices, blank=True)
    marked = models.CharField(max_length=10, choices=Marked.choices, blank=True)
    since = models.CharField(max_length=60, blank=True)
    note = models.TextField(blank=True)
    found_on = models.DateField()
    found_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    ended_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["condition", "side", "place"]
        constraints = [
            models.CheckConstraint(
                condition=Q(side__isnull=True) | Q(side__in=Side.values), name="finding_side_is_known"
            ),
            models.CheckConstraint(
                condition=Q(flexibility__in=Flexibility.values), name="finding_flexibility_is_known"
            ),
            models.CheckConstraint(condition=Q(marked__in=Marked.values), name="finding_grade_is_known"),
            models.UniqueConstraint(
                fields=["patient", "side", "condition", "place"],
                condition=Q(ended_on__isnull=True),
                nulls_distinct=False,
                name="a_finding_stands_once",
            ),
        ]

    def __str__(self) -> str:
        where = f", {self.place}" if self.place else ""
        return f"{self.label}{where} {self.side_word}".strip()

    @property
    def label(self) -> str:
        """The clinical word. A key of an older list is shown as it stands."""
        return CONDITIONS[self.condition].label if self.condition in CONDITIONS else self.condition

    @property
    def side_word(self) -> str:
        """LEFT, RIGHT, or nothing for a finding about the person."""
        return Side(self.side).label if self.side else ""


@keeps_history()
class RedFlag(models.Model):
    """A sign that is not a footwear question today. It stays open until somebody says what was done."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="red_flags")
    sign = models.CharField(max_length=40)
    side = models.CharField(max_length=5, choices=Side.choices, null=True, blank=True)
    raised_at = models.DateTimeField()
    raised_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    what_was_done = models.TextField(blank=True)
    referred_to = models.CharField(max_length=200, blank=True)
    answered_at = models.DateTimeField(null=True, blank=True)
    answered_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, null=True, related_name="+")

    class Meta:
        ordering = ["raised_at"]
        constraints = [
            models.CheckConstraint(
                condition=Q(side__isnull=True) | Q(side__in=Side.values), name="red_flag_side_is_known"
            ),
            models.UniqueConstraint(
                fields=["patient", "sign", "side"],
                condition=Q(answered_at__isnull=True),
                nulls_distinct=False,
                name="a_red_flag_stands_once",
            ),
            models.CheckConstraint(
                condition=Q(answered_at__isnull=True, answered_by__isnull=True)
                | Q(
                    answered_at__isnull=False,
                    answered_by__isnull=False,
                    what_was_done__regex=r"\S",
                    referred_to__regex=r"\S",
                ),
                name="a_red_flag_is_answered_in_full",
            ),
        ]
        triggers = [
            Guard(
                name="red_flag_answer_is_kept",
                when=pgtrigger.Before,
                operation=pgtrigger.Update | pgtrigger.Delete,
                func="IF TG_OP = 'DELETE' OR OLD.answered_at IS NOT NULL THEN "
                + refuse("red_flag_answer_is_kept", "A red flag and its answer stay on record.")
                + " END IF; RETURN NEW;",
            ),
        ]

    def __str__(self) -> str:
        return f"{red_flags.words(self.sign)} {self.side_word}".strip()

    @property
    def words(self) -> str:
        """What the sign is."""
        return red_flags.words(self.sign)

    @property
    def side_word(self) -> str:
        """LEFT, RIGHT, or nothing for a sign of the whole person."""
        return Side(self.side).label if self.side else ""


@keeps_history()
class RecordAccess(models.Model):
    """Someone outside the case opened a client's record, and said why. Never changed."""

    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="accesses")
    person = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    reason = models.TextField()
    opened_at = models.DateTimeField()
    closes_at = models.DateTimeField()

    append_only = True

    class Meta:
        ordering = ["-opened_at"]
        indexes = [models.Index(fields=["person", "patient", "closes_at"], name="record_accesses_of_a_person")]
        constraints = [
            models.CheckConstraint(
                condition=Q(reason__regex=r"\S.*\S.*\S"), name="access_outside_the_case_has_a_reason"
            ),
            models.CheckConstraint(condition=Q(closes_at__gt=F("opened_at")), name="access_ends"),
        ]
        triggers = [never_changes("access_is_final", sentence="Who opened a record stays on record.")]

    def __str__(self) -> str:
        return f"{self.person} {self.opened_at:%Y-%m-%d}"


class PaperKind(models.TextChoices):
    JOB_CARD = "job card", "job card"
    REVIEW_LETTER = "review letter", "review letter"
    LAST_SHEET = "last sheet", "last maker's sheet"
    PATTERNS_A4 = "patterns A4", "pattern sheets, A4"
    PATTERNS_A3 = "patterns A3", "pattern sheets, A3"


@keeps_history(unrecorded=["pdf"])
class Paper(models.Model):
    """A printed paper exactly as it was given: rendered once, kept with its hash, never rendered again."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    patient = models.ForeignKey(Patient, on_delete=models.PROTECT, related_name="papers")
    kind = models.CharField(max_length=20, choices=PaperKind.choices)
    title = models.CharField(max_length=200)
    about_uuid = models.UUIDField(null=True)
    """What a later room says the paper is about: a pair, a review."""
    template_version = models.CharField(max_length=64)
    pdf = models.BinaryField()
    sha256 = models.CharField(max_length=64)
    rendered_at = models.DateTimeField()
    rendered_by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    replaces = models.OneToOneField("self", on_delete=models.PROTECT, null=True, related_name="replaced_by")

    append_only = True

    class Meta:
        ordering = ["-rendered_at"]
        indexes = [models.Index(fields=["about_uuid"], name="papers_about")]
        constraints = [
            models.CheckConstraint(condition=Q(kind__in=PaperKind.values), name="paper_kind_is_known"),
            hash_check("paper_matches_its_hash", of="pdf"),
        ]
        triggers = [never_changes("paper_is_final", sentence="A paper that was given out is not changed.")]

    def __str__(self) -> str:
        return self.title
