"""The form of one sitting of measuring: both feet, two takes where the tape is least sure."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.forms import BoundField
from django.utils import timezone

from cases.diary.clock import NoSuchTime, instant
from cases.diary.models import Visit
from cases.diary.queries import zone
from cases.lasts import measures, queries
from cases.lasts.actions import MeasureValue
from cases.lasts.forms.fields import LONGEST_TEXT, MillimetreField, VisitChoice, day_field, text_area
from cases.lasts.measures import MEASURES, Group, MeasureKind
from cases.lasts.models import Load, MeasureSet, Method
from shared.sides import SIDES, Side

TAKE_WORDS = {1: "", 2: ", second take", 3: ", third take"}
TAKE_HINTS = {2: "2nd", 3: "3rd"}


@dataclass(frozen=True)
class Line:
    """One measure of one foot as the form shows it."""

    kind: MeasureKind
    first: BoundField
    second: BoundField | None
    third: BoundField | None
    """Only where it is asked for, or was typed."""
    last_time_mm: Decimal | None

    @property
    def errors(self) -> list[str]:
        fields = [each for each in (self.first, self.second, self.third) if each is not None]
        return [str(error) for each in fields for error in each.errors]


@dataclass(frozen=True)
class Half:
    """One foot's half of the page."""

    side: Side
    groups: Sequence[tuple[Group, Sequence[Line]]]


def field_name(side: str, kind: MeasureKind, take: int) -> str:
    return f"{side}-{kind.key}-{take}"


class MeasuringForm(forms.Form):
    """Method, load, heel height, time once for the sitting; then the measures. `taken_at` stands after `is_valid`."""

    method = forms.ChoiceField(choices=Method.choices)
    load = forms.ChoiceField(choices=[("", "say which"), *Load.choices])
    heel_height_mm = MillimetreField(
        label="heel height it is taken at, mm", min_value=0, max_value=120, help_text="0 where the foot stands flat."
    )
    taken_on = day_field(label="taken on")
    taken_time = forms.TimeField(label="at", widget=forms.TimeInput(format="%H:%M", attrs={"type": "time"}))
    visit = VisitChoice()
    note = forms.CharField(required=False, max_length=LONGEST_TEXT, widget=text_area())
    two_takes_stand = forms.BooleanField(label="No third take: the two stand as they are", required=False)

    taken_at: datetime | None = None

    def __init__(
        self,
        *args: Any,
        visits: QuerySet[Visit],
        previous: MeasureSet | None,
        third_above_mm: Decimal,
        at: datetime,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.at, self.third_above_mm = at, third_above_mm
        self.asks_third: set[tuple[str, str]] = set()
        self.last_time = {side: queries.values_of(previous, side) if previous else {} for side in SIDES}
        self.fields["visit"].queryset = visits  # type: ignore[attr-defined]
        for side, kind in _feet_and_kinds():
            for take in (1, 2, 3) if kind.second_take else (1,):
                self.fields[field_name(side, kind, take)] = _measure_field(side, kind, take)

    @staticmethod
    def first_entries(previous: MeasureSet | None, *, visit: Visit | None, at: datetime) -> dict[str, Any]:
        """What the form begins with: now, at this visit, measured the same way as last time."""
        local = timezone.localtime(at)
        begin: dict[str, Any] = {"taken_on": local.date(), "taken_time": local.time(), "method": Method.TAPE}
        if visit is not None:
            begin["visit"] = visit.uuid
        if previous is not None:
            heel = f"{previous.heel_height_mm.normalize():f}"
            begin |= {"method": previous.method, "load": previous.load, "heel_height_mm": heel}
        return begin

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        self._read_time(cleaned)
        if not self.values and not any("-" in name for name in self.errors):
            self.add_error(None, "Nothing was measured yet: type at least one measure.")
        for side, kind in _feet_and_kinds():
            takes = self._takes(side, kind)
            if kind.second_take and measures.asks_third_take(takes, above_mm=self.third_above_mm):
                self.asks_third.add((side, kind.key))
                if not cleaned.get("two_takes_stand"):
                    apart = abs(takes[0] - takes[1]).normalize()
                    self.add_error(
                        field_name(side, kind, 3), f"The two takes are {apart:f} mm apart: take it once more."
                    )
        return cleaned

    def _read_time(self, cleaned: dict[str, Any]) -> None:
        day, time = cleaned.get("taken_on"), cleaned.get("taken_time")
        if day is None or time is None:
            return
        try:
            self.taken_at = instant(day, time, zone=zone())
        except NoSuchTime as error:
            self.add_error("taken_time", str(error))
            return
        except OverflowError:
            self.add_error("taken_on", "There is no such day in this calendar.")
            return
        if self.taken_at > self.at:
            self.add_error("taken_time", "This is still to come.")

    def _takes(self, side: str, kind: MeasureKind) -> list[Decimal]:
        typed = (self.cleaned_data.get(field_name(side, kind, take)) for take in (1, 2, 3))
        return [value for value in typed if value is not None]

    @property
    def values(self) -> list[MeasureValue]:
        """Every take that was typed, numbered in order, after `is_valid`."""
        return [
            MeasureValue(side=side, name=kind.key, take=take, value_mm=value)
            for side, kind in _feet_and_kinds()
            for take, value in enumerate(self._takes(side, kind), start=1)
        ]

    @property
    def halves(self) -> list[Half]:
        """LEFT, then RIGHT, each measure in the order in which it is taken."""
        return [
            Half(
                side,
                [(group, [self._line(side, kind) for kind in MEASURES if kind.group is group]) for group in Group],
            )
            for side in SIDES
        ]

    def _line(self, side: Side, kind: MeasureKind) -> Line:
        third = self[field_name(side, kind, 3)] if kind.second_take else None
        is_asked = third is not None and ((side, kind.key) in self.asks_third or bool(third.value()) or third.errors)
        return Line(
            kind=kind,
            first=self[field_name(side, kind, 1)],
            second=self[field_name(side, kind, 2)] if kind.second_take else None,
            third=third if is_asked else None,
            last_time_mm=self.last_time[side].get(kind.key),
        )


def _feet_and_kinds() -> Iterator[tuple[Side, MeasureKind]]:
    return ((side, kind) for side in SIDES for kind in MEASURES)


def _measure_field(side: Side, kind: MeasureKind, take: int) -> MillimetreField:
    label = f"{side.label} {kind.label}{TAKE_WORDS[take]}"
    field = MillimetreField(label=label, required=False, above=measures.LEAST_MM, below=measures.MOST_MM, max_digits=6)
    field.widget.attrs["aria-label"] = f"{label}, mm"
    if take in TAKE_HINTS:
        field.widget.attrs["placeholder"] = TAKE_HINTS[take]
    return field
