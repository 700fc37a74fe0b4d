"""What the bench's pages let a person enter."""

from typing import Any

from django import forms

from cases.bench.actions import REPAIR_JOBS
from cases.prescriptions.models.prescription import Feet
from shared.sides import Side

DAY = forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")


class OpenForm(forms.Form):
    """The day the client is told, and whether the pair is tried on before the sole."""

    promised_day = forms.DateField(label="Promised day", widget=DAY)
    rough_fitting = forms.BooleanField(label="Rough fitting on the client, before the sole", required=False)


class PromiseForm(forms.Form):
    """Another day for the client, and why."""

    day = forms.DateField(label="New promised day", widget=DAY)
    reason = forms.CharField(label="Why another day", max_length=200)


class WeighForm(forms.Form):
    """What the scale says of each finished shoe."""

    left_g = forms.IntegerField(label="LEFT shoe weighs (g)", required=False, min_value=50, max_value=5000)
    right_g = forms.IntegerField(label="RIGHT shoe weighs (g)", required=False, min_value=50, max_value=5000)

    def weighed_g(self) -> dict[Side, int]:
        """The shoes that were weighed."""
        entered = {Side.LEFT: self.cleaned_data["left_g"], Side.RIGHT: self.cleaned_data["right_g"]}
        return {side: grams for side, grams in entered.items() if grams is not None}


class GiveUpForm(forms.Form):
    """Why work on a pair stops for good."""

    why = forms.CharField(label="Why it is given up", max_length=200)


class RepairForm(forms.Form):
    """A repair as it is taken in."""

    feet = forms.ChoiceField(label="Which shoes", choices=Feet.choices, widget=forms.RadioSelect, initial=Feet.BOTH)
    jobs = forms.MultipleChoiceField(
        label="What is to be done", choices=list(REPAIR_JOBS.items()), widget=forms.CheckboxSelectMultiple
    )
    description = forms.CharField(label="In a few words", max_length=200)
    heights_left = forms.CharField(
        label="LEFT: raise or rocker to restore exactly",
        help_text="Only where there is one: heel, ball and toe in mm, measured before anything is removed.",
        max_length=120,
        required=False,
    )
    heights_right = forms.CharField(
        label="RIGHT: raise or rocker to restore exactly",
        help_text="Only where there is one: heel, ball and toe in mm, measured before anything is removed.",
        max_length=120,
        required=False,
    )
    promised_day = forms.DateField(label="Promised day", widget=DAY)

    def heights(self) -> dict[Side, str]:
        """What was measured, for the feet that have something to restore."""
        entered: dict[str, Any] = self.cleaned_data
        given = {Side.LEFT: entered["heights_left"].strip(), Side.RIGHT: entered["heights_right"].strip()}
        return {side: words for side, words in given.items() if words}


class CatchUpForm(forms.Form):
    """When the chosen stages were done, where that was earlier than now."""

    done_at = forms.DateTimeField(
        label="Done at",
        help_text="Leave empty for now. Both times are kept: when it was done and when it was entered.",
        widget=forms.DateTimeInput(attrs={"type": "datetime-local"}, format="%Y-%m-%dT%H:%M"),
        input_formats=["%Y-%m-%dT%H:%M", "%Y-%m-%dT%H:%M:%S"],
        required=False,
    )


class AcceptForm(forms.Form):
    """Why a difference is accepted as it is built."""

    because = forms.CharField(label="Why it is accepted as built", max_length=400)
