"""Registering lasts, and looking for them on the rack. What a form refuses comes back with what was typed."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.forms import BoundField

from cases.lasts.actions import LastFoot, SameForBoth
from cases.lasts.forms.fields import LONGEST_TEXT, CastChoice, MillimetreField, day_field, text_area
from cases.lasts.models import MEASURED_MM, Cast, Making, Origin, ReadOn
from cases.lasts.models.lasts import TILTS_DEGREES
from cases.lasts.rack_columns import BY_NAME
from cases.lasts.sizes_asked import NotASize, RangeAsked, read_heel, read_size
from shared.photo_files import PhotoField
from shared.sides import SIDES, Side
from workshop.staff.models import Person


def length_field(label: str, **kwargs: Any) -> MillimetreField:
    return MillimetreField(label=label, min_value=80, max_value=400, **kwargs)


def heel_field() -> MillimetreField:
    return MillimetreField(label="heel height, mm", min_value=0, max_value=120)


def toe_spring_field() -> MillimetreField:
    return MillimetreField(label="toe spring, mm", min_value=0, max_value=60, max_digits=4)


OF_A_FOOT = ("cast", "alteration_note", *MEASURED_MM, *TILTS_DEGREES)
"""What a half of the form asks besides the length."""


class DegreeField(forms.DecimalField):
    """An angle in degrees to the tenth, with a decimal comma or point and any minus."""

    widget = forms.TextInput

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(max_digits=3, decimal_places=1, **kwargs)
        self.widget.attrs |= {"class": "figure", "autocomplete": "off", "maxlength": "7"}

    def to_python(self, value: Any) -> Any:
        return super().to_python(value.replace(",", ".").replace("\u2212", "-") if isinstance(value, str) else value)


@dataclass(frozen=True)
class Half:
    """One foot's half of the form."""

    side: Side
    length: BoundField
    cast: BoundField
    note: BoundField
    girths: Sequence[BoundField]
    tilts: Sequence[BoundField]


def _fields_of_a_foot(side: Side, casts: QuerySet[Cast]) -> dict[str, forms.Field]:
    cast = CastChoice(label=f"{side.label} cast")
    cast.queryset = casts.filter(side=side)
    note = forms.CharField(
        label=f"{side.label} built up or taken down", required=False, max_length=LONGEST_TEXT, widget=text_area()
    )
    return {
        f"{side}_length_mm": length_field(f"{side.label} length, mm", required=False),
        f"{side}_cast": cast,
        f"{side}_alteration_note": note,
        **{f"{side}_{name}": _measured_field(side, name) for name in MEASURED_MM},
        **{f"{side}_{name}": _tilt_field(side, name) for name in TILTS_DEGREES},
    }


def _measured_field(side: Side, name: str) -> MillimetreField:
    column = BY_NAME[name]
    return MillimetreField(
        label=f"{side.label} {column.words}, mm", required=False, min_value=column.least, max_value=column.most
    )


def _tilt_field(side: Side, name: str) -> forms.DecimalField:
    column = BY_NAME[name]
    return DegreeField(
        label=f"{side.label} {column.words}, degrees", required=False, min_value=column.least, max_value=column.most
    )


