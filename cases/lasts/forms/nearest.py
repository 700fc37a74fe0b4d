"""What the nearest lasts are to be fit for."""

from collections.abc import Mapping, Sequence
from typing import Any

from django import forms

from cases.lasts.forms.rack import heel_field
from cases.lasts.models import FootwearKind, Hose, MeasureSet
from cases.lasts.queries.nearest import Fitted

STOCK_AND_OWN, WHOLE_RACK = "stock", "all"


class NearestForm(forms.Form):
    """Asked by its address: what is not asked stands as it does for most, on the heel the feet were measured over."""

    sitting = forms.ChoiceField(label="measures of")
    footwear_kind = forms.ChoiceField(label="footwear", choices=FootwearKind.choices)
    hose = forms.ChoiceField(choices=Hose.choices)
    heel_height_mm = heel_field()
    whose = forms.ChoiceField(
        label="among", choices=[(STOCK_AND_OWN, "stock and this client's own"), (WHOLE_RACK, "the whole rack")]
    )

    def __init__(self, asked: Mapping[str, str], *, sittings: Sequence[MeasureSet], chosen: MeasureSet) -> None:
        begin: dict[str, Any] = {
            "footwear_kind": FootwearKind.LOW,
            "hose": Hose.NORMAL,
            "heel_height_mm": f"{chosen.heel_height_mm.normalize():f}",
            "whose": STOCK_AND_OWN,
        }
        super().__init__({**begin, **{name: asked[name] for name in begin if name in asked}, "sitting": chosen.uuid})
        choice: Any = self.fields["sitting"]
        choice.choices = [
            (each.uuid, f"{each.taken_at:%a} {each.taken_at.day} {each.taken_at:%b %Y}") for each in sittings
        ]

    @property
    def fitted(self) -> Fitted:
        """After `is_valid`."""
        return Fitted(**{name: self.cleaned_data[name] for name in ("footwear_kind", "hose", "heel_height_mm")})

    @property
    def asks_whole_rack(self) -> bool:
        """After `is_valid`."""
        return bool(self.cleaned_data["whose"] == WHOLE_RACK)
