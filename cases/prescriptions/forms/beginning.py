"""The small forms that begin a prescription or a version."""

from collections.abc import Iterable, Iterator
from datetime import datetime

from django import forms

from cases.lasts.models import MeasureSet
from cases.patients.models import Patient
from cases.prescriptions import actions
from cases.prescriptions.forms.pair import offer_measures
from cases.prescriptions.models import Prescription, StartingPattern
from cases.prescriptions.models.prescription import Construction, Feet, WorkKind
from workshop.staff.models import Person

ORDINARY = "ordinary"
LAST_PAIR = "last"


class NewForm(forms.Form):
    """What must be known before there is a draft; everything else is written on the draft."""

    start = forms.ChoiceField(label="begin from", widget=forms.RadioSelect, required=False)
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

    def __init__(
        self,
        *,
        patient: Patient,
        last_pair: Prescription | None,
        patterns: Iterable[StartingPattern],
        data: object = None,
    ) -> None:
        super().__init__(data, initial={"start": ORDINARY})  # type: ignore[arg-type]  # request data or nothing
        self.patient, self.last_pair = patient, last_pair
        self.patterns = {str(pattern.uuid): pattern for pattern in patterns}
        start = self.fields["start"]
        assert isinstance(start, forms.ChoiceField)
        start.choices = list(self._starts())
        offer_measures(self.fields["measure_set"], patient)

    def _starts(self) -> Iterator[tuple[str, str]]:
        yield ORDINARY, "an ordinary shoe by the workshop's own figures; work on a shoe that is there begins empty"
        if self.last_pair is not None:
            what = f": {self.last_pair.purpose}" if self.last_pair.purpose else ""
            yield LAST_PAIR, f"the client's last pair, {self.last_pair}{what}. Construction, feet and lasts are its own"
        for uuid, pattern in self.patterns.items():
            yield uuid, f"{pattern.name}, {pattern.get_construction_display()} (pattern of the workshop)"

    def begin(self, *, by: Person, at: datetime) -> Prescription:
        """Begin the draft that was asked for."""
        said = dict(self.cleaned_data)
        start = said.pop("start") or ORDINARY
        if start == LAST_PAIR and self.last_pair is not None:
            return actions.repeat_prescription(self.last_pair, work=said["work"], by=by, at=at)
        pattern = self.patterns.get(start)
        if pattern is not None:
            said["construction"] = pattern.construction
            said["purpose"] = said["purpose"] or pattern.purpose
        return actions.start_prescription(self.patient, pattern=pattern, **said, by=by, at=at)


class NewVersionForm(forms.Form):
    reason = forms.CharField(
        label="why a new version is written",
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"required": "Say why: the bench and the next clinician will read it."},
    )
