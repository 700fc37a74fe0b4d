"""Fields for millimetres as people type them."""

from decimal import Decimal
from typing import Any

from django import forms


class MillimetreField(forms.DecimalField):
    """A figure in mm to the tenth, with a decimal comma or point; more than `above` and less than `below`."""

    widget = forms.TextInput
    default_error_messages = {"invalid": "Type a figure in mm: 273 or 273.5."}

    def __init__(self, *, above: Decimal | None = None, below: Decimal | None = None, **kwargs: Any) -> None:
        self.above, self.below = above, below
        super().__init__(max_digits=kwargs.pop("max_digits", 5), decimal_places=1, **kwargs)
        self.widget.attrs |= {"inputmode": "decimal", "class": "figure", "autocomplete": "off", "maxlength": "7"}

    def to_python(self, value: Any) -> Any:
        if isinstance(value, str):
            value = value.strip().removesuffix("mm").rstrip().replace(",", ".")
        return super().to_python(value)

    def validate(self, value: Any) -> None:
        super().validate(value)
        if value is None:
            return
        if self.above is not None and not value > self.above:
            raise forms.ValidationError(f"Type more than {self.above} mm.")
        if self.below is not None and not value < self.below:
            raise forms.ValidationError(f"Type less than {self.below} mm: is the decimal point in its place?")
