"""What a clinician types at a fitting, a hand-over and a review: foot by foot, little of it obligatory."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.forms import BoundField

from cases.fittings.entries import FittingNote, FootReview
from cases.fittings.models import FittingKind, FittingOutcome, Worn
from cases.fittings.wear_in import ALL_DAY_HOURS, BY_FIGURES, FIGURES, MOST_DAYS, TABLES, steps_by_figures
from shared.sides import SIDES, Side

NOTES_A_FOOT = 6
ROWS_SHOWN = 2
PLACES = (
    "toes",
    "joint, medial",
    "joint, lateral",
    "instep",
    "heel",
    "topline, medial",
    "topline, lateral",
    "length",
    "sole of the foot",
)
"""Offered as one types; any other place may be written."""

_DAY = {"type": "date"}


@dataclass(frozen=True)
class Row:
    """The three fields of one finding."""

    number: int
    place: BoundField
    found: BoundField
    to_do: BoundField

    @property
    def is_used(self) -> bool:
        return any(field.value() for field in (self.place, self.found, self.to_do))


@dataclass(frozen=True)
class FootRows:
    """The rows of one foot: some stand open, the rest unfolds."""

    rows: list[Row]

    @property
    def first(self) -> list[Row]:
        return self.rows[:ROWS_SHOWN]

    @property
    def more(self) -> list[Row]:
        return self.rows[ROWS_SHOWN:]

    @property
    def more_are_used(self) -> bool:
        return any(row.is_used for row in self.more)


def _text(label: str, max_length: int, **attributes: str) -> forms.CharField:
    return forms.CharField(
        label=label,
        max_length=max_length,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off", **attributes}),
    )


def _long_text(label: str, *, required: bool = False) -> forms.CharField:
    return forms.CharField(label=label, required=required, max_length=4000, widget=forms.Textarea(attrs={"rows": 3}))


class FittingForm(forms.Form):
    """The outcome, and up to six findings on each foot that has a shoe."""

    kind = forms.ChoiceField(label="which fitting", choices=FittingKind.choices)
    outcome = forms.ChoiceField(choices=FittingOutcome.choices, widget=forms.RadioSelect)
    note = _long_text("anything else")

    def __init__(self, *args: Any, sides: Sequence[str] = SIDES, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sides = sides
        for side in sides:
            word = Side(side).label
            for row in range(NOTES_A_FOOT):
                self.fields[f"{side}_{row}_place"] = _text(f"{word}: where", 80, list="places")
                self.fields[f"{side}_{row}_found"] = _text(f"{word}: what was found", 200)
                self.fields[f"{side}_{row}_to_do"] = _text(f"{word}: what is to be done", 200)

    def feet(self) -> list[tuple[str, "FootRows"]]:
        """The rows of each foot, LEFT first."""
        return [(side, FootRows([self._row(side, row) for row in range(NOTES_A_FOOT)])) for side in self.sides]

    def _row(self, side: str, row: int) -> "Row":
        return Row(row + 1, self[f"{side}_{row}_place"], self[f"{side}_{row}_found"], self[f"{side}_{row}_to_do"])

    def notes(self) -> list[FittingNote]:
        """The rows in which something was typed."""
        typed = self.cleaned_data
        rows = [
            FittingNote(
                side=side,
                place=typed[f"{side}_{row}_place"],
                found=typed[f"{side}_{row}_found"],
                to_do=typed[f"{side}_{row}_to_do"],
            )
            for side in self.sides
            for row in range(NOTES_A_FOOT)
        ]
        return [row for row in rows if row.place or row.found or row.to_do]


class HandOverForm(forms.Form):
    """What is asked, shown and said when the pair goes home."""

    red_flags_asked = forms.BooleanField(label="asked today for every sign above: none is there", required=False)
    cautions_explained = forms.BooleanField(
        label="the cautions above were explained, and the client or a helper said them back", required=False
    )
    hands_can_close_it = forms.BooleanField(
        label="the client, or a named helper, closes the shoes alone", required=False
    )
    both_shoes_lifted = forms.BooleanField(label="the client lifted both shoes and felt their weight", required=False)
    wear_in = forms.ChoiceField(
        label="wear-in table",
        choices=[*((key, table.name) for key, table in TABLES.items()), (BY_FIGURES.key, BY_FIGURES.name)],
        widget=forms.RadioSelect,
    )
    start_hours = forms.DecimalField(
        label="hours on the first day",
        required=False,
        min_value=Decimal("0.25"),
        max_value=Decimal(ALL_DAY_HOURS),
        decimal_places=2,
    )
    growth_hours = forms.DecimalField(
        label="hours more on each day after it", required=False, min_value=0, max_value=4, decimal_places=2
    )
    days = forms.IntegerField(label="for so many days", required=False, min_value=1, max_value=MOST_DAYS)
    collected_by = forms.CharField(label="who takes them home", max_length=120)
    review_due_on = forms.DateField(label="first review on", widget=forms.DateInput(attrs=_DAY, format="%Y-%m-%d"))
    note = _long_text("anything else")

    def clean(self) -> dict[str, Any]:
        said = super().clean() or {}
        if said.get("wear_in") == BY_FIGURES.key:
            for name in FIGURES:
                if said.get(name) is None and name not in self.errors:
                    self.add_error(name, "Say this, or choose one of the workshop's tables.")
        return said

    def said(self) -> dict[str, Any]:
        """What the action takes: a person's own table with its steps."""
        said = {name: value for name, value in self.cleaned_data.items() if name not in FIGURES}
        if said["wear_in"] == BY_FIGURES.key:
            start, growth, days = (self.cleaned_data[name] for name in FIGURES)
            said["own_steps"] = steps_by_figures(start_hours=float(start), growth_hours=float(growth), days=days)
        return said


