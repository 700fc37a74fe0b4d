"""The forms of one last: altered, and measured again. What a form refuses comes back with what was typed."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms

from cases.lasts.forms.fields import LONGEST_TEXT, MillimetreField, text_area
from cases.lasts.forms.rack import heel_field, length_field, toe_spring_field
from cases.lasts.models import Last, LastPatch
from cases.lasts.models.lasts import MEASURED_MM, TILTS_DEGREES

TILT_WORDS = {
    "rearfoot_varus_degrees": ("rearfoot tilt, degrees", "varus positive, valgus negative"),
    "forefoot_varus_degrees": ("forefoot tilt, degrees", "varus positive, valgus negative"),
    "toe_out_degrees": ("toe-out, degrees", "toe-in negative"),
}


def tilt_field(name: str) -> forms.DecimalField:
    """A tilt of a last in degrees. No place on a last is called by a sign alone: the help says which way it goes."""
    label, help_text = TILT_WORDS[name]
    most = 60 if name == "toe_out_degrees" else 45
    field = forms.DecimalField(
        label=label,
        help_text=help_text,
        required=False,
        min_value=-most,
        max_value=most,
        max_digits=4,
        decimal_places=1,
        localize=False,
        widget=forms.TextInput(attrs={"class": "figure", "autocomplete": "off", "maxlength": 8}),
    )
    field.error_messages["invalid"] = "Type degrees: 3 or -3.5."
    return field


class AlterForm(forms.Form):
    """A last after it was built up or taken down."""

    alteration_note = forms.CharField(
        label="everything built up or taken down on it now, and where",
        required=False,
        max_length=LONGEST_TEXT,
        widget=text_area(rows=3),
        help_text="May stay empty where a patch of this last says it.",
    )
    length_mm = length_field("length, mm")
    heel_height_mm = heel_field()
    toe_spring_mm = toe_spring_field()
    toe_shape = forms.CharField(label="toe shape", required=False, max_length=80)
    rearfoot_varus_degrees = tilt_field("rearfoot_varus_degrees")
    forefoot_varus_degrees = tilt_field("forefoot_varus_degrees")
    toe_out_degrees = tilt_field("toe_out_degrees")

    @classmethod
    def as_it_is(cls, last: Last) -> dict[str, Any]:
        """What the form begins with."""
        values = {name: getattr(last, name) for name in cls.base_fields}
        return {name: f"{each.normalize():f}" if isinstance(each, Decimal) else each for name, each in values.items()}

    @property
    def entered(self) -> dict[str, Any]:
        """What `alter_last` is told, after `is_valid`."""
        entered = {name: value for name, value in self.cleaned_data.items() if name not in TILTS_DEGREES}
        return entered | {"tilts_degrees": {name: self.cleaned_data[name] for name in TILTS_DEGREES}}


class WorkedPatchesForm(forms.Form):
    """Which of the planned patches are on the last now, and which came off it."""

    done = forms.ModelMultipleChoiceField(
        label="done now",
        queryset=LastPatch.objects.none(),
        to_field_name="uuid",
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    off = forms.ModelMultipleChoiceField(
        label="taken off now",
        queryset=LastPatch.objects.none(),
        to_field_name="uuid",
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )

    def __init__(self, *args: Any, last: Last, patches: Sequence[LastPatch], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        standing = [patch for patch in patches if patch.removed_at is None]
        self._offer("done", last, [patch for patch in standing if patch.done_at is None])
        self._offer("off", last, [patch for patch in standing if patch.done_at is not None])

    def _offer(self, name: str, last: Last, patches: Sequence[LastPatch]) -> None:
        field: Any = self.fields[name]
        field.queryset = LastPatch.objects.filter(last=last, removed_at__isnull=True)
        # Said from what was read already: the field would ask the database again.
        field.choices = [(patch.uuid, str(patch)) for patch in patches]

    @property
    def offers_any(self) -> bool:
        return any(field.choices for field in self.fields.values() if isinstance(field, forms.ModelMultipleChoiceField))


class ReadingsForm(forms.Form):
    """What the tape, caliper and stick found on a last. A field that stays empty was not taken."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for name in MEASURED_MM:
            self.fields[name] = _reading_field(name)

    @property
    def readings(self) -> dict[str, Decimal]:
        """What was taken, by the column of the last, after `is_valid`."""
        return {name: value for name, value in self.cleaned_data.items() if value is not None}


class MeasureLastForm(ReadingsForm):
    """A last measured again, its length and alignment too."""

    length_mm = length_field("length, mm", required=False)
    heel_height_mm = MillimetreField(label="heel height, mm", min_value=0, max_value=120, required=False)
    toe_spring_mm = MillimetreField(label="toe spring, mm", min_value=0, max_value=60, max_digits=4, required=False)
    rearfoot_varus_degrees = tilt_field("rearfoot_varus_degrees")
    forefoot_varus_degrees = tilt_field("forefoot_varus_degrees")
    toe_out_degrees = tilt_field("toe_out_degrees")


_JOINTS = {"heel_to_joint_mm": "heel to joint, medial", "heel_to_fifth_mm": "heel to joint, lateral"}


def _reading_field(name: str) -> MillimetreField:
    least, most = (50, 700) if "girth" in name else (5, 90) if name == "toe_depth_mm" else (20, 350)
    words = _JOINTS.get(name, name.removesuffix("_mm").replace("_", " "))
    label = f"{words}, mm"
    return MillimetreField(label=label, min_value=least, max_value=most, required=False)
