from datetime import date
from decimal import Decimal

from django import forms
from django.http import QueryDict

from workshop.figures.setting import Setting


class FigureForm(forms.Form):
    """Another value of one figure, from a day on."""

    value = forms.DecimalField(max_digits=10, decimal_places=3)
    valid_from = forms.DateField(label="from", widget=forms.DateInput(attrs={"type": "date"}))
    source = forms.CharField(
        label="where the value comes from",
        max_length=300,
        required=False,
        help_text="Your own trial, a paper, a supplier's sheet. May be left empty.",
    )

    def __init__(self, setting: Setting, data: QueryDict | None, *, today: date) -> None:
        super().__init__(data, initial={"valid_from": today.isoformat()})
        value = self.fields["value"]
        value.label = f"new value ({setting.unit})"
        value.widget.attrs |= {"min": str(setting.lowest), "max": str(setting.highest), "inputmode": "decimal"}
        self.fields["valid_from"].widget.attrs["min"] = today.isoformat()

    @property
    def new_value(self) -> Decimal:
        """The value of a form that was found valid."""
        value: Decimal = self.cleaned_data["value"]
        return value
