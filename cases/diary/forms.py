"""What a person types to book a visit."""

from datetime import datetime
from typing import Any

from django import forms

from cases.diary import queries
from cases.diary.actions import LONGEST_VISIT_MINUTES
from cases.diary.clock import NoSuchTime, happens_twice, instant
from cases.diary.free_times import Spell
from cases.diary.models import VisitKind
from workshop.hours.models import Room
from workshop.staff.models import Person


class KindChoice(forms.ModelChoiceField):  # type: ignore[type-arg]  # not generic while running
    def label_from_instance(self, obj: Any) -> str:
        return f"{obj.name} ({obj.minutes} min)" if obj.takes_a_slot else obj.name


class BookingForm(forms.Form):
    """A visit to be booked. `starts_at` and `minutes` stand after `is_valid` for a kind that takes a slot."""

    kind = KindChoice(label="what for", queryset=VisitKind.objects.none(), to_field_name="key", empty_label=None)
    clinician = forms.ModelChoiceField(
        label="with", queryset=Person.objects.none(), to_field_name="uuid", required=False, empty_label="nobody yet"
    )
    room = forms.ModelChoiceField(
        queryset=Room.objects.none(), to_field_name="uuid", required=False, empty_label="no room kept"
    )
    day = forms.DateField(widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d"))
    time = forms.TimeField(
        required=False, widget=forms.TimeInput(attrs={"type": "time", "step": "300"}, format="%H:%M")
    )
    second_hour = forms.BooleanField(
        label="the second of the two equal hours, after the clocks went back", required=False
    )
    minutes = forms.IntegerField(
        required=False,
        min_value=1,
        max_value=LONGEST_VISIT_MINUTES,
        help_text="Left empty: as long as its kind usually takes.",
    )
    note = forms.CharField(
        required=False,
        max_length=300,
        help_text="What helps on the day: wheelchair, interpreter, carer, transport.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )

    starts_at: datetime | None = None

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["kind"].queryset = VisitKind.objects.all()  # type: ignore[attr-defined]
        self.fields["clinician"].queryset = queries.clinicians()  # type: ignore[attr-defined]
        self.fields["room"].queryset = Room.objects.all()  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        kind, day, at = (cleaned.get(name) for name in ("kind", "day", "time"))
        if kind is None or day is None or "time" in self.errors:
            return cleaned
        if not kind.takes_a_slot:
            return cleaned
        if at is None:
            self.add_error("time", "Give the time at which the visit starts, or take one of the free times.")
            return cleaned
        try:
            self.starts_at = instant(day, at, zone=queries.zone(), fold=int(cleaned.get("second_hour", False)))
        except NoSuchTime as error:
            self.add_error("time", str(error))
        return cleaned

    @property
    def asks_which_hour(self) -> bool:
        """True where the time comes twice on that day, so that the person must see which one is meant."""
        day, at = (self.cleaned_data.get(name) if self.is_bound else None for name in ("day", "time"))
        return bool(day and at and happens_twice(day, at, zone=queries.zone()))

    @property
    def spell(self) -> Spell | None:
        """The time that the visit will take; None for a drop-in."""
        if self.starts_at is None:
            return None
        minutes = self.cleaned_data.get("minutes") or self.cleaned_data["kind"].minutes
        return Spell.of(self.starts_at, minutes)