class ReviewForm(forms.Form):
    """How the pair is worn, and each foot's skin and shoe."""

    worn = forms.ChoiceField(label="how it is worn", choices=Worn.choices, widget=forms.RadioSelect)
    hours_a_day = forms.DecimalField(
        label="hours a day", required=False, min_value=Decimal(0), max_value=Decimal(24), decimal_places=1
    )
    why_not_worn = _text("why it is not worn, or not more", 200)
    walking_before = _text("how far they could walk before", 120)
    walking_now = _text("how far they can walk now", 120)
    pain_before = forms.IntegerField(label="pain before, 0 to 10", required=False, min_value=0, max_value=10)
    pain_now = forms.IntegerField(label="pain now, 0 to 10", required=False, min_value=0, max_value=10)
    plan = _long_text("what happens next", required=True)
    next_review_on = forms.DateField(
        label="next review on", required=False, widget=forms.DateInput(attrs=_DAY, format="%Y-%m-%d")
    )

    def __init__(self, *args: Any, sides: Sequence[str] = SIDES, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sides = sides
        for side in sides:
            word = Side(side).label
            self.fields[f"{side}_skin"] = forms.CharField(
                label=f"{word}: the skin",
                max_length=200,
                help_text="Also where it is clear: say so.",
                widget=forms.TextInput(attrs={"autocomplete": "off"}),
            )
            self.fields[f"{side}_shoe"] = _text(f"{word}: the shoe", 200)

    def feet_fields(self) -> list[tuple[str, BoundField, BoundField]]:
        """The fields of each foot, LEFT first."""
        return [(side, self[f"{side}_skin"], self[f"{side}_shoe"]) for side in self.sides]

    def feet(self) -> list[FootReview]:
        return [
            FootReview(side=side, skin=self.cleaned_data[f"{side}_skin"], shoe=self.cleaned_data[f"{side}_shoe"])
            for side in self.sides
        ]

    def wear(self) -> dict[str, Any]:
        """Everything that is not of one foot, as the action takes it."""
        per_foot = {f"{side}_{of}" for side in self.sides for of in ("skin", "shoe")}
        return {name: value for name, value in self.cleaned_data.items() if name not in per_foot}


def fitting_kind_of(visit_kind: str) -> str:
    """Which fitting a kind of visit is for; the rough fitting where it does not say."""
    kinds = {"trial-shoe": FittingKind.TRIAL_SHOE, "final-fitting": FittingKind.FINAL}
    return str(kinds.get(visit_kind, FittingKind.ROUGH))
