"""The form of one sitting of measuring: both feet, two takes where the tape is least sure."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime, time
from decimal import Decimal
from functools import cached_property
from typing import Any

from django import forms
from django.utils import timezone

from cases.diary.clock import NoSuchTime, instant
from cases.diary.models import Visit
from cases.diary.queries import zone
from cases.lasts import measures, queries, slips
from cases.lasts.actions import Answered, BulgeValue, LegValue, MeasureValue
from cases.lasts.forms import measuring_rows as rows
from cases.lasts.forms.fields import LONGEST_TEXT, MillimetreField, OneOfTheVisits, PersonChoice, day_field, text_area
from cases.lasts.forms.measuring_page import AskedNow, Half, Line
from cases.lasts.measures import MEASURES, Group, MeasureKind
from cases.lasts.models import Answer, Load, MeasureSet, Method
from cases.lasts.slips import WIDER_THIRD_TAKE, Known, MeasureAgain
from shared.sides import SIDES, Side
from shared.units import Unit
from workshop.staff.models import Person

TAKE_WORDS = {1: "", 2: ", second take", 3: ", third take"}
TAKE_HINTS = {2: "2nd", 3: "3rd"}
UNITS = [(Unit.MM.value, "mm"), (Unit.INCH.value, "inches")]

Conditions = Mapping[Side, frozenset[str]]
"""The keys of what is recorded of each foot."""


def field_name(side: str, kind: MeasureKind, take: int) -> str:
    return f"{side}-{kind.key}-{take}"


class MeasuringForm(forms.Form):
    """Method, load, heel height, time and who once for the sitting; then the measures. `taken_at` stands after `is_valid`."""

    method = forms.ChoiceField(choices=Method.choices)
    load = forms.ChoiceField(choices=[("", "say which"), *Load.choices])
    heel_height_mm = MillimetreField(
        label="heel height it is taken at, mm", min_value=0, max_value=120, help_text="0 where the foot stands flat."
    )
    taken_on = day_field(label="taken on")
    taken_time = forms.TimeField(label="at", widget=forms.TimeInput(format="%H:%M", attrs={"type": "time"}))
    unit = forms.ChoiceField(label="a figure without its unit is in", choices=UNITS, required=False)
    note = forms.CharField(required=False, max_length=LONGEST_TEXT, widget=text_area())
    two_takes_stand = forms.BooleanField(label="No third take: the two stand as they are", required=False)

    taken_at: datetime | None = None

    def __init__(
        self,
        *args: Any,
        visits: Sequence[Visit],
        people: Sequence[Person],
        previous: MeasureSet | None,
        conditions: Conditions,
        third_above_mm: Decimal,
        third_above_swollen_mm: Decimal,
        at: datetime,
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.at, self.previous, self.conditions = at, previous, conditions
        self.third_above_mm = {
            side: third_above_swollen_mm if conditions[side] & WIDER_THIRD_TAKE else third_above_mm for side in SIDES
        }
        self.asks_third: set[tuple[str, str]] = set()
        self.legs: list[LegValue] = []
        self.bulges: list[BulgeValue] = []
        self.differing: dict[str, dict[str, Any]] = {}
        self.last_time = {side: queries.values_of(previous, side) if previous else {} for side in SIDES}
        self.fields["visit"] = OneOfTheVisits(label="visit", visits=visits)
        self.fields["taken_by"] = PersonChoice(label="taken by", people=people, nobody="me")
        for side, kind in _feet_and_kinds():
            for take in (1, 2, 3) if kind.second_take else (1,):
                self.fields[field_name(side, kind, take)] = _measure_field(side, kind, take)
        self.fields |= rows.row_fields(people)
        if self["unit"].value() == Unit.INCH.value:
            self._read_in_inches()

    def _read_in_inches(self) -> None:
        """A figure without a unit is in inches, also the heel's; the keys of the tablet then need a stroke and a space."""
        for field in self.fields.values():
            if isinstance(field, MillimetreField):
                field.bare = Unit.INCH
                field.widget.attrs["inputmode"] = "text"

    @staticmethod
    def first_entries(previous: MeasureSet | None, *, visit: Visit | None, at: datetime) -> dict[str, Any]:
        """What the form begins with: now, at this visit, measured the same way as last time."""
        local = timezone.localtime(at)
        begin: dict[str, Any] = {"taken_on": local.date(), "taken_time": local.time(), "method": Method.TAPE}
        if visit is not None:
            begin["visit"] = visit.uuid
        if previous is not None:
            heel = f"{previous.heel_height_mm.normalize():f} mm"
            begin |= {"method": previous.method, "load": previous.load, "heel_height_mm": heel}
        return begin

    # Reading -----------------------------------------------------------------------------------------------

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        self._read_time(cleaned)
        self.legs = rows.legs_of(cleaned, self._complain)
        self.bulges = rows.bulges_of(cleaned, self._complain)
        taken = {f"{side}-{kind.key}" for side, kind in _feet_and_kinds() if self._takes(side, kind)}
        self.differing = rows.differing_of(cleaned, self._complain, taken=taken, moment=self._moment)
        if not (taken or self.legs or self.bulges) and not any("-" in name for name in self.errors):
            self.add_error(None, "Nothing was measured yet: type at least one measure.")
        self._ask_for_third_takes(cleaned)
        return cleaned

    def _complain(self, name: str, sentence: str) -> None:
        if name not in self.errors:
            self.add_error(name, sentence)

    def _read_time(self, cleaned: dict[str, Any]) -> None:
        day, clock = cleaned.get("taken_on"), cleaned.get("taken_time")
        if day is None or clock is None:
            return
        try:
            self.taken_at = instant(day, clock, zone=zone())
        except NoSuchTime as error:
            self.add_error("taken_time", str(error))
            return
        except OverflowError:
            self.add_error("taken_on", "There is no such day in this calendar.")
            return
        if self.taken_at > self.at:
            self.add_error("taken_time", "This is still to come.")

    def _moment(self, clock: time) -> datetime | None:
        """A time of the sitting's day; the sitting's own where the clocks skip it, and never a time to come."""
        day = self.cleaned_data.get("taken_on")
        if day is None or self.taken_at is None:
            return None
        try:
            return min(instant(day, clock, zone=zone()), self.at)
        except (NoSuchTime, OverflowError):
            return self.taken_at

    def _ask_for_third_takes(self, cleaned: dict[str, Any]) -> None:
        for side, kind in _feet_and_kinds():
            takes = self._takes(side, kind)
            if kind.second_take and measures.asks_third_take(takes, above_mm=self.third_above_mm[side]):
                self.asks_third.add((side, kind.key))
                if not cleaned.get("two_takes_stand"):
                    apart = f"The two takes are {_plain(abs(takes[0] - takes[1]))} mm apart: take it once more."
                    self._complain(field_name(side, kind, 3), apart)

    def _takes(self, side: str, kind: MeasureKind) -> list[Decimal]:
        entries = getattr(self, "cleaned_data", {})
        typed = (entries.get(field_name(side, kind, take)) for take in (1, 2, 3))
        return [value for value in typed if value is not None]

    @property
    def values(self) -> list[MeasureValue]:
        """Every take that was typed, numbered in order, after `is_valid`."""
        return [
            MeasureValue(
                side=side, name=kind.key, take=take, value_mm=value, **self.differing.get(f"{side}-{kind.key}", {})
            )
            for side, kind in _feet_and_kinds()
            for take, value in enumerate(self._takes(side, kind), start=1)
        ]

    # Asking ------------------------------------------------------------------------------------------------

    @cached_property
    def questions(self) -> tuple[MeasureAgain, ...]:
        """What had better be measured again of what can be read so far, after `is_valid`."""
        return slips.measure_slips(
            left=self._values_of(Side.LEFT),
            right=self._values_of(Side.RIGHT),
            left_known=self._known(Side.LEFT),
            right_known=self._known(Side.RIGHT),
        )

    def _values_of(self, side: Side) -> dict[str, Decimal]:
        takes = {kind.key: self._takes(side, kind) for kind in MEASURES}
        return {key: measures.value_of(of_one) for key, of_one in takes.items() if of_one}

    def _known(self, side: Side) -> Known:
        entries = getattr(self, "cleaned_data", {})
        differs = self.differing.get(f"{side}-short_heel_girth", {})
        raised_mm = differs.get("heel_height_mm", entries.get("heel_height_mm")) or Decimal(0)
        before = queries.comparable_values(self.previous, side, load=entries.get("load", ""), heel_height_mm=raised_mm)
        return slips.known_of(self.conditions[side], before=before, short_heel_raised_mm=raised_mm)

    @property
    def asked(self) -> list[AskedNow]:
        """The questions with what is answered so far; nothing is asked of a form that was not filled."""
        if not self.is_bound:
            return []
        return [AskedNow(each, self.data.get(f"answer-{each.key}", "")) for each in self.questions]

    @property
    def answers(self) -> list[Answered]:
        """The answers to keep, after `is_valid`."""
        return [Answered(each.question, each.chosen) for each in self.asked if each.chosen in Answer.values]

    # Showing -----------------------------------------------------------------------------------------------

    @property
    def halves(self) -> list[Half]:
        """LEFT, then RIGHT, each measure in the order in which it is taken."""
        return [self._half(side) for side in SIDES]

    def _half(self, side: Side) -> Half:
        lines = [self._line(side, number, kind) for number, kind in enumerate(MEASURES, start=1)]
        return Half(
            side,
            groups=[(group, [line for line in lines if line.kind.group is group]) for group in Group],
            legs=rows.bound_rows(self, lambda row, part: rows.leg_name(side, row, part), rows.LEG, rows.LEG_ROWS),
            bulges=rows.bound_rows(
                self, lambda row, part: rows.bulge_name(side, row, part), rows.BULGE, rows.BULGE_ROWS
            ),
        )

    def _line(self, side: Side, number: int, kind: MeasureKind) -> Line:
        third = self[field_name(side, kind, 3)] if kind.second_take else None
        is_asked = third is not None and ((side, kind.key) in self.asks_third or bool(third.value()) or third.errors)
        takes = self._takes(side, kind)
        asked = [each.question for each in self.asked if kind.key == each.question.keys[0]]
        return Line(
            side=side,
            kind=kind,
            number=number,
            first=self[field_name(side, kind, 1)],
            second=self[field_name(side, kind, 2)] if kind.second_take else None,
            third=third if is_asked else None,
            last_time_mm=self.last_time[side].get(kind.key),
            converted_mm=self._converted(side, kind),
            apart_mm=max(takes) - min(takes) if len(takes) > 1 else None,
            questions=[each for each in asked if each.side in {side, ""}],
        )

    def _converted(self, side: Side, kind: MeasureKind) -> list[Decimal]:
        """The takes that were typed in another unit than mm, to be shown back in mm."""
        if not self.is_bound:
            return []
        names = [field_name(side, kind, take) for take in (1, 2, 3)]
        fields = {name: self.fields[name] for name in names if name in self.fields}
        return [
            self.cleaned_data[name]
            for name, field in fields.items()
            if isinstance(field, MillimetreField)
            and self.cleaned_data.get(name) is not None
            and field.was_converted(self.data.get(name, ""))
        ]

    @property
    def differing_rows(self) -> list[dict[str, Any]]:
        return rows.bound_rows(self, rows.differing_name, rows.DIFFERING, rows.DIFFERING_ROWS)

    @property
    def has_differing(self) -> bool:
        return any(field.value() or field.errors for row in self.differing_rows for field in row.values())


def _feet_and_kinds() -> Iterator[tuple[Side, MeasureKind]]:
    return ((side, kind) for side in SIDES for kind in MEASURES)


def _measure_field(side: Side, kind: MeasureKind, take: int) -> MillimetreField:
    label = f"{side.label} {kind.label}{TAKE_WORDS[take]}"
    field = MillimetreField(label=label, required=False, above=measures.LEAST_MM, below=measures.MOST_MM, max_digits=6)
    field.widget.attrs["aria-label"] = f"{label}, mm"
    if take in TAKE_HINTS:
        field.widget.attrs["placeholder"] = TAKE_HINTS[take]
    return field


def _plain(value: Decimal) -> str:
    return f"{value.normalize():f}"
