"""Registering lasts, and looking for them on the rack. What a form refuses comes back with what was typed."""

from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.db.models import QuerySet

from cases.lasts.actions import LastFoot, SameForBoth
from cases.lasts.forms.fields import LONGEST_TEXT, CastChoice, MillimetreField, day_field, text_area
from cases.lasts.models import Cast, Making, Origin
from shared.sides import SIDES, Side
from workshop.staff.models import Person


def length_field(label: str, **kwargs: Any) -> MillimetreField:
    return MillimetreField(label=label, min_value=80, max_value=400, **kwargs)


def heel_field() -> MillimetreField:
    return MillimetreField(label="heel height, mm", min_value=0, max_value=120)


def toe_spring_field() -> MillimetreField:
    return MillimetreField(label="toe spring, mm", min_value=0, max_value=60, max_digits=4)


class LastForm(forms.Form):
    """The lasts of one or both feet under one number. A foot without a length gets no last."""

    left_length_mm = length_field("LEFT length, mm", required=False)
    left_cast = CastChoice(label="LEFT cast")
    left_alteration_note = forms.CharField(
        label="LEFT built up or taken down", required=False, max_length=LONGEST_TEXT, widget=text_area()
    )
    right_length_mm = length_field("RIGHT length, mm", required=False)
    right_cast = CastChoice(label="RIGHT cast")
    right_alteration_note = forms.CharField(
        label="RIGHT built up or taken down", required=False, max_length=LONGEST_TEXT, widget=text_area()
    )
    number = forms.CharField(required=False, max_length=30, help_text="Empty: the next free number.")
    origin = forms.ChoiceField(label="origin", choices=Origin.choices)
    making = forms.ChoiceField(label="made from", choices=Making.choices)
    heel_height_mm = heel_field()
    toe_spring_mm = toe_spring_field()
    toe_shape = forms.CharField(label="toe shape", required=False, max_length=80)
    place = forms.CharField(label="where it stands", max_length=80)
    condition = forms.CharField(required=False, max_length=120)
    made_on = day_field(label="made on")
    made_by = forms.ModelChoiceField(
        label="made by", queryset=Person.objects.none(), to_field_name="uuid", required=False, empty_label="elsewhere"
    )

    def __init__(self, *args: Any, people: QuerySet[Person], casts: QuerySet[Cast], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["made_by"].queryset = people  # type: ignore[attr-defined]
        for side in SIDES:
            self.fields[f"{side}_cast"].queryset = casts.filter(side=side)  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if not self.feet and not any(f"{side}_length_mm" in self.errors for side in SIDES):
            self.add_error(None, "Type the length of at least one last.")
        for side in SIDES:
            more = cleaned.get(f"{side}_cast") or cleaned.get(f"{side}_alteration_note")
            if more and cleaned.get(f"{side}_length_mm") is None and f"{side}_length_mm" not in self.errors:
                self.add_error(f"{side}_length_mm", f"Type the length of the {side.label} last, or empty its half.")
        return cleaned

    @property
    def feet(self) -> list[LastFoot]:
        """The feet that get a last, after `is_valid`."""
        return [
            LastFoot(
                side=side,
                length_mm=self.cleaned_data[f"{side}_length_mm"],
                cast=self.cleaned_data.get(f"{side}_cast"),
                alteration_note=self.cleaned_data.get(f"{side}_alteration_note", ""),
            )
            for side in SIDES
            if self.cleaned_data.get(f"{side}_length_mm") is not None
        ]

    @property
    def entered(self) -> dict[str, Any]:
        """What `register_lasts` is told, after `is_valid`."""
        same = {name: self.cleaned_data[name] for name in SameForBoth.__annotations__}
        made_by = self.cleaned_data["made_by"]
        return {
            **same,
            "feet": self.feet,
            "number": self.cleaned_data["number"],
            "made_by": made_by,
            "made_elsewhere": made_by is None,
        }


class MoveForm(forms.Form):
    place = forms.CharField(label="where it stands", max_length=80)


class RackForm(forms.Form):
    """What a person looks for on the rack. What cannot be read is left out rather than refused."""

    text = forms.CharField(required=False, max_length=200)
    side = forms.ChoiceField(required=False, choices=[("", "both"), *Side.choices])

    @property
    def asked(self) -> dict[str, str]:
        """What to look for: text and side, each empty where nothing sensible was asked."""
        self.full_clean()
        return {name: self.cleaned_data.get(name, "") for name in ("text", "side")}


def first_of_a_last(*, today: date, toe_spring_mm: Decimal, person: Person) -> dict[str, Any]:
    """What the form of a new last begins with."""
    return {"made_on": today, "toe_spring_mm": f"{toe_spring_mm.normalize():f}", "made_by": person.uuid}
