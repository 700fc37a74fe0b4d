"""What a figure was on a day."""

from collections.abc import Collection
from datetime import date
from decimal import Decimal
from typing import NamedTuple

from django.db import connection
from django.db.models import QuerySet

from workshop.figures.models import Figure, Material, Standing


class FigureKnown(NamedTuple):
    """A figure on a day, in the unit its name or its setting says, and how far it may be trusted."""

    value: Decimal
    standing: str
    source: str

    @property
    def trusted(self) -> str:
        """Its standing in words, with its source where it has one."""
        return str(Standing(self.standing).label) + (f" ({self.source})" if self.source else "")


class MaterialKnown(NamedTuple):
    """The ranges of one material on a day: density in kg/m³, modulus in MPa, None where nobody knows it."""

    name: str
    kind: str
    density_low_kg_m3: Decimal
    density_high_kg_m3: Decimal
    modulus_low_mpa: Decimal | None
    modulus_high_mpa: Decimal | None


class FigureUnknown(LookupError):
    """No such figure was set on that day: the starting values were not loaded, or the name is wrong."""


def figure(name: str, *, on: date) -> Decimal:
    """The value that was valid on a day, in the unit its name or its setting says. Raises `FigureUnknown`."""
    return figures([name], on=on)[name]


def figures(names: Collection[str], *, on: date) -> dict[str, Decimal]:
    """The values of several figures on a day, in one query. Raises `FigureUnknown` naming what is missing."""
    return {name: known.value for name, known in figures_known(names, on=on).items()}


def figures_known(names: Collection[str], *, on: date) -> dict[str, FigureKnown]:
    """Several figures on a day with how far they may be trusted, in one query. Raises `FigureUnknown`."""
    rows = figures_valid(on=on).filter(name__in=names)
    found = {row.name: FigureKnown(row.value, row.standing, row.source) for row in rows}
    if missing := sorted(set(names) - found.keys()):
        raise FigureUnknown(f"not set on {on}: {', '.join(missing)}")
    return found


def is_switched_on(name: str, *, on: date) -> bool:
    """Whether a setting that knows only yes and no was yes on a day. Raises `FigureUnknown`."""
    return figure(name, on=on) != 0


def figures_valid(*, on: date) -> QuerySet[Figure]:
    """The one row of each figure that was valid on a day."""
    return Figure.objects.filter(valid_from__lte=on).order_by("name", "-valid_from").distinct("name")


def history_of(name: str) -> QuerySet[Figure]:
    """All values a figure ever had or will have, the latest first, with who set them."""
    return Figure.objects.filter(name=name).select_related("changed_by").order_by("-valid_from")


def materials_valid(*, on: date) -> QuerySet[Material]:
    """The one row of each material that was valid on a day, by kind and name."""
    latest = Material.objects.filter(valid_from__lte=on).order_by("name", "-valid_from").distinct("name")
    return Material.objects.filter(pk__in=latest.values("pk")).order_by("kind", "name")


_OF_A_DAY = f"""
SELECT name, '', value, standing, source, NULL, NULL, NULL, NULL
  FROM (SELECT DISTINCT ON (name) * FROM {Figure._meta.db_table}
         WHERE valid_from <= %(on)s AND name = ANY(%(names)s) ORDER BY name, valid_from DESC) figure
UNION ALL
SELECT name, kind, NULL, '', '', density_low_kg_m3, density_high_kg_m3, modulus_low_mpa, modulus_high_mpa
  FROM (SELECT DISTINCT ON (name) * FROM {Material._meta.db_table}
         WHERE valid_from <= %(on)s ORDER BY name, valid_from DESC) material
"""
"""Asked at every change of a draft: written out, since making it anew takes longer than running it."""


def figures_and_materials(names: Collection[str], *, on: date) -> tuple[dict[str, FigureKnown], list[MaterialKnown]]:
    """Several figures and every material of a day, in one query. Raises `FigureUnknown` naming what is missing."""
    with connection.cursor() as cursor:
        cursor.execute(_OF_A_DAY, {"on": on, "names": sorted(names)})
        rows = cursor.fetchall()
    found: dict[str, FigureKnown] = {}
    materials: list[MaterialKnown] = []
    for name, kind, value, standing, source, *ranges in rows:
        if value is None:
            materials.append(MaterialKnown(name, kind, *ranges))
        else:
            found[name] = FigureKnown(value, standing, source)
    if missing := sorted(set(names) - found.keys()):
        raise FigureUnknown(f"not set on {on}: {', '.join(missing)}")
    return found, sorted(materials)


def history_of_material(name: str) -> QuerySet[Material]:
    """Every row a material ever had or will have, the latest first, with who wrote it."""
    return Material.objects.filter(name=name).select_related("changed_by").order_by("-valid_from")
