"""What a person types to book a visit."""

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from django import forms
from django.db.models import Model

from cases.diary import queries
from cases.diary.actions import LONGEST_SAID, LONGEST_VISIT_MINUTES
from cases.diary.clock import NoSuchTime, happens_twice, instant
from cases.diary.free_times import Spell
from cases.diary.models import VisitKind
from cases.diary.queries import Choices
from shared.sides import Side

BOTH_FEET, NOT_SAID = "BOTH FEET", "not said"


class BookingForm(forms.Form):
    """A visit to be booked. `starts_at` and `minutes` stand after `is_valid` for a kind that takes a slot."""

    kind = forms.TypedChoiceField(label="what for")
    clinician = forms.TypedChoiceField(label="with", required=False, empty_value=None)
    room = forms.TypedChoiceField(required=False, empty_value=None)
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

    def __init__(self, *args: Any, choices: Choices, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self._offer(
            "kind",
            {kind.key: kind for kind in choices.kinds},
            [(kind.key, _kind_words(kind)) for kind in choices.kinds],
        )
        self._offer(
            "clinician",
            {str(person.uuid): person for person in choices.clinicians},
            [("", "nobody yet"), *((str(person.uuid), person.name) for person in choices.clinicians)],
        )
        self._offer(
            "room",
            {str(room.uuid): room for room in choices.rooms},
            [("", "no room kept"), *((str(room.uuid), room.name) for room in choices.rooms)],
        )

    def _offer(self, name: str, rows: Mapping[str, Model], words: Sequence[tuple[str, str]]) -> None:
        """Offer rows that are loaded already: a list that asks the database anew is asked again at each turn."""
        field = self.fields[name]
        if not isinstance(field, forms.TypedChoiceField):
            raise TypeError(name)
        field.choices = words
        field.coerce = rows.__getitem__

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


class RingBackForm(forms.Form):
    """What a client said on the telephone that may be a red flag, and of which foot."""

    side = forms.ChoiceField(
        label="Which foot or leg, as the client says",
        choices=[*Side.choices, (BOTH_FEET, "both"), (NOT_SAID, NOT_SAID)],
        widget=forms.RadioSelect,
        error_messages={"required": "Say which foot the client named; “not said” where none was."},
    )
    said = forms.CharField(label="What the client said, in their words", max_length=LONGEST_SAID - len(BOTH_FEET) - 2)

    def in_words(self) -> str:
        """The foot by its word, then what was said."""
        side, said = self.cleaned_data["side"], self.cleaned_data["said"]
        return said if side == NOT_SAID else f"{dict(Side.choices).get(side, BOTH_FEET)}: {said}"


def _kind_words(kind: VisitKind) -> str:
    return f"{kind.name} ({kind.minutes} min)" if kind.takes_a_slot else kind.name
