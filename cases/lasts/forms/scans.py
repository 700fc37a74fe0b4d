"""The forms of scans: the file that comes, and how its mesh lies."""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

import numpy as np
from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.db.models import QuerySet

from cases.lasts.forms.casts import HIGHER_THAN_ANY_HEEL_MM
from cases.lasts.forms.fields import CastChoice, MillimetreField, day_field
from cases.lasts.meshes.files import MOST_BYTES
from cases.lasts.meshes.placing import UNITS, turned
from cases.lasts.meshes.stations import STATIONS
from cases.lasts.models import Cast, Load
from shared.sides import Side
from shared.uploads import came_whole, length_in_words


class ScanForm(forms.Form):
    """A scan of one foot or of its cast. The file stands last."""

    side = forms.ChoiceField(label="which foot", choices=Side.choices, widget=forms.RadioSelect)
    cast = CastChoice(label="scan of a cast", help_text="No cast: the foot itself was scanned.")
    load = forms.ChoiceField(label="load on the foot", choices=Load.choices)
    heel_height_mm = MillimetreField(label="heel height, mm", above=Decimal(-1), below=HIGHER_THAN_ANY_HEEL_MM)
    made_on = day_field(label="scanned on")
    file = forms.FileField(
        label="file",
        help_text=f"STL or OBJ, up to {MOST_BYTES // (1024 * 1024)} MB.",
        widget=forms.FileInput(attrs={"accept": ".stl,.obj,model/stl,model/obj"}),
        allow_empty_file=True,
        error_messages={"required": "Choose the file of the scan."},
    )

    def __init__(self, *args: Any, casts: QuerySet[Cast], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["cast"].queryset = casts  # type: ignore[attr-defined]

    def clean_file(self) -> bytes:
        file: UploadedFile = self.cleaned_data["file"]
        if not came_whole(file) or (file.size or 0) > MOST_BYTES:
            raise forms.ValidationError(
                f"This file is {length_in_words(file.size or 0)} long; a scan is at most {length_in_words(MOST_BYTES)}. "
                "Save it with fewer triangles: 100,000 are plenty for a foot."
            )
        contents: bytes = file.read()
        return contents


GUESS = "guess"
MEASURE = "measure"
MIRROR = "mirror"
TURN = "turn"

TURNS: Mapping[str, tuple[str, str, float]] = {
    "ends": ("Toe and heel change ends", "up", 180.0),
    "over": ("Upside down", "forward", 180.0),
    "roll": ("Roll a quarter", "forward", 90.0),
    "quarter": ("Turn a quarter on the floor", "up", 90.0),
    "tip": ("Tip a quarter, toe up", "left", -90.0),
}
"""Key of a button, its words, and about which axis of the foot it turns the mesh by how many degrees."""

OF_THE_LENGTH = ("heel_mm", "toe_mm", "short_heel_deg")


class PlaceForm(forms.Form):
    """How a mesh lies, and where it is measured. `placed` stands after `is_valid`: what a person set, and no default."""

    do = forms.ChoiceField(
        choices=[(key, key) for key in (MEASURE, GUESS, MIRROR, TURN, *TURNS)], required=False, initial=MEASURE
    )
    unit = forms.ChoiceField(label="unit of the file", choices=[(unit, unit) for unit in UNITS])
    heel_mm = MillimetreField(
        label="heel point, mm ahead of the rearmost", above=Decimal(-1), below=Decimal(120), required=False
    )
    toe_mm = MillimetreField(label="toe point, mm from the heel", above=Decimal(60), below=Decimal(450), required=False)
    short_heel_deg = forms.DecimalField(
        label="short heel: rises, degrees", min_value=10, max_value=80, max_digits=3, decimal_places=1, required=False
    )
    turn_deg = forms.DecimalField(
        label="turn the toe to LEFT, degrees (minus: to RIGHT)",
        min_value=-180,
        max_value=180,
        max_digits=4,
        decimal_places=1,
        required=False,
    )

    def __init__(self, *args: Any, placed: Mapping[str, Any], placing: Mapping[str, Any], **kwargs: Any) -> None:
        kwargs["initial"] = _shown(placing)
        super().__init__(*args, **kwargs)
        self.was, self.placing = placed, placing
        for station in STATIONS:
            self.fields[station.key] = MillimetreField(
                label=f"{station.label}, mm from the heel", above=Decimal(0), below=Decimal(450), required=False
            )
        for name in ("short_heel_deg", "turn_deg"):
            self.fields[name].widget = forms.TextInput(attrs={"inputmode": "decimal", "class": "figure"})

    @property
    def numbers(self) -> list[Any]:
        return [self[name] for name in (*OF_THE_LENGTH, *(station.key for station in STATIONS))]

    @property
    def placed(self) -> dict[str, Any]:
        """What is to be measured by."""
        do = self.cleaned_data["do"] or MEASURE
        if do == GUESS:
            return {}
        if do == MIRROR:
            return {**self._lying(self._axes()), "mirrored": not self.placing["mirrored"]}
        if do in TURNS:
            _, about, degrees = TURNS[do]
            return self._lying(_turned(self._axes(), about=about, degrees=degrees))
        kept = self._as_typed()
        if do == TURN and self.cleaned_data["turn_deg"]:
            degrees = float(self.cleaned_data["turn_deg"]) * (-1 if self.placing["mirrored"] else 1)
            kept["axes"] = _turned(self._axes(), about="up", degrees=degrees)
        return kept

    def _axes(self) -> list[float]:
        return list(self.placing["axes"])

    def _lying(self, axes: list[float]) -> dict[str, Any]:
        """Another way of lying: what was said of the old one in mm no longer holds."""
        kept = {key: self.was[key] for key in ("unit", "mirrored") if key in self.was}
        return {**kept, "axes": axes}

    def _as_typed(self) -> dict[str, Any]:
        if "unit" in self.changed_data:
            return {**self._lying(self._axes()), "unit": self.cleaned_data["unit"]}
        kept = {key: value for key, value in self.was.items() if key != "stations"}
        stations = dict(self.was.get("stations", {}))
        for name in self.changed_data:
            value = self.cleaned_data.get(name)
            holds, key = (kept, name) if name in OF_THE_LENGTH else (stations, name)
            if name in OF_THE_LENGTH or name in {station.key for station in STATIONS}:
                holds.pop(key, None)
                if value is not None:
                    holds[key] = float(value)
        return {**kept, "stations": stations} if stations else kept


def _turned(axes: list[float], *, about: str, degrees: float) -> list[float]:
    return [
        round(part, 9) for part in turned(np.array(axes).reshape(3, 3), about=about, degrees=degrees).ravel().tolist()
    ]


def _shown(placing: Mapping[str, Any]) -> dict[str, Any]:
    figures = {**{name: placing[name] for name in OF_THE_LENGTH}, **placing["stations"]}
    return {"unit": placing["unit"], **{name: Decimal(f"{value:.1f}") for name, value in figures.items()}}
