"""Dated figures of the workshop: allowances, reaches, tolerances, minutes of idleness; and its materials."""

from django.conf import settings
from django.db import models
from django.db.models import F, Q

from shared.guards import never_changes
from shared.history import keeps_history


class Standing(models.TextChoices):
    """How far a figure may be trusted."""

    PUBLISHED = "published", "published"
    COMMON_PRACTICE = "common practice", "common practice, no source"
    FROM_MEMORY = "from memory", "from memory, unchecked"
    SET_HERE = "set here", "set by this workshop"


@keeps_history()
class Figure(models.Model):
    """The value of one setting from a day on. A later row replaces it for later figures only; none is rewritten."""

    name = models.SlugField(max_length=60)
    value = models.DecimalField(max_digits=10, decimal_places=3)
    unit = models.CharField(max_length=20)
    valid_from = models.DateField()
    standing = models.CharField(max_length=20, choices=Standing.choices)
    source = models.CharField(max_length=300, blank=True)
    changed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    append_only = True

    class Meta:
        ordering = ["name", "-valid_from"]
        triggers = [never_changes("figure_is_final", sentence="A figure is changed by a new one from a day on.")]
        constraints = [
            models.UniqueConstraint(fields=["name", "valid_from"], name="one_value_a_day"),
            models.CheckConstraint(
                condition=~Q(standing="published") | Q(source__length__gt=0), name="published_names_its_source"
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name} {self.shown} {self.unit}"

    @property
    def shown(self) -> str:
        """The value without idle noughts: 0.9, 50."""
        return f"{self.value.normalize():f}"


@keeps_history()
class Material(models.Model):
    """A material with the range of its density, from a day on."""

    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=40)
    density_low_kg_m3 = models.DecimalField(max_digits=7, decimal_places=1)
    density_high_kg_m3 = models.DecimalField(max_digits=7, decimal_places=1)
    valid_from = models.DateField()
    standing = models.CharField(max_length=20, choices=Standing.choices, default=Standing.FROM_MEMORY)
    source = models.CharField(max_length=300, blank=True)

    append_only = True

    class Meta:
        triggers = [never_changes("material_is_final", sentence="A material is changed by a new range from a day on.")]
        ordering = ["kind", "name", "-valid_from"]
        constraints = [
            models.UniqueConstraint(fields=["name", "valid_from"], name="one_density_a_day"),
            models.CheckConstraint(
                condition=Q(density_low_kg_m3__gt=0) & Q(density_low_kg_m3__lte=F("density_high_kg_m3")),
                name="density_is_a_range",
            ),
        ]

    def __str__(self) -> str:
        return self.name
