"""Changing a figure of the workshop: from a day on, never backwards."""

from datetime import date, datetime
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from shared.history import acting
from shared.refusals import Refused
from workshop.figures.models import Figure, Standing
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
