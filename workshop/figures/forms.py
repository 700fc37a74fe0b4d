from datetime import date
from decimal import Decimal
from typing import Any

from django import forms
from django.http import QueryDict

from workshop.figures.models import Material, Standing
from workshop.figures.setting import Setting

YES_OR_NO = (("", "—"), ("1", "yes"), ("0", "no"))


class FigureForm(forms.Form):
    """Another value of one figure, from a day on."""

    value = forms.DecimalField(max_digits=10, decimal_places=3)
    valid_from = forms.DateField(label="from", widget=forms.DateInput(attrs={"type": "date"}))
    source = forms.CharField(
        label="where the value comes from",
        max_length=300,
        required=False,
        help_text="Your own trial, a paper, a supplier's sheet. May be left empty.",
    )

    def __init__(self, setting: Setting, data: QueryDict | None, *, today: date) -> None:
        super().__init__(data, initial={"valid_from": today.isoformat()})
        if setting.is_switch:
            self.fields["value"] = forms.TypedChoiceField(label="new value", choices=YES_OR_NO, coerce=Decimal)
        else:
            value = self.fields["value"]
            value.label = f"new value ({setting.unit})"
            value.widget.attrs |= {"min": str(setting.lowest), "max": str(setting.highest), "inputmode": "decimal"}
        self.fields["valid_from"].widget.attrs["min"] = today.isoformat()

    @property
    def new_value(self) -> Decimal:
        """The value of a form that was found valid."""
        value: Decimal = self.cleaned_data["value"]
        return value


class MaterialForm(forms.ModelForm):  # type: ignore[type-arg]
    """A material from a day on. `known` is what was written down of it last; without one it is new."""

    class Meta:
        model = Material
        fields = (
            "name",
            "kind",
            "density_low_kg_m3",
            "density_high_kg_m3",
            "modulus_low_mpa",
            "modulus_high_mpa",
            "thickness_mm",
            "price",
            "price_per",
            "in_stock",
            "standing",
            "source",
            "valid_from",
        )
        labels = {"valid_from": "from", "source": "where the figures come from"}
        widgets = {"valid_from": forms.DateInput(attrs={"type": "date"}, format="%Y-%m-%d")}
        help_texts = {
            "modulus_low_mpa": "In bending, along the shoe. Empty where it is not known.",
            "price_per": "dm², kg, sheet, pair: as it is bought.",
            "source": "Weighed and bent here, a supplier's sheet, a paper.",
        }

    def __init__(self, data: QueryDict | None, *, known: Material | None, today: date) -> None:
        start: dict[str, Any] = {"valid_from": today, "standing": Standing.SET_HERE}
        super().__init__(data, instance=_copy(known) if known else None, initial=start)
        self.fields["valid_from"].widget.attrs["min"] = today.isoformat()
        if known is not None:
            del self.fields["name"]

    def clean_name(self) -> str:
        name: str = self.cleaned_data["name"]
        if Material.objects.filter(name__iexact=name).exists():
            raise forms.ValidationError("There is a material of this name. Change it on its own page.")
        return name

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or self.cleaned_data
        for low, high in (("density_low_kg_m3", "density_high_kg_m3"), ("modulus_low_mpa", "modulus_high_mpa")):
            least, most = cleaned.get(low), cleaned.get(high)
            if (least is None) != (most is None) and low not in self.errors and high not in self.errors:
                self.add_error(high if most is None else low, "Give both ends of the range, or neither.")
            elif least is not None and least <= 0:
                self.add_error(low, "This is more than 0.")
            elif least is not None and most is not None and least > most:
                self.add_error(high, "The range ends below where it begins.")
        price, per = cleaned.get("price"), cleaned.get("price_per", "")
        if price is not None and price < 0:
            self.add_error("price", "A price is not below 0.")
        if (price is None) != (not per) and "price" not in self.errors:
            self.add_error("price_per" if not per else "price", "Say the price and what it is for, or neither.")
        if cleaned.get("standing") == Standing.PUBLISHED and not cleaned.get("source"):
            self.add_error("source", "Name where it was published.")
        return cleaned

    def validate_constraints(self) -> None:
        """The form says what is wrong field by field; the database keeps the constraints."""

    @property
    def columns(self) -> dict[str, Any]:
        """Of a form that was found valid: every column beside name and day."""
        return {name: value for name, value in self.cleaned_data.items() if name not in {"name", "valid_from"}}


def _copy(known: Material) -> Material:
    """What was known last, as a row of its own that begins on another day."""
    return Material(**{name: getattr(known, name) for name in _CARRIED})


_CARRIED = tuple(name for name in MaterialForm.Meta.fields if name not in {"valid_from", "standing", "source"})
