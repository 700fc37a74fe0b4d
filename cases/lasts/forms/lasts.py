"""The forms of one last. What a form refuses comes back with what was typed."""

from typing import Any

from django import forms

from cases.lasts.forms.fields import LONGEST_TEXT, text_area
from cases.lasts.forms.rack import heel_field, length_field, toe_spring_field
from cases.lasts.models import Last


class AlterForm(forms.Form):
    """A last after it was built up or taken down."""

    alteration_note = forms.CharField(
        label="everything built up or taken down on it now, and where",
        max_length=LONGEST_TEXT,
        widget=text_area(rows=4),
    )
    length_mm = length_field("length, mm")
    heel_height_mm = heel_field()
    toe_spring_mm = toe_spring_field()
    toe_shape = forms.CharField(label="toe shape", required=False, max_length=80)

    @classmethod
    def as_it_is(cls, last: Last) -> dict[str, Any]:
        """What the form begins with."""
        names = ("alteration_note", "length_mm", "heel_height_mm", "toe_spring_mm", "toe_shape")
        return {name: getattr(last, name) for name in names}
