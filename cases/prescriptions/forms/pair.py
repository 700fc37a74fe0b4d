"""What is said once for both shoes, and the small forms that begin a prescription or a version."""

from django import forms
from django.utils import timezone

from cases.lasts.models import MeasureSet
from cases.patients.models import Patient
from cases.prescriptions.models import Prescription
from cases.prescriptions.models.prescription import Construction, Feet, WorkKind

FIELDS = (
    "construction",
    "purpose",
    "work",
    "feet",
    "shoe_weight_limit_g",
    "own_shoe",
    "trial_shoe",
    "measure_set",
    "remarks",
)


def _offer_measures(field: forms.Field, patient: Patient) -> None:
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
    own_shoe = forms.CharField(
        label="the client's own shoe that is worked on",
        max_length=200,
        required=False,
        help_text="For an adaptation or a repair.",
    )
    trial_shoe = forms.BooleanField(label="trial shoe before the uppers", required=False)
    measure_set = forms.ModelChoiceField(label="measures", queryset=MeasureSet.objects.none(), required=False)
    remarks = forms.CharField(widget=forms.Textarea(attrs={"rows": 2}), required=False)

    def __init__(self, *, prescription: Prescription, data: object = None) -> None:
        initial = {name: getattr(prescription, name) for name in FIELDS}
        super().__init__(data, prefix="pair", initial=initial)  # type: ignore[arg-type]  # request data or nothing
        _offer_measures(self.fields["measure_set"], prescription.patient)


class NewForm(forms.Form):
    """What must be known before there is a draft; everything else is written on the draft."""

    work = forms.ChoiceField(choices=WorkKind.choices, initial=WorkKind.NEW)
    feet = forms.ChoiceField(label="on", choices=Feet.choices, initial=Feet.BOTH)
    construction = forms.ChoiceField(
        choices=Construction.choices,
        initial=Construction.CEMENTED,
        help_text="It decides the route, the insole, and whether a toe puff makes sense.",
    )
    purpose = forms.CharField(label="what the pair is for", max_length=200, required=False)
    own_shoe = forms.CharField(
        label="the client's own shoe that is worked on",
        max_length=200,
        required=False,
        help_text="For an adaptation or a repair.",
    )
    measure_set = forms.ModelChoiceField(
        label="measures", queryset=MeasureSet.objects.none(), required=False, empty_label="the latest"
    )

    def __init__(self, *, patient: Patient, data: object = None) -> None:
        super().__init__(data)  # type: ignore[arg-type]  # request data or nothing
        _offer_measures(self.fields["measure_set"], patient)


class NewVersionForm(forms.Form):
    reason = forms.CharField(
        label="why a new version is written",
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"required": "Say why: the bench and the next clinician will read it."},
    )
