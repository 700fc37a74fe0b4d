"""What is said once for both shoes."""

from typing import Any

from django import forms
from django.utils import timezone

from cases.lasts.models import MeasureSet
from cases.patients.models import Patient
from cases.prescriptions.forms.fields import shown
from cases.prescriptions.models import Prescription
from cases.prescriptions.models.prescription import Construction, Feet, WorkKind

FIELDS = (
    "construction",
    "purpose",
    "work",
    "feet",
    "shoe_weight_limit_g",
    "heel_limit_mm",
    "review_months",
    "wear_in",
    "own_shoe",
    "trial_shoe",
    "measure_set",
    "remarks",
    "outside_author",
    "outside_profession",
    "ordered_on",
)
WEAR_IN = {
    "ordinary": "ordinary",
    "swollen-or-fragile": "swollen or fragile feet",
    "loss-of-sensation": "loss of sensation",
}
"""The wear-in tables by key, as hand-over knows them."""


def offer_measures(field: forms.Field, patient: Patient) -> None:
    assert isinstance(field, forms.ModelChoiceField)
    field.queryset = MeasureSet.objects.filter(patient=patient)
    field.label_from_instance = _measures_in_words  # type: ignore[assignment, method-assign]  # as Django means it


def _measures_in_words(measure_set: MeasureSet) -> str:
    return f"taken {timezone.localtime(measure_set.taken_at):%-d %b %Y}, {measure_set.get_load_display()}"


class PairForm(forms.Form):
    """The head of the page."""

    construction = forms.ChoiceField(choices=Construction.choices)
    purpose = forms.CharField(label="what the pair is for", max_length=200, required=False)
    work = forms.ChoiceField(choices=WorkKind.choices)
    feet = forms.ChoiceField(
        choices=Feet.choices,
        help_text="A foot that the work is no longer on goes when this is saved.",
    )
    shoe_weight_limit_g = forms.IntegerField(
        label="most that each shoe may weigh (g)", min_value=50, max_value=5000, required=False
    )
    heel_limit_mm = forms.DecimalField(
        label="highest heel the client was promised (mm)", min_value=0, max_value=150, decimal_places=1, required=False
    )
    review_months = forms.IntegerField(
        label="review planned, months after hand-over", min_value=1, max_value=36, required=False
    )
    wear_in = forms.ChoiceField(label="wear-in planned", choices=[("", "—"), *WEAR_IN.items()], required=False)
    own_shoe = forms.CharField(
        label="the client's own shoe that is worked on",
        max_length=200,
        required=False,
        help_text="For an adaptation or a repair.",
    )
    trial_shoe = forms.BooleanField(label="trial shoe before the uppers", required=False)
    measure_set = forms.ModelChoiceField(label="measures", queryset=MeasureSet.objects.none(), required=False)
    remarks = forms.CharField(widget=forms.Textarea(attrs={"rows": 2}), required=False)
    outside_author = forms.CharField(label="ordered by (name)", max_length=120, required=False)
    outside_profession = forms.CharField(label="profession", max_length=80, required=False)
    ordered_on = forms.DateField(
        label="ordered on", required=False, widget=forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")
    )

    def __init__(self, *, prescription: Prescription, data: object = None) -> None:
        initial = {name: shown(getattr(prescription, name)) for name in FIELDS}
        super().__init__(data, prefix="pair", initial=initial)  # type: ignore[arg-type]  # request data or nothing
        offer_measures(self.fields["measure_set"], prescription.patient)

    def clean(self) -> dict[str, Any]:
        said = self.cleaned_data
        is_an_order = said.get("outside_profession") or said.get("ordered_on")
        if is_an_order and not said.get("outside_author") and "outside_author" not in self.errors:
            self.add_error("outside_author", "Say who ordered it, or empty the profession and the day.")
        return said