class LastForm(forms.Form):
    """The lasts of one or both feet under one number. A foot without a length gets no last."""

    number = forms.CharField(required=False, max_length=30, help_text="Empty: the next free number.")
    origin = forms.ChoiceField(label="origin", choices=Origin.choices)
    making = forms.ChoiceField(label="made from", choices=Making.choices)
    heel_height_mm = heel_field()
    toe_spring_mm = toe_spring_field()
    toe_shape = forms.CharField(label="toe shape", required=False, max_length=80)
    marked_size = forms.CharField(
        label="size marked on it", required=False, max_length=20, help_text="As it stands there: EU 42, UK 8."
    )
    marked_read_on = forms.ChoiceField(
        label="the mark was read on", required=False, choices=[("", "not known"), *ReadOn.choices]
    )
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
            self.fields.update(_fields_of_a_foot(side, casts))

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if not self.feet and not any(f"{side}_length_mm" in self.errors for side in SIDES):
            self.add_error(None, "Type the length of at least one last.")
        for side in SIDES:
            more = [name for name in OF_A_FOOT if cleaned.get(f"{side}_{name}") not in {None, ""}]
            if more and cleaned.get(f"{side}_length_mm") is None and f"{side}_length_mm" not in self.errors:
                self.add_error(f"{side}_length_mm", f"Type the length of the {side.label} last, or empty its half.")
        if cleaned.get("marked_size") and not cleaned.get("marked_read_on") and "marked_read_on" not in self.errors:
            self.add_error("marked_read_on", "Say whether the size was read on the last or on the foot.")
        if cleaned.get("marked_read_on") and not cleaned.get("marked_size"):
            cleaned["marked_read_on"] = ""
        return cleaned

    @property
    def halves(self) -> list[Half]:
        """LEFT, then RIGHT: what stands open, and what unfolds."""
        return [
            Half(
                side=side,
                length=self[f"{side}_length_mm"],
                cast=self[f"{side}_cast"],
                note=self[f"{side}_alteration_note"],
                girths=[self[f"{side}_{name}"] for name in MEASURED_MM],
                tilts=[self[f"{side}_{name}"] for name in TILTS_DEGREES],
            )
            for side in SIDES
        ]

    @property
    def unfolds(self) -> bool:
        """Whether girths are typed, or one is wrong: then they do not stay folded."""
        return any(each.value() for half in self.halves for each in half.girths)

    @property
    def feet(self) -> list[LastFoot]:
        """The feet that get a last, after `is_valid`."""
        return [
            LastFoot(
                side=side,
                length_mm=self.cleaned_data[f"{side}_length_mm"],
                cast=self.cleaned_data.get(f"{side}_cast"),
                alteration_note=self.cleaned_data.get(f"{side}_alteration_note", ""),
                measured={
                    name: self.cleaned_data[f"{side}_{name}"]
                    for name in (*MEASURED_MM, *TILTS_DEGREES)
                    if self.cleaned_data.get(f"{side}_{name}") is not None
                },
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


class ConditionForm(forms.Form):
    condition = forms.CharField(label="condition", required=False, max_length=120)
    not_used_because = forms.CharField(label="not to be used, because", required=False, max_length=120)


class RackForm(forms.Form):
    """What a person looks for on the rack. What cannot be read is left out rather than refused, and said."""

    text = forms.CharField(required=False, max_length=200)
    side = forms.ChoiceField(required=False, choices=[("", "both"), *Side.choices])
    size = forms.CharField(required=False, max_length=40)
    heel = forms.CharField(required=False, max_length=40)
    taken_in = forms.IntegerField(required=False, min_value=1, max_value=1_000_000)

    def clean_size(self) -> RangeAsked | None:
        return self._range("size", read_size)

    def clean_heel(self) -> RangeAsked | None:
        return self._range("heel", read_heel)

    def _range(self, name: str, read: Callable[[str], RangeAsked]) -> RangeAsked | None:
        typed = self.cleaned_data[name]
        try:
            return read(typed) if typed else None
        except NotASize as error:
            raise forms.ValidationError(str(error)) from error

    @property
    def asked(self) -> dict[str, Any]:
        """What to look for, each empty or None where nothing sensible was asked."""
        self.full_clean()
        empty: dict[str, Any] = {"text": "", "side": "", "size": None, "heel": None}
        return {name: self.cleaned_data.get(name, nothing) for name, nothing in empty.items()}

    @property
    def cannot(self) -> list[str]:
        """Why something that was typed was left out, after `asked`."""
        return [str(error) for name in ("size", "heel") for error in self.errors.get(name, [])]


class PhotoForm(forms.Form):
    """A photo of a last."""

    photo = PhotoField(label="photo")
    words = forms.CharField(label="what it shows", required=False, max_length=120)


def first_of_a_last(*, today: date, toe_spring_mm: Decimal, person: Person) -> dict[str, Any]:
    """What the form of a new last begins with."""
    return {"made_on": today, "toe_spring_mm": f"{toe_spring_mm.normalize():f}", "made_by": person.uuid}
