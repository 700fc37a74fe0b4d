"""Fields that several forms of this room have."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms

from cases.diary.models import Visit
from cases.lasts.models import Cast
from shared.sides import Side
from shared.units import LONGEST_TYPED, NotALength, Unit, read_length
from workshop.staff.models import Person

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

    def was_converted(self, typed: str) -> bool:
        """Whether this was typed in another unit than mm. Raises `NotALength`."""
        return read_length(typed, bare=self.bare).was_converted

    def validate(self, value: Any) -> None:
        super().validate(value)
        if value is None:
            return
        if self.above is not None and not value > self.above:
            raise forms.ValidationError(f"Type more than {self.above} mm.")
        if self.below is not None and not value < self.below:
            inches = "a figure without its unit is in inches here."
            point = "is the decimal point in its place?"
            raise forms.ValidationError(
                f"Type less than {self.below} mm: {inches if self.bare is Unit.INCH else point}"
            )


def day_field(**kwargs: Any) -> forms.DateField:
    return forms.DateField(widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}), **kwargs)


def text_area(*, rows: int = 2) -> forms.Textarea:
    return forms.Textarea(attrs={"rows": rows, "maxlength": LONGEST_TEXT})


def visit_in_words(visit: Visit) -> str:
    return f"{visit.kind.name}, {visit.day:%a} {visit.day.day} {visit.day:%b}"


class VisitChoice(forms.ModelChoiceField):  # type: ignore[type-arg]  # has no parameter at run time
    """The visit that something belongs to, by its day."""

    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            queryset=Visit.objects.none(), to_field_name="uuid", required=False, empty_label="no visit", **kwargs
        )

    def label_from_instance(self, obj: Any) -> str:
        return visit_in_words(obj)


class CastChoice(forms.ModelChoiceField):  # type: ignore[type-arg]  # has no parameter at run time
    def __init__(self, **kwargs: Any) -> None:
        super().__init__(
            queryset=Cast.objects.none(), to_field_name="uuid", required=False, empty_label="no cast", **kwargs
        )

    def label_from_instance(self, obj: Any) -> str:
        return f"{Side(obj.side).label}, {obj.made_on:%a} {obj.made_on.day} {obj.made_on:%b %Y}, at: {obj.place}"


class OneOfTheVisits(forms.TypedChoiceField):
    """One of a few visits that were read already; None where none is chosen."""

    def __init__(self, *, visits: Sequence[Visit], **kwargs: Any) -> None:
        by_uuid = {str(visit.uuid): visit for visit in visits}
        choices = [("", "no visit"), *((uuid, visit_in_words(visit)) for uuid, visit in by_uuid.items())]
        super().__init__(choices=choices, coerce=by_uuid.__getitem__, empty_value=None, required=False, **kwargs)


class PersonChoice(forms.TypedChoiceField):
    """One of a few people who were read once, however many fields offer them; None where nobody is chosen."""

    def __init__(self, *, people: Sequence[Person], nobody: str, **kwargs: Any) -> None:
        by_uuid = {str(person.uuid): person for person in people}
        choices = [("", nobody), *((uuid, person.name) for uuid, person in by_uuid.items())]
        super().__init__(choices=choices, coerce=by_uuid.__getitem__, empty_value=None, required=False, **kwargs)
