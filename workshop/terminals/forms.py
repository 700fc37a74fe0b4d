from collections.abc import Iterable

from django import forms
from django.http import QueryDict

from workshop.hours.models import Bench


class TerminalForm(forms.Form):
    name = forms.CharField(max_length=80, help_text="What it says on the device, such as “lasting, by the window”.")

    def __init__(self, data: QueryDict | None, *, benches: Iterable[Bench]) -> None:
        super().__init__(data)
        choices = [("", "no bench in particular"), *((bench.key, bench.name) for bench in benches)]
        self.fields["bench_key"] = forms.ChoiceField(
            label="bench", required=False, choices=choices, help_text="My bench opens with this bench’s work."
        )


class PinForm(forms.Form):
    pin = forms.CharField(
        label="PIN",
        min_length=4,
        max_length=6,
        widget=forms.PasswordInput(
            attrs={"inputmode": "numeric", "autocomplete": "off", "autofocus": True, "pattern": "[0-9]{4,6}"}
        ),
    )
