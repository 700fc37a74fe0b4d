"""Form fields made from the columns of a part: all may be left empty, each label carries its unit."""

from decimal import Decimal
from functools import cache
from typing import Any

from django import forms
from django.db import models

from cases.prescriptions.forms.blocks import NEEDED, Block
from cases.prescriptions.models import Foot
from cases.prescriptions.parts import MANY, SINGLE

BOUNDS: dict[str, tuple[int | str, int]] = {
    "apex_percent": (31, 89),
    "angle_deg": (1, 44),
    "count": (1, 4),
    "plies": (1, 20),
    "medial_reach_mm": (1, 400),
    "lateral_reach_mm": (1, 400),
}
MOST = 1000
UNITS = {"_mm": "mm", "_deg": "°", "_percent": "%", "_g_m2": "g/m²", "_g": "g"}
CURVED = [("", "—"), ("True", "curved"), ("False", "angled at the apex")]
EMPTY = ("", None, False)


def model_of(part: str) -> type[models.Model]:
    """The table that holds a part."""
    if part == "foot":
        return Foot
    return SINGLE[part] if part in SINGLE else MANY[part].model


def column(part: str, name: str) -> "models.Field[Any, Any]":
    found = model_of(part)._meta.get_field(name)
    assert isinstance(found, models.Field)
    return found


def label_of(field: "models.Field[Any, Any]") -> str:
    """The words given to a column; where it has none of its own, its name with the unit that the name ends on."""
    words = str(field.verbose_name)
    if words != field.name.replace("_", " "):
        return words
    for ending, unit in UNITS.items():
        if field.name.endswith(ending):
            return f"{words.removesuffix(ending.replace('_', ' '))} ({unit})"
    return words


def form_field(part: str, name: str) -> forms.Field:
    """The field for one value of a part. Nothing is required of itself: `NEEDED` is asked once a part is begun."""
    field = column(part, name)
    if name == "curved":
        return forms.ChoiceField(label="form", choices=CURVED, required=False)
    if field.choices:
        choices = [("", "—"), *((value, words) for value, words in field.flatchoices if value)]
        if name == "ankle_high":
            choices = [("", "no"), *(choice for choice in field.flatchoices if choice[0] != "no")]
        return forms.ChoiceField(label=label_of(field), choices=choices, required=False)
    extra: dict[str, Any] = {"required": False, "label": label_of(field)}
    if isinstance(field, models.DecimalField | models.PositiveSmallIntegerField):
        least = "0.1" if name in NEEDED.get(part, ()) else 0
        lowest, highest = BOUNDS.get(name, (least, MOST))
        extra |= {"min_value": Decimal(lowest), "max_value": Decimal(highest)}
    made = field.formfield(**extra)
    assert made is not None
    made.initial = None
    return made


def form_class(block: Block) -> type[forms.Form]:
    """The form of one block for one foot."""
    return _form_class(block.key, block.part, block.fields)


@cache
def _form_class(key: str, part: str, names: tuple[str, ...]) -> type[forms.Form]:
    fields: dict[str, Any] = {name: form_field(part, name) for name in names}
    return type(f"{key.title().replace('-', '')}Form", (forms.Form,), fields)


def shown(value: Any, *, name: str = "") -> Any:
    """A stored value as a form shows it: 180.0 as 180; not ankle-high, which every stiffener is, as nothing chosen."""
    if isinstance(value, bool) and name != "curved":
        return value
    if isinstance(value, Decimal):
        return f"{value.normalize():f}"
    if name == "curved":
        return str(value)
    return "" if value is None or (name == "ankle_high" and value == "no") else value


def kept(part: str, name: str, value: Any) -> Any:
    """A cleaned value as its column keeps it: an empty one as the column's own default where it may not be empty."""
    field = column(part, name)
    if name == "curved":
        return field.get_default() if value == "" else value == "True"
    if value in {None, ""} and not field.null and not field.blank:
        return field.get_default()
    return value
