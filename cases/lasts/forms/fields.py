"""Fields that several forms of this room have."""

from decimal import Decimal
from typing import Any

from django import forms

from cases.diary.models import Visit
from cases.lasts.models import Cast
from shared.sides import Side
from shared.units import LONGEST_TYPED, NotALength, Unit, read_length

LONGEST_TEXT = 4000
"""Characters of a free text: four pages of typing."""


class MillimetreField(forms.DecimalField):
    """A length, kept in mm to the tenth; more than `above` and less than `below`.

    Typed in mm, with a decimal comma or point, or with its unit in cm or in inches and fractions. `bare` is the unit of
    a figure without one.
    """

    widget = forms.TextInput

    def __init__(self, *, above: Decimal | None = None, below: Decimal | None = None, **kwargs: Any) -> None:
        self.above, self.below, self.bare = above, below, Unit.MM
        super().__init__(max_digits=kwargs.pop("max_digits", 5), decimal_places=1, **kwargs)
        self.widget.attrs |= {
            "inputmode": "decimal",
            "class": "figure",
            "autocomplete": "off",
            "maxlength": str(LONGEST_TYPED),
        }

    def to_python(self, value: Any) -> Any:
        if not isinstance(value, str):
            return super().to_python(value)
        if not value.strip():
            return None
        try:
            return read_length(value, bare=self.bare).mm
        except NotALength as error:
            raise forms.ValidationError(str(error), code="invalid") from error

    def validate(self, value: Any) -> None:
        super().validate(value)
        if value is None:
            return
        if self.above is not None and not value > self.above:
            raise forms.ValidationError(f"Type more than {self.above} mm.")
        if self.below is not None and not value < self.below:
            raise forms.ValidationError(f"Type less than {self.below} mm: is the decimal point in its place?")


def day_field(**kwargs: Any) -> forms.DateField:
    return forms.DateField(widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}), **kwargs)


def text_area(*, rows: int = 2) -> forms.Textarea:
    return forms.Textarea(attrs={"rows": rows, "maxlength": LONGEST_TEXT})


class VisitChoice(forms.ModelChoiceField):  # type: ignore[type-arg]  # has no parameter at run time
    """The visit that something belongs to, by its day."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            queryset=Visit.objects.none(), to_field_name="uuid", required=False, empty_label="no visit", **kwargs
        )

    def label_from_instance(self, obj: Any) -> str:
        return f"{obj.kind.name}, {obj.day:%a} {obj.day.day} {obj.day:%b}"


class CastChoice(forms.ModelChoiceField):  # type: ignore[type-arg]  # has no parameter at run time
    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            queryset=Cast.objects.none(), to_field_name="uuid", required=False, empty_label="no cast", **kwargs
        )

    def label_from_instance(self, obj: Any) -> str:
        return f"{Side(obj.side).label}, {obj.made_on:%a} {obj.made_on.day} {obj.made_on:%b %Y}, at: {obj.place}"
