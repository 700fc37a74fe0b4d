"""The final check's figures: what each finished shoe measured beside what was prescribed of it."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from cases.bench.models.guards import final_figure_comes_before_the_tick
from cases.bench.models.stages import Stage
from shared.guards import never_changes
from shared.history import keeps_history

PERSON = settings.AUTH_USER_MODEL
_WITHIN = (Q(least__isnull=True) | Q(measured__gte=F("least"))) & (Q(most__isnull=True) | Q(measured__lte=F("most")))
_BEYOND = Q(least__isnull=False, measured__lt=F("least")) | Q(most__isnull=False, measured__gt=F("most"))


@keeps_history()
class FinalFigure(models.Model):
    """One line of the sheet on one shoe: it holds by touch, or a figure was measured; what differs has its answer.

    A line that is looked at again has another row; the latest of a shoe's line counts. What was prescribed of it, and
    within what, stands beside it as it was on that day.
    """

    stage = models.ForeignKey(Stage, on_delete=models.PROTECT, related_name="final_figures")
    key = models.SlugField(max_length=40)
    words = models.CharField(max_length=120)
    unit = models.CharField(max_length=10, blank=True)
    prescribed = models.DecimalField(max_digits=7, decimal_places=2, null=True, blank=True)
    least = models.DecimalField(max_digits=7, decimal_places=2, null=True, blank=True)
    most = models.DecimalField(max_digits=7, decimal_places=2, null=True, blank=True)
    measured = models.DecimalField(max_digits=7, decimal_places=2, null=True, blank=True)
    holds = models.BooleanField()
    answer = models.TextField("what is said to it", blank=True)
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    append_only = True

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                condition=Q(holds=True) | Q(answer__length__gt=0), name="what_differs_at_the_end_is_answered"
            ),
            models.CheckConstraint(
                condition=Q(measured__isnull=True) | (Q(holds=True) & _WITHIN) | (Q(holds=False) & _BEYOND),
                name="a_final_figure_holds_within_its_tolerance",
            ),
        ]
        triggers = [
            final_figure_comes_before_the_tick(),
            never_changes(
                "final_figure_is_final", sentence="A figure of the final check is measured again, not changed."
            ),
        ]

    def __str__(self) -> str:
        return f"{self.stage}: {self.words}"
