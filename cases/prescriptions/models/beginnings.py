"""What a draft may begin from, and whose order it was: patterns of the workshop, received orders, who is writing."""

import uuid

from django.conf import settings
from django.db import models
from django.db.models import Q

from cases.prescriptions.models.guards import part_is_frozen
from cases.prescriptions.models.prescription import Construction, Prescription
from shared.checksums import hash_check
from shared.history import keeps_history

PERSON = settings.AUTH_USER_MODEL


@keeps_history()
class StartingPattern(models.Model):
    """A named starting prescription of this workshop: the parts of an ordinary foot, laid on both.

    `parts` holds what `parts.parts_of` gives, each figure as text. No last and no measures: those are a client's.
    """

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    name = models.CharField(max_length=80)
    construction = models.CharField(max_length=16, choices=Construction.choices)
    purpose = models.CharField(max_length=200, blank=True)
    parts = models.JSONField()
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    retired_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["name"]
        constraints = [
            models.UniqueConstraint(
                fields=["name"], condition=Q(retired_on__isnull=True), name="a_pattern_has_a_name_of_its_own"
            ),
            models.CheckConstraint(condition=Q(name__regex=r"\S"), name="a_pattern_has_a_name"),
            models.CheckConstraint(
                condition=Q(construction__in=Construction.values), name="pattern_construction_is_known"
            ),
        ]

    def __str__(self) -> str:
        return self.name


class OrderKind(models.TextChoices):
    LETTER = "letter", "letter"
    CAST = "cast", "cast with an order"
    CALL = "call", "by phone, to be confirmed in writing"


@keeps_history(unrecorded=["file"])
class OrderDocument(models.Model):
    """The paper of an outside prescriber that a version was entered from: kept as the file that came."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    prescription = models.ForeignKey(Prescription, on_delete=models.CASCADE, related_name="order_documents")
    kind = models.CharField(max_length=10, choices=OrderKind.choices)
    title = models.CharField(max_length=120)
    content_type = models.CharField(max_length=40)
    file = models.BinaryField()
    sha256 = models.CharField(max_length=64)
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(kind__in=OrderKind.values), name="order_document_kind_is_known"),
            hash_check("order_document_matches_its_hash", of="file"),
        ]
        triggers = [part_is_frozen("{part}.prescription_id")]

    def __str__(self) -> str:
        return self.title


class DraftPresence(models.Model):
    """Who has a draft open, and when their page last said so. No record: a minute later it is nobody's."""

    prescription_uuid = models.UUIDField()
    person = models.ForeignKey(PERSON, on_delete=models.CASCADE, related_name="+")
    seen_at = models.DateTimeField()

    class Meta:
        constraints = [
            models.UniqueConstraint(fields=["prescription_uuid", "person"], name="a_person_is_in_a_draft_once"),
        ]

    def __str__(self) -> str:
        return f"{self.person} {self.seen_at:%H:%M}"
