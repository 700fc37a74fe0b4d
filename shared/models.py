"""Deeds, history and submissions: what every room leaves behind and none may rewrite."""

import uuid

import pgtrigger
from django.conf import settings
from django.db import models
from django.db.models.functions import Length

from shared.guards import Guard, never_changes

models.CharField.register_lookup(Length)
models.TextField.register_lookup(Length)


class Deed(models.Model):
    """One thing a person did: who, what, why and when. Every change of a row belongs to one.

    The rooms are not known here, so what a deed is about is kept as plain identifiers.
    """

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    who_uuid = models.UUIDField()
    who_name = models.CharField(max_length=200)
    action = models.CharField(max_length=60)
    says = models.TextField()
    reason = models.TextField()
    reason_typed = models.BooleanField()
    done_at = models.DateTimeField()
    entered_at = models.DateTimeField(null=True, editable=False)
    transaction_id = models.BigIntegerField(null=True, editable=False)
    patient_uuid = models.UUIDField(null=True)
    pair_uuid = models.UUIDField(null=True)

    append_only = True

    class Meta:
        indexes = [
            models.Index(fields=["pair_uuid", "done_at"], name="deed_of_a_pair"),
            models.Index(fields=["patient_uuid", "done_at"], name="deed_of_a_patient"),
        ]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(
                    who_name__length__gt=0, action__length__gt=0, says__length__gt=0, reason__length__gt=0
                ),
                name="deed_says_who_what_why",
            ),
        ]
        triggers = [
            Guard(
                name="deed_is_stamped",
                when=pgtrigger.Before,
                operation=pgtrigger.Insert,
                func="""
                    NEW.entered_at := clock_timestamp();
                    NEW.transaction_id := pg_current_xact_id()::text::bigint;
                    RETURN NEW;
                """,
            ),
            never_changes("deed_is_final", sentence="What was done stays on record."),
        ]

    def __str__(self) -> str:
        return f"{self.who_name}: {self.says}"


class HistoryEntry(models.Model):
    """One change of one row, written by the database itself in the transaction that made the change."""

    deed = models.ForeignKey(Deed, on_delete=models.PROTECT, related_name="entries")
    table_name = models.CharField(max_length=63)
    row_id = models.BigIntegerField()
    operation = models.CharField(max_length=6)
    before = models.JSONField(null=True)
    after = models.JSONField(null=True)

    written_by_triggers_alone = True

    class Meta:
        indexes = [models.Index(fields=["table_name", "row_id"], name="history_of_a_row")]
        triggers = [never_changes("history_is_final", sentence="History is not rewritten.")]

    def __str__(self) -> str:
        return f"{self.operation} {self.table_name} {self.row_id}"


class Submission(models.Model):
    """A form that was sent once. Sent again, it gives the first answer: status and address, no body."""

    key = models.UUIDField(primary_key=True)
    user = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    path = models.CharField(max_length=300)
    body_hash = models.CharField(max_length=64)
    status = models.PositiveSmallIntegerField(null=True)
    location = models.CharField(max_length=500, blank=True)
    at = models.DateTimeField(auto_now_add=True)

    def __str__(self) -> str:
        return str(self.key)
