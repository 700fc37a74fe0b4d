"""The forms of casts. What a form refuses comes back with what was typed."""

from decimal import Decimal
from typing import Any

from django import forms
from django.db.models import QuerySet

from cases.diary.models import Visit
from cases.lasts.forms.fields import MillimetreField, VisitChoice, day_field
from cases.lasts.models import Cast, CastKind, Load
from cases.patients.search import LONGEST_SEARCH
from shared.sides import SIDES, Side
from workshop.staff.models import Person

HIGHER_THAN_ANY_HEEL_MM = Decimal(121)
LABELS_ON_A_SHEET = 24


class CastForm(forms.Form):
    """The casts of one or both feet, made in one go."""

    sides = forms.MultipleChoiceField(
        label="which foot", choices=Side.choices, widget=forms.CheckboxSelectMultiple, initial=list(SIDES)
    )
    kind = forms.ChoiceField(
        label="what it is", choices=CastKind.choices, widget=forms.RadioSelect, initial=CastKind.NEGATIVE
    )
    load = forms.ChoiceField(label="load on the foot", choices=[("", "not said"), *Load.choices], required=False)
    heel_height_mm = MillimetreField(
        label="heel height it was taken at, mm", required=False, above=Decimal(-1), below=HIGHER_THAN_ANY_HEEL_MM
    )
    place = forms.CharField(label="where it is kept", max_length=80)
    condition = forms.CharField(max_length=120, initial="sound")
    made_on = day_field(label="made on")
    made_by = forms.ModelChoiceField(
        label="made by",
        queryset=Person.objects.none(),
        to_field_name="uuid",
        empty_label=None,
        widget=forms.RadioSelect,
    )
    visit = VisitChoice()

    def __init__(self, *args: Any, people: QuerySet[Person], visits: QuerySet[Visit], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["made_by"].queryset = people  # type: ignore[attr-defined]
        self.fields["visit"].queryset = visits  # type: ignore[attr-defined]


class MoveCastForm(forms.Form):
    """Where a cast stands now, and how it is."""

    place = forms.CharField(label="where it is kept", max_length=80)
    condition = forms.CharField(max_length=120)


class DestroyForm(forms.Form):
    """When and why a cast was destroyed."""

    destroyed_on = day_field(label="destroyed on")
    destroyed_why = forms.CharField(label="why", max_length=200)


class CastsForm(forms.Form):
    """What is asked of the register. Whatever cannot be read asks nothing."""

    text = forms.CharField(required=False, max_length=LONGEST_SEARCH)
    side = forms.ChoiceField(required=False, choices=[("", ""), *Side.choices])
    destroyed = forms.BooleanField(required=False)

    @property
    def asked(self) -> dict[str, Any]:
        self.is_valid()
        return {name: self.cleaned_data.get(name) or field.clean("") for name, field in self.fields.items()}


class LabelsForm(forms.Form):
    """The casts whose labels are printed, and the label of the sheet that is the first still free."""

    cast = forms.ModelMultipleChoiceField(
        queryset=Cast.objects.none(),
        to_field_name="uuid",
        error_messages={
            "required": "Tick the casts whose labels are to be printed.",
            "invalid_choice": "One of these casts is not there.",
            "invalid_pk_value": "One of these casts is not there.",
        },
    )
    first = forms.IntegerField(required=False, min_value=1, max_value=LABELS_ON_A_SHEET)

    def __init__(self, *args: Any, casts: QuerySet[Cast], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["cast"].queryset = casts  # type: ignore[attr-defined]
