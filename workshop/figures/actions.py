"""Changing a figure or a material of the workshop: from a day on, never backwards."""

from collections.abc import Mapping
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.utils import timezone

from shared.history import acting
from shared.refusals import Refused
from workshop.figures.models import Figure, Material, Standing
from workshop.figures.settings_table import GROUP_WORDS, SETTINGS
from workshop.staff.models import Person


@transaction.atomic
def set_figure(name: str, *, value: Decimal, valid_from: date, source: str, by: Person, at: datetime) -> Figure:
    """Give a figure another value from a day on. What was worked out before keeps its value.

    Raises `Refused` for an unknown figure, a value beyond its bounds, a day gone by, or a day that has a value.
    """
    setting = SETTINGS.get(name)
    if setting is None:
        raise Refused("There is no such figure.")
    if not setting.lowest <= value <= (1 if setting.is_switch else setting.highest):
        raise Refused(f"This figure lies between {setting.lowest} and {setting.highest} {setting.unit}.")
    if valid_from < timezone.localdate(at):
        raise Refused("A figure changes from today or a later day: what was worked out before keeps its value.")
    if Figure.objects.filter(name=name, valid_from=valid_from).exists():
        raise Refused("This figure already has a value from that day. Choose a later day.")
    words = f"{GROUP_WORDS[name]}: {setting.words}"
    says = f"Set “{words}” to {value.normalize():f} {setting.unit} from {valid_from:%-d %b %Y}."
    with acting(by=by, action="set_figure", says=says, at=at):
        return Figure.objects.create(
            name=name,
            value=value,
            unit=setting.unit,
            valid_from=valid_from,
            standing=Standing.SET_HERE,
            source=source,
            changed_by=by,
        )


@transaction.atomic
def set_material(name: str, *, fields: Mapping[str, Any], valid_from: date, by: Person, at: datetime) -> Material:
    """Write down a material as it is from a day on: a new one, or what is known of an old one now.

    `fields` are the columns beside name and day. Raises `Refused` for a day gone by, or a day that has a row.
    """
    if valid_from < timezone.localdate(at):
        raise Refused("A material changes from today or a later day: what was worked out before keeps its figures.")
    if Material.objects.filter(name=name, valid_from=valid_from).exists():
        raise Refused("This material was already written down from that day. Choose a later day.")
    is_new = not Material.objects.filter(name=name).exists()
    says = f"{'Added' if is_new else 'Changed'} the material “{name}” from {valid_from:%-d %b %Y}."
    with acting(by=by, action="set_material", says=says, at=at):
        return Material.objects.create(name=name, valid_from=valid_from, changed_by=by, **fields)
