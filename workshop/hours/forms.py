from datetime import date

from django import forms
from django.http import QueryDict


def _day() -> forms.DateInput:
    return forms.DateInput(attrs={"type": "date"})


def _clock() -> forms.TimeInput:
    return forms.TimeInput(format="%H:%M", attrs={"type": "time"})


class RoomForm(forms.Form):
    name = forms.CharField(label="name of the room", max_length=80)

    def __init__(self, data: QueryDict | None = None) -> None:
        super().__init__(data, auto_id="room_%s")


class ClosureForm(forms.Form):
    day = forms.DateField(widget=_day())
    name = forms.CharField(label="why", max_length=120)

    def __init__(self, data: QueryDict | None = None, *, today: date) -> None:
        super().__init__(data, auto_id="closure_%s")
        self.fields["day"].widget.attrs["min"] = today.isoformat()


class OpeningHoursForm(forms.Form):
    """One weekday. Both times empty means closed."""

    opens = forms.TimeField(required=False, widget=_clock())
    closes = forms.TimeField(required=False, widget=_clock())
