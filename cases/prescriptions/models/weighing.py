"""What finished shoes weighed on this workshop's own scale, beside what was estimated of them."""

from django.conf import settings
from django.db import models
from django.db.models import Q

from shared.guards import never_changes
from shared.history import keeps_history
from shared.side_checks import side_check
from shared.sides import Side

PERSON = settings.AUTH_USER_MODEL


@keeps_history()
class WeighedShoe(models.Model):
    """One finished shoe. `estimated_g` is the sum of its parts by the figures of the day its prescription was signed.

    It stands beside no prescription's tree, which is frozen by then: version and pair are named by their uuid. A shoe
    that is weighed again has another row; the latest of a pair's side counts.
    """

    prescription_uuid = models.UUIDField()
    pair_uuid = models.UUIDField()
    side = models.CharField(max_length=5, choices=Side.choices)
    weighed_g = models.PositiveSmallIntegerField("weighed (g)")
    estimated_g = models.DecimalField("estimated (g)", max_digits=6, decimal_places=1)
    by = models.ForeignKey(PERSON, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    append_only = True

    class Meta:
        ordering = ["-pk"]
        constraints = [
            side_check("weighed_shoe_side_is_known"),
            models.CheckConstraint(condition=Q(weighed_g__gte=50, weighed_g__lte=5000), name="weight_is_plausible"),
            models.CheckConstraint(condition=Q(estimated_g__gt=0), name="weight_was_estimated"),
        ]
        triggers = [never_changes("weighed_shoe_is_final", sentence="A shoe is weighed again by a new entry.")]

    def __str__(self) -> str:
        return f"{self.side} {self.weighed_g} g"
