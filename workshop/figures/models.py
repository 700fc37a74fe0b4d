"""Dated figures of the workshop: allowances, reaches, tolerances, minutes of idleness; and its materials."""

import uuid

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
    """A material from a day on: how heavy, how stiff, what it costs, whether it is there. A later row replaces it."""

    uuid = models.UUIDField(default=uuid.uuid4, unique=True, editable=False)
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=40)
    density_low_kg_m3 = models.DecimalField("density from (kg/m³)", max_digits=7, decimal_places=1)
    density_high_kg_m3 = models.DecimalField("density to (kg/m³)", max_digits=7, decimal_places=1)
    modulus_low_mpa = models.DecimalField("modulus from (MPa)", max_digits=10, decimal_places=2, null=True, blank=True)
    modulus_high_mpa = models.DecimalField("modulus to (MPa)", max_digits=10, decimal_places=2, null=True, blank=True)
    """In bending along the shoe. Empty where nobody knows it."""
    thickness_mm = models.DecimalField("thickness in stock (mm)", max_digits=5, decimal_places=2, null=True, blank=True)
    price = models.DecimalField(max_digits=9, decimal_places=2, null=True, blank=True)
    price_per = models.CharField("price is for one", max_length=20, blank=True)
    """In words, as the supplier sells it: dm², kg, sheet."""
    in_stock = models.BooleanField("in stock", default=True)
    valid_from = models.DateField()
    standing = models.CharField(max_length=20, choices=Standing.choices, default=Standing.FROM_MEMORY)
    source = models.CharField(max_length=300, blank=True)
    changed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, related_name="+")

    append_only = True

    class Meta:
        triggers = [never_changes("material_is_final", sentence="A material is changed by a new row from a day on.")]
        ordering = ["kind", "name", "-valid_from"]
        constraints = [
            models.UniqueConstraint(fields=["name", "valid_from"], name="one_density_a_day"),
            models.CheckConstraint(
                condition=Q(density_low_kg_m3__gt=0) & Q(density_low_kg_m3__lte=F("density_high_kg_m3")),
                name="density_is_a_range",
            ),
            models.CheckConstraint(
                # A comparison with nothing is not false, so what must be there is said.
                condition=Q(modulus_low_mpa__isnull=True, modulus_high_mpa__isnull=True)
                | Q(
                    modulus_low_mpa__isnull=False,
                    modulus_high_mpa__isnull=False,
                    modulus_low_mpa__gt=0,
                    modulus_high_mpa__gte=F("modulus_low_mpa"),
                ),
                name="modulus_is_a_range",
            ),
            models.CheckConstraint(
                condition=Q(price__isnull=True, price_per="")
                | (Q(price__isnull=False, price__gte=0) & ~Q(price_per="")),
                name="price_says_for_what",
            ),
            models.CheckConstraint(
                condition=~Q(standing="published") | Q(source__length__gt=0),
                name="published_material_names_its_source",
            ),
        ]

    def __str__(self) -> str:
        return self.name
