"""What the pages of patterns let a person enter."""

from decimal import Decimal
from typing import Any

from django import forms

from cases.patterns.models import MOST_FIGURE_MM, MOST_SHIFTED_MM
from cases.patterns.sheets.paper import PaperSize
from shared.sides import SIDES, Side

STEP = {"step": "0.5", "inputmode": "decimal"}
WHY = "Why it is adjusted"
MEDIAL, LATERAL = "medial", "lateral"
TOWARDS, AWAY = "towards", "away"


class FigureForm(forms.Form):
    """A figure of the prescription, cut otherwise on this pair."""

    to_mm = forms.DecimalField(
        label="Cut it to (mm)",
        min_value=0,
        max_value=MOST_FIGURE_MM,
        max_digits=5,
        decimal_places=1,
        widget=forms.NumberInput(attrs=STEP),
    )
    reason = forms.CharField(label=WHY, max_length=300)
    follows = forms.CharField(required=False, widget=forms.HiddenInput, max_length=40)

    def change(self) -> dict[str, Any]:
        """The entered change as an action takes it."""
        return {"to_mm": self.cleaned_data["to_mm"]}


class PointForm(forms.Form):
    """A point of the cut line, shifted from where it was drafted. `is_standing`: along the piece is up and down."""

    across_mm = forms.DecimalField(
        label="Across (mm)",
        min_value=0,
        max_value=MOST_SHIFTED_MM,
        max_digits=4,
        decimal_places=1,
        required=False,
        widget=forms.NumberInput(attrs=STEP),
    )
    across_to = forms.ChoiceField(
        label="Across: which way",
        choices=[(MEDIAL, "medial"), (LATERAL, "lateral")],
        widget=forms.RadioSelect,
        initial=MEDIAL,
    )
    along_mm = forms.DecimalField(
        label="Along (mm)",
        min_value=0,
        max_value=MOST_SHIFTED_MM,
        max_digits=4,
        decimal_places=1,
        required=False,
        widget=forms.NumberInput(attrs=STEP),
    )
    along_to = forms.ChoiceField(label="Along: which way", widget=forms.RadioSelect, initial=TOWARDS)
    reason = forms.CharField(label=WHY, max_length=300)
    follows = forms.CharField(required=False, widget=forms.HiddenInput, max_length=40)

    def __init__(self, *args: Any, is_standing: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        ways = ("up", "down") if is_standing else ("towards the toe", "towards the heel")
        along: Any = self.fields["along_to"]
        along.choices = list(zip((TOWARDS, AWAY), ways, strict=True))

    def change(self) -> dict[str, Any]:
        """The entered shift as an action takes it: towards medial, and towards the toe or up."""
        entered = self.cleaned_data
        across, along = (entered[name] or Decimal(0) for name in ("across_mm", "along_mm"))
        return {
            "medial_mm": across if entered["across_to"] == MEDIAL else -across,
            "along_mm": along if entered["along_to"] == TOWARDS else -along,
        }


class OwnTemplateForm(forms.Form):
    """Which template a maker uses instead of a drafted piece, and on which feet."""

    piece = forms.SlugField(max_length=60)
    side = forms.ChoiceField(choices=[("both", "LEFT and RIGHT"), *Side.choices])
    template = forms.CharField(max_length=120)

    def sides(self) -> tuple[Side, ...]:
        chosen = self.cleaned_data["side"]
        return SIDES if chosen == "both" else (Side(chosen),)


class PrintForm(forms.Form):
    """On which paper."""

    size = forms.ChoiceField(choices=[(size.value, size.label) for size in PaperSize])
