"""The forms of casts. What a form refuses comes back with what was typed."""

from typing import Any

from django import forms
from django.db.models import QuerySet

from cases.diary.models import Visit
from cases.lasts.forms.fields import VisitChoice, day_field
from shared.sides import SIDES, Side
from workshop.staff.models import Person


class CastForm(forms.Form):
    """The casts of one or both feet, made in one go."""

    sides = forms.MultipleChoiceField(
        label="which foot", choices=Side.choices, widget=forms.CheckboxSelectMultiple, initial=list(SIDES)
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


class DestroyForm(forms.Form):
    """When and why a cast was destroyed."""

    destroyed_on = day_field(label="destroyed on")
    destroyed_why = forms.CharField(label="why", max_length=200)
