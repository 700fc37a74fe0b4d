"""Rows of the form of a sitting that most sittings leave empty: legs, bulges, and what was taken differently."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from datetime import datetime
from decimal import Decimal
from typing import Any

from django import forms
from django.forms import BoundField

from cases.lasts.actions import BulgeValue, LegValue
from cases.lasts.forms.fields import MillimetreField, PersonChoice
from cases.lasts.measures import MEASURES
from cases.lasts.models import Load, Method
from shared.sides import SIDES, Edge, Side
from workshop.staff.models import Person

LEG_ROWS = 3
BULGE_ROWS = 3
DIFFERING_ROWS = 3
"""Rows of each kind, for legs and bulges on each foot. Who needs more, keys in a second sitting."""

LEG = ("words", "height_mm", "girth_mm")
BULGE = ("words", "edge", "from_heel_mm", "extent_mm", "beyond_mm")
DIFFERING = ("measure", "method", "load", "heel_height_mm", "time", "who")

HIGHEST_ON_A_LEG_MM = Decimal(900)
MOST_GIRTH_MM = Decimal(1500)

Entries = Mapping[str, Any]
Complain = Callable[[str, str], None]
"""Says what is wrong with the field of this name."""


def leg_name(side: str, row: int, part: str) -> str:
    return f"{side}-leg-{row}-{part}"


def bulge_name(side: str, row: int, part: str) -> str:
    return f"{side}-bulge-{row}-{part}"


def differing_name(row: int, part: str) -> str:
    return f"differs-{row}-{part}"


def row_fields(people: Sequence[Person]) -> dict[str, forms.Field]:
    """Every field of every row by its name; `people` may have held the tape."""
    fields: dict[str, forms.Field] = {}
    for side in SIDES:
        for row in range(1, LEG_ROWS + 1):
            made = _leg_fields(side, row)
            fields |= {leg_name(side, row, part): made[part] for part in LEG}
        for row in range(1, BULGE_ROWS + 1):
            made = _bulge_fields(side, row)
            fields |= {bulge_name(side, row, part): made[part] for part in BULGE}
    for row in range(1, DIFFERING_ROWS + 1):
        made = _differing_fields(row, people)
        fields |= {differing_name(row, part): made[part] for part in DIFFERING}
    for field in fields.values():
        if isinstance(field, MillimetreField):
            # No part of the round of about forty figures.
            field.widget.attrs["class"] = "figure besides"
    return fields


def _leg_fields(side: Side, row: int) -> dict[str, forms.Field]:
    of = f"{side.label} leg {row}"
    return {
        "words": forms.CharField(label=f"{of}, where", required=False, max_length=60),
        "height_mm": MillimetreField(
            label=f"{of}, height above the floor", required=False, above=Decimal(0), below=HIGHEST_ON_A_LEG_MM
        ),
        "girth_mm": MillimetreField(label=f"{of}, girth", required=False, above=Decimal(0), below=MOST_GIRTH_MM),
    }


def _bulge_fields(side: Side, row: int) -> dict[str, forms.Field]:
    of = f"{side.label} bulge {row}"
    return {
        "words": forms.CharField(label=f"{of}, what it is", required=False, max_length=80),
        "edge": forms.ChoiceField(label=f"{of}, edge", required=False, choices=[("", "edge"), *Edge.choices]),
        "from_heel_mm": MillimetreField(
            label=f"{of}, its middle from the back of the heel", required=False, min_value=0, max_value=400
        ),
        "extent_mm": MillimetreField(label=f"{of}, length along the edge", required=False, min_value=5, max_value=250),
        "beyond_mm": MillimetreField(
            label=f"{of}, stands out by", required=False, above=Decimal(0), max_value=60, max_digits=4
        ),
    }


def _differing_fields(row: int, people: Sequence[Person]) -> dict[str, forms.Field]:
    of = f"taken differently {row}"
    both = [(f"{side}-{kind.key}", f"{side.label} {kind.label}") for side in SIDES for kind in MEASURES]
    return {
        "measure": forms.ChoiceField(label=f"{of}, which", required=False, choices=[("", "none"), *both]),
        "method": forms.ChoiceField(label=f"{of}, method", required=False, choices=[("", "as above"), *Method.choices]),
        "load": forms.ChoiceField(label=f"{of}, load", required=False, choices=[("", "as above"), *Load.choices]),
        "heel_height_mm": MillimetreField(label=f"{of}, heel height", required=False, min_value=0, max_value=120),
        "time": forms.TimeField(
            label=f"{of}, at", required=False, widget=forms.TimeInput(format="%H:%M", attrs={"type": "time"})
        ),
        "who": PersonChoice(label=f"{of}, who", people=people, nobody="as above"),
    }


# Reading them ------------------------------------------------------------------------------------------------


def _filled(entries: Entries, names: Mapping[str, str]) -> dict[str, Any]:
    """What was typed of one row, by its parts."""
    found = {part: entries.get(name) for part, name in names.items()}
    return {part: value for part, value in found.items() if value not in (None, "")}


def _is_whole(row: Mapping[str, Any], names: Mapping[str, str], needed: Mapping[str, str], complain: Complain) -> bool:
    """Whether all that the row needs is there; says at each gap what is missing."""
    missing = [part for part in needed if part not in row]
    for part in missing:
        complain(names[part], needed[part])
    return not missing


def legs_of(entries: Entries, complain: Complain) -> list[LegValue]:
    """The girths of the legs that were typed; a row that is half typed is complained about."""
    found: list[LegValue] = []
    for side in SIDES:
        for row in range(1, LEG_ROWS + 1):
            names = {part: leg_name(side, row, part) for part in LEG}
            typed = _filled(entries, names)
            needed = {"height_mm": "At what height above the floor?", "girth_mm": "Type the girth at this height."}
            if not typed or not _is_whole(typed, names, needed, complain):
                continue
            leg = LegValue(side=side, **typed)
            if any((each.side, each.height_mm) == (leg.side, leg.height_mm) for each in found):
                complain(names["height_mm"], "A leg is measured once at each height.")
            else:
                found.append(leg)
    return found


def bulges_of(entries: Entries, complain: Complain) -> list[BulgeValue]:
    """The bulges that were typed; a row that is half typed is complained about."""
    found: list[BulgeValue] = []
    for side in SIDES:
        for row in range(1, BULGE_ROWS + 1):
            names = {part: bulge_name(side, row, part) for part in BULGE}
            typed = _filled(entries, names)
            needed = {
                "edge": "Medial or lateral?",
                "from_heel_mm": "How far is its middle from the back of the heel?",
                "extent_mm": "How long is it along the edge?",
                "beyond_mm": "How far does it stand out?",
            }
            if not typed or not _is_whole(typed, names, needed, complain):
                continue
            bulge = BulgeValue(side=side, **typed)
            place = (bulge.side, bulge.edge, bulge.from_heel_mm)
            if any((each.side, each.edge, each.from_heel_mm) == place for each in found):
                complain(names["from_heel_mm"], "A bulge is kept once at each place.")
            else:
                found.append(bulge)
    return found


def differing_of(
    entries: Entries, complain: Complain, *, taken: set[str], moment: Callable[[Any], datetime | None]
) -> dict[str, dict[str, Any]]:
    """What differs from the sitting, by `side-key` of the measure; `taken` holds those that were measured.

    `moment` turns a time of the sitting's day into an instant, and is None where the day is not known.
    """
    found: dict[str, dict[str, Any]] = {}
    for row in range(1, DIFFERING_ROWS + 1):
        names = {part: differing_name(row, part) for part in DIFFERING}
        typed = _filled(entries, names)
        if not typed or not _is_whole(typed, names, {"measure": "Which measure?"}, complain):
            continue
        measure = typed.pop("measure")
        if measure in found:
            complain(names["measure"], "This measure stands in two rows.")
        elif measure not in taken:
            complain(names["measure"], "Nothing was typed for this measure.")
        elif not typed:
            complain(names["method"], "Say what was different, or choose no measure.")
        else:
            found[measure] = dict(_renamed(typed, moment))
    return found


def _renamed(typed: Mapping[str, Any], moment: Callable[[Any], datetime | None]) -> Iterator[tuple[str, Any]]:
    """The parts by the names that a measure has for them."""
    for part, value in typed.items():
        if part == "time":
            yield "taken_at", moment(value)
        elif part == "who":
            yield "taken_by", value
        else:
            yield part, value


def bound_rows(
    form: forms.Form, name: Callable[[int, str], str], parts: tuple[str, ...], rows: int
) -> list[dict[str, BoundField]]:
    """The fields of several rows as a template shows them, each by its part."""
    return [{part: form[name(row, part)] for part in parts} for row in range(1, rows + 1)]
