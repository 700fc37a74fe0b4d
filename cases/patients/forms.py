"""The forms of a client's record. What a form refuses comes back with what was typed."""

import copy
from collections.abc import Sequence
from datetime import date
from typing import Any

from django import forms
from django.http import QueryDict

from cases.patients import birth, conditions, red_flags
from cases.patients.models import AllergyKind, Flexibility, Marked, Patient
from shared.sides import Side

LONGEST_TEXT = 4000
"""Characters of a free text: four pages of typing."""

CONTACT_FIELDS = (
    "given_names",
    "family_name",
    "born_on",
    "phone",
    "email",
    "address",
    "communication_needs",
    "referrer",
    "referred_on",
    "referral_reason",
    "treatment_record_consent",
    "letters_consent",
    "photos_consent",
    "reminders_consent",
)
CLINICAL_FIELDS = ("hand_function", "hand_note", "diabetes", "screened_elsewhere_by")

BOTH = "both"
GENERAL = "general"


def _day() -> forms.DateInput:
    return forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})


def _long_text(*, rows: int = 3) -> forms.Textarea:
    return forms.Textarea(attrs={"rows": rows, "maxlength": LONGEST_TEXT})


class PatientForm(forms.ModelForm):  # type: ignore[type-arg]  # the class takes no argument when it runs
    """Who a client is, how they are reached, what they agreed to. The clinical part is for those who may write it."""

    class Meta:
        model = Patient
        fields = (*CONTACT_FIELDS, *CLINICAL_FIELDS)
        widgets = {
            "born_on": _day(),
            "referred_on": _day(),
            "address": _long_text(),
            "communication_needs": _long_text(rows=2),
            "referral_reason": _long_text(),
            "phone": forms.TextInput(attrs={"type": "tel"}),
            "hand_function": forms.RadioSelect,
            "diabetes": forms.RadioSelect,
        }
        labels = {"referrer": "Referrer", "referral_reason": "Reason for the referral"}
        help_texts = {
            "communication_needs": "Interpreter, hearing, sight, a carer who speaks for them, how letters should look.",
            "hand_note": "Left hand, right hand, partner, carer.",
            "diabetes": "The screening risk is worked out only where diabetes is recorded.",
            "screened_elsewhere_by": "Who looks after the foot screening, so that it is not recalled twice.",
        }

    def __init__(self, *args: Any, today: date, with_clinical: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.today, self.with_clinical = today, with_clinical
        self.fields["referrer"].empty_label = "no referrer recorded"  # type: ignore[attr-defined]  # a list of rows
        if not with_clinical:
            for name in CLINICAL_FIELDS:
                del self.fields[name]
        for name in ("address", "communication_needs", "referral_reason"):
            if name in self.fields:
                self.fields[name] = forms.CharField(
                    label=self.fields[name].label,
                    help_text=self.fields[name].help_text,
                    required=False,
                    max_length=LONGEST_TEXT,
                    widget=self.fields[name].widget,
                )

        if self.instance.pk is None:
            self.fields["given_names"].widget.attrs["autofocus"] = True
            return
        # The form carries what it showed at first: so it knows what a person touched.
        for field in self.fields.values():
            field.show_hidden_initial = True

    def over(self, current: Patient) -> "PatientForm":
        """The same entries over a record that somebody else changed: what was not touched here stands as they left it."""
        fresh = type(self)(instance=current, today=self.today, with_clinical=self.with_clinical)
        data, touched = QueryDict(mutable=True), set(self.changed_data)
        for name in self.fields:
            data[self.add_initial_prefix(name)] = _as_sent(fresh[name].value())
            data[name] = _as_sent(self[name].value() if name in touched else fresh[name].value())
        return type(self)(data, instance=copy.copy(current), today=self.today, with_clinical=self.with_clinical)

    def clean(self) -> dict[str, Any]:
        # The model's own checks would each ask the database; the action and the table make them when it is saved.
        return self.cleaned_data

    def clean_born_on(self) -> date:
        born_on: date = self.cleaned_data["born_on"]
        if wrong := birth.what_is_wrong_with(born_on, today=self.today):
            raise forms.ValidationError(wrong)
        return born_on

    def clean_referred_on(self) -> date | None:
        referred_on: date | None = self.cleaned_data["referred_on"]
        if referred_on is not None and referred_on > self.today:
            raise forms.ValidationError("This day is in the future.")
        return referred_on


def _as_sent(value: Any) -> str:
    """A value of a field as a browser sends it."""
    return "" if value is None else str(value)


class NewPatientForm(PatientForm):
    """The same, with a record number where an older system gave one."""

    record_number = forms.CharField(
        max_length=20, required=False, help_text="Leave empty for the next number.", label="Record number"
    )


class NewReferrerForm(forms.Form):
    """A referrer who is not in the list yet; where one is typed, it is meant instead of the one chosen."""

    prefix = "referrer"
    name = forms.CharField(
        max_length=200,
        required=False,
        label="Or a new referrer: name",
        help_text="Typed here, it takes the place of the one chosen.",
    )
    address = forms.CharField(max_length=LONGEST_TEXT, required=False, widget=_long_text(), label="Their address")

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        if cleaned.get("address") and not cleaned.get("name"):
            self.add_error("name", "An address alone is no referrer: give the name.")
        return cleaned


def _choices(groups: Sequence[tuple[str, Sequence[conditions.Condition]]]) -> list[tuple[str, Any]]:
    return [
        ("", "Choose what was found"),
        *((heading, [(entry.key, entry.label) for entry in entries]) for heading, entries in groups),
    ]


class GeneralFindingForm(forms.Form):
    """A finding about the person: it has no side, place or grade. Stands on one page with the other form."""

    def __init__(self, data: QueryDict | None = None) -> None:
        super().__init__(data, auto_id="general_%s")

    condition = forms.ChoiceField(choices=_choices(conditions.by_group(on_a_foot=False)), label="Finding")
    since = forms.CharField(max_length=60, required=False, label="Since when")
    note = forms.CharField(max_length=LONGEST_TEXT, required=False, widget=_long_text(rows=2))

    def sides(self) -> tuple[Side | None, ...]:
        return (None,)


class FootFindingForm(forms.Form):
    """A finding on the left foot, the right foot or both in one touch."""

    condition = forms.ChoiceField(choices=_choices(conditions.by_group(on_a_foot=True)), label="Finding")
    place = forms.CharField(max_length=80, required=False, widget=forms.TextInput(attrs={"list": "places"}))
    flexibility = forms.ChoiceField(
        choices=Flexibility.choices, required=False, label="Fixed or flexible", widget=forms.RadioSelect
    )
    marked = forms.ChoiceField(choices=Marked.choices, required=False, label="How marked", widget=forms.RadioSelect)
    since = forms.CharField(max_length=60, required=False, label="Since when")
    note = forms.CharField(max_length=LONGEST_TEXT, required=False, widget=_long_text(rows=2))
    where = forms.ChoiceField(
        choices=[*Side.choices, (BOTH, "both feet")],
        widget=forms.HiddenInput,
        error_messages={
            "required": "Touch LEFT, RIGHT or both feet.",
            "invalid_choice": "Touch LEFT, RIGHT or both feet.",
        },
    )

    def sides(self) -> tuple[Side, ...]:
        where = self.cleaned_data["where"]
        return (Side.LEFT, Side.RIGHT) if where == BOTH else (Side(where),)


class AllergyForm(forms.Form):
    kind = forms.ChoiceField(choices=AllergyKind.choices, widget=forms.RadioSelect)
    substance = forms.CharField(max_length=120, help_text="For instance chrome, rubber, a glue by its kind.")


class RedFlagForm(forms.Form):
    """One touch on a sign, at the side of the foot it was seen on."""

    sign = forms.ChoiceField(choices=[(sign.key, sign.words) for sign in red_flags.SIGNS.values()])
    side = forms.ChoiceField(choices=[(GENERAL, "no one side"), *Side.choices])

    def side_seen(self) -> Side | None:
        side = self.cleaned_data["side"]
        return None if side == GENERAL else Side(side)


class AnswerForm(forms.Form):
    what_was_done = forms.CharField(max_length=LONGEST_TEXT, widget=_long_text(), label="What was done")
    referred_to = forms.CharField(max_length=200, label="To whom the client was sent")


class ReasonForm(forms.Form):
    reason = forms.CharField(max_length=500, min_length=3, label="Why you need this record")
