"""The figures and materials that a workshop begins with."""

from datetime import date, datetime

from shared.history import Program, acting
from workshop.figures.materials_table import MATERIALS
from workshop.figures.models import Figure, Material
from workshop.figures.settings_table import SETTINGS

SINCE_EVER = date(2000, 1, 1)
"""Starting values hold for every day before the first change, also for pairs that were begun on paper."""


def load(*, at: datetime) -> None:
    """Add the figures and materials that are not there yet. Changes none that is."""
    known = set(Figure.objects.values_list("name", flat=True))
    known_materials = set(Material.objects.values_list("name", flat=True))
    figures = [
        Figure(
            name=setting.name,
            value=setting.value,
            unit=setting.unit,
            valid_from=SINCE_EVER,
            standing=setting.standing,
            source=setting.source,
        )
        for setting in SETTINGS.values()
        if setting.name not in known
    ]
    materials = [
        Material(
            name=material.name,
            kind=material.kind,
            density_low_kg_m3=material.low,
            density_high_kg_m3=material.high,
            modulus_low_mpa=material.modulus_low,
            modulus_high_mpa=material.modulus_high,
            valid_from=SINCE_EVER,
            standing=material.standing,
            source=material.source,
        )
        for material in MATERIALS
        if material.name not in known_materials
    ]
    if not figures and not materials:
        return
    with acting(by=Program(), action="load_figures", says="Loaded the starting figures and materials.", at=at):
        Figure.objects.bulk_create(figures)
        Material.objects.bulk_create(materials)
