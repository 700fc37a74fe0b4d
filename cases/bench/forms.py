"""What the bench's pages let a person enter."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.http import QueryDict

from cases.bench.actions import REPAIR_JOBS, FinalEntry, Found
from cases.bench.measured import AskedFigure, NotMeasured, read_figure
from cases.bench.models import CoverRequirement
from cases.bench.queries import FinalSeen, differs_field, figure_field
from cases.prescriptions.models.prescription import Feet
from shared.photo_files import PhotoField
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


class PlacedPhotoForm(forms.Form):
    """A photo of what is in position, both feet in one, LEFT at left."""

    photo = PhotoField(label="photo in position")


class AcceptForm(forms.Form):
    """Why a difference is accepted as it is built."""

    because = forms.CharField(label="Why it is accepted as built", max_length=400)


@dataclass(frozen=True)
class Keyed:
    """What a maker measured and keyed at the checks of a part. `typed` and `amiss` go by the name of their field."""

    found: tuple[Found, ...]
    typed: Mapping[str, str]
    amiss: Mapping[str, str]

    @classmethod
    def read(
        cls, entries: QueryDict, asked: Iterable[CoverRequirement], *, said: Iterable[CoverRequirement]
    ) -> "Keyed":
        """The figures of the checks that are `said` to be recorded, and what else differs.

        What cannot be read is told in `amiss`, and what was keyed for another foot that is asked: it would be lost.
        """
        amiss: dict[str, str] = {}
        found = tuple(_found(entries, requirement, amiss) for requirement in said)
        for requirement in set(asked) - {each.requirement for each in found}:
            fields = [figure_field(requirement, number) for number in range(len(requirement.measured))]
            for name in (*fields, differs_field(requirement)):
                if entries.get(name, "").strip():
                    foot = Side(requirement.side).label
                    amiss[name] = f"{foot} is keyed as well: record LEFT and RIGHT together, or empty {foot}."
        return cls(found=found, typed={name: str(entries[name]) for name in entries}, amiss=amiss)


@dataclass(frozen=True)
class FinalKeyed:
    """What was marked on the sheet of the final check. `typed` and `amiss` go by the name of their field."""

    entries: tuple[FinalEntry, ...]
    typed: Mapping[str, str]
    amiss: Mapping[str, str]

    @classmethod
    def read(cls, entries: QueryDict, seen: Iterable[FinalSeen]) -> "FinalKeyed":
        """Every line that is marked to hold, measured, or said to differ; and what of it cannot be taken, in `amiss`."""
        amiss: dict[str, str] = {}
        marked = [entry for each in seen if (entry := _final_entry(entries, each, amiss))]
        for entry in marked:
            if not entry.holds and not entry.answer.strip():
                name = f"{entry.seen.name}-answer"
                amiss.setdefault(name, f"{entry.says}. It differs: say what is to be said to it.")
        return cls(entries=tuple(marked), typed={name: str(entries[name]) for name in entries}, amiss=amiss)


def _final_entry(entries: QueryDict, seen: FinalSeen, amiss: dict[str, str]) -> FinalEntry | None:
    name = seen.name
    typed, answer = entries.get(f"{name}-measured", "").strip(), entries.get(f"{name}-answer", "").strip()
    if typed:
        try:
            return FinalEntry(seen, read_figure(typed.removesuffix("°"), unit=seen.line.unit), answer)
        except NotMeasured as error:
            amiss[f"{name}-measured"] = f"{Side(seen.stage.side).label} {seen.line.words}: {error}"
            return None
    if answer and seen.line.is_measured:
        foot = Side(seen.stage.side).label
        amiss[f"{name}-measured"] = f"{foot} {seen.line.words}: key what you measured, to which this is said."
        return None
    return FinalEntry(seen, answer=answer) if answer or f"{name}-holds" in entries else None


def _found(entries: QueryDict, requirement: CoverRequirement, amiss: dict[str, str]) -> Found:
    measured: dict[str, Decimal] = {}
    for number, row in enumerate(requirement.measured):
        figure, name = AskedFigure.of(row), figure_field(requirement, number)
        try:
            measured[figure.label] = read_figure(entries.get(name, ""), unit=figure.unit)
        except NotMeasured as error:
            amiss[name] = f"{Side(requirement.side).label} {figure.label}: {error}"
    return Found(requirement, entries.get(differs_field(requirement), ""), measured)
