"""What a prescriber answered to the notes, and which notes this workshop does not ask."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from cases.prescriptions.models.guards import part_is_frozen
from cases.prescriptions.models.prescription import Prescription
from shared.guards import never_changes
from shared.history import keeps_history
from shared.side_checks import side_check
from shared.sides import Side

PERSON = settings.AUTH_USER_MODEL


@keeps_history()
class NoteAnswer(models.Model):
    """Why something stays as it is although a note asks. What was changed instead asks no more.

    `rule` is a key of `notes.RULES`; `sentence` is the question as it stood, so that another question is asked anew.
    `answered_before` says that the answer came with an earlier version, or the last pair.
    """

    prescription = models.ForeignKey(Prescription, on_delete=models.CASCADE, related_name="note_answers")
    rule = models.SlugField(max_length=40)
    side = models.CharField(max_length=5, choices=Side.choices)
    sentence = models.TextField()
    because = models.CharField("kept because", max_length=300)
    answered_before = models.BooleanField(default=False)
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["pk"]
        constraints = [
            side_check("note_answer_side_is_known"),
            models.UniqueConstraint(
                fields=["prescription", "rule", "side", "sentence"], name="a_note_is_answered_once"
            ),
            models.CheckConstraint(condition=Q(because__regex=r"\S"), name="a_note_is_kept_for_a_reason"),
        ]
        triggers = [part_is_frozen("{part}.prescription_id")]

    def __str__(self) -> str:
        return f"{self.rule} {self.side}: {self.because}"


@keeps_history()
class NoteSwitch(models.Model):
    """A workshop switches a note off, or on again: by whom and why. The latest of each note counts."""

    rule = models.SlugField(max_length=40)
    is_off = models.BooleanField()
    reason = models.CharField(max_length=300)
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    append_only = True

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(condition=Q(reason__regex=r"\S"), name="a_note_is_switched_for_a_reason"),
        ]
        triggers = [never_changes("note_switch_is_final", sentence="A note is switched again by a new entry.")]

    def __str__(self) -> str:
        return f"{self.rule} {'off' if self.is_off else 'on'}"
