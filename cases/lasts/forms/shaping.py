"""What a last must become, the patches on it, its bottom and its deformities. What is refused comes back as typed."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.forms import BoundField
from django.utils import timezone

from cases.lasts.actions import BottomSeen, TargetFoot
from cases.lasts.forms.fields import LONGEST_TEXT, MillimetreField, text_area
from cases.lasts.models import (
    BottomPart,
    FootwearKind,
    Handled,
    Hose,
    Last,
    LastTarget,
    MeasureSet,
    PatchWork,
    Verdict,
)
from cases.lasts.stations import STATIONS
from cases.patients.models import Finding, Flexibility
from shared.sides import Side


class SignedMillimetreField(MillimetreField):
    """A length that is added, or taken off where a minus stands before it."""

    def to_python(self, value: Any) -> Any:
        if isinstance(value, str) and value.strip()[:1] in {"-", "\u2212"}:
            length = super().to_python(value.strip()[1:])
            return None if length is None else -length
        return super().to_python(value)


class SittingChoice(forms.ModelChoiceField):  # type: ignore[type-arg]  # has no parameter at run time
    """A sitting of measuring, by its day and how it was taken."""

    def label_from_instance(self, obj: Any) -> str:
        day = timezone.localdate(obj.taken_at)
        return f"{day:%a} {day.day} {day:%b %Y}, {obj.get_load_display()}, heel {obj.heel_height_mm.normalize():f} mm"


@dataclass(frozen=True)
class TargetHalf:
    """One last's half of the form."""

    last: Last
    is_set: BoundField | None
    swelling: BoundField
    inlay: BoundField
    own: Sequence[BoundField]
    note: BoundField
    seen: str
    """The target that counted when the form was shown, by its uuid; empty where there was none."""

    @property
    def side(self) -> Side:
        return Side(self.last.side)


class TargetForm(forms.Form):
    """The target of the lasts under one number: the same sitting, footwear and hose for both, the rest for each."""

    measure_set = SittingChoice(
        label="measured", queryset=MeasureSet.objects.none(), to_field_name="uuid", empty_label=None
    )
    footwear_kind = forms.ChoiceField(label="footwear", choices=[("", "say which"), *FootwearKind.choices])
    hose = forms.ChoiceField(choices=Hose.choices)
    light_upper = forms.BooleanField(label="Light upper", required=False)

    def __init__(
        self,
        *args: Any,
        lasts: Sequence[Last],
        sittings: QuerySet[MeasureSet],
        earlier: Mapping[int, LastTarget | None],
        **kwargs: Any,
    ) -> None:
        super().__init__(*args, **kwargs)
        self.lasts = sorted(lasts, key=lambda last: last.side)
        self.sittings = list(sittings)
        self.seen = {Side(last.side): self._seen(last, earlier.get(last.pk)) for last in self.lasts}
        field: Any = self.fields["measure_set"]
        field.queryset = sittings
        # Said from what was read already: the field would ask the database again.
        field.choices = [(each.uuid, field.label_from_instance(each)) for each in self.sittings]
        for last in self.lasts:
            self._add_half(last, earlier.get(last.pk))
        latest = max((each for each in earlier.values() if each), key=lambda each: each.pk, default=None)
        self.initial = {"hose": Hose.NORMAL, **(self._of_both(latest) if latest else {}), **self.initial}

    def _seen(self, last: Last, earlier: LastTarget | None) -> str:
        if self.is_bound:
            return str(self.data.get(f"{last.side}-seen", ""))
        return str(earlier.uuid) if earlier else ""

    def _of_both(self, target: LastTarget) -> dict[str, Any]:
        return {"footwear_kind": target.footwear_kind, "hose": target.hose, "light_upper": target.light_upper}

    def _add_half(self, last: Last, earlier: LastTarget | None) -> None:
        side = Side(last.side)
        begins = {
            "swelling_mm": f"{earlier.swelling_mm.normalize():f}" if earlier else "0",
            "inlay_mm": f"{earlier.inlay_mm.normalize():f}" if earlier else "0",
            "note": earlier.note if earlier else "",
        }
        if len(self.lasts) > 1:
            self.fields[f"{side}-is_set"] = forms.BooleanField(
                label=f"Set the target of the {side.label} last", required=False, initial=True
            )
        self.fields[f"{side}-swelling_mm"] = MillimetreField(
            label=f"{side.label} swelling, at each girth, mm", min_value=0, max_value=60, max_digits=4, required=False
        )
        self.fields[f"{side}-inlay_mm"] = MillimetreField(
            label=f"{side.label} removable inlay, thickness, mm",
            min_value=0,
            max_value=30,
            max_digits=4,
            required=False,
        )
        for station in STATIONS:
            self.fields[_own(side, station.key)] = SignedMillimetreField(
                label=f"{side.label} {station.label}, mm", min_value=-60, max_value=60, max_digits=4, required=False
            )
            begins[f"own-{station.key}"] = (
                f"{earlier.own_mm[station.key]:g}" if earlier and station.key in earlier.own_mm else ""
            )
        self.fields[f"{side}-note"] = forms.CharField(
            label=f"{side.label} note: why something of your own is added",
            required=False,
            max_length=LONGEST_TEXT,
            widget=text_area(),
        )
        for name, value in begins.items():
            self.fields[f"{side}-{name}"].initial = value

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if len(self.lasts) > 1 and not any(cleaned.get(f"{last.side}-is_set") for last in self.lasts):
            self.add_error(None, "Say for which last the target is.")
        return cleaned

    @property
    def feet(self) -> list[TargetFoot]:
        """The lasts whose target is set, after `is_valid`."""
        return [self._foot(last) for last in self.lasts if self.cleaned_data.get(f"{last.side}-is_set", True)]

    def _foot(self, last: Last) -> TargetFoot:
        def typed(name: str) -> Decimal:
            return self.cleaned_data.get(name) or Decimal(0)

        return TargetFoot(
            last=last,
            swelling_mm=typed(f"{last.side}-swelling_mm"),
            inlay_mm=typed(f"{last.side}-inlay_mm"),
            own_mm={station.key: typed(_own(last.side, station.key)) for station in STATIONS},
            note=self.cleaned_data.get(f"{last.side}-note", ""),
            seen=self.seen[Side(last.side)],
        )

    def beside(self, target: LastTarget) -> list[tuple[str, str, str]]:
        """What somebody else set beside what was typed here, in words, where they differ; after `is_valid`."""
        side = target.last.side
        theirs: dict[str, Any] = {"measure_set": target.measure_set, "footwear_kind": target.footwear_kind}
        theirs |= {"hose": target.hose, "light_upper": target.light_upper, f"{side}-note": target.note}
        theirs |= {f"{side}-swelling_mm": target.swelling_mm, f"{side}-inlay_mm": target.inlay_mm}
        theirs |= {_own(side, each.key): Decimal(str(target.own_mm.get(each.key, 0))) for each in STATIONS}
        rows = []
        for name, other in theirs.items():
            yours = self.cleaned_data.get(name)
            yours = Decimal(0) if yours is None and isinstance(other, Decimal) else yours
            if yours != other:
                rows.append((str(self[name].label), self._in_words(name, other), self._in_words(name, yours)))
        return rows

    def _in_words(self, name: str, value: Any) -> str:
        field: Any = self.fields[name]
        if isinstance(value, MeasureSet):
            return str(field.label_from_instance(value))
        if isinstance(value, bool):
            return "yes" if value else "no"
        if isinstance(value, Decimal):
            return f"{value.normalize():f}"
        return str(dict(getattr(field, "choices", ())).get(value, value))

    @property
    def same(self) -> dict[str, Any]:
        """What both have in common, after `is_valid`."""
        return {name: self.cleaned_data[name] for name in ("measure_set", "footwear_kind", "hose", "light_upper")}

    @property
    def halves(self) -> list[TargetHalf]:
        """LEFT, then RIGHT."""
        return [
            TargetHalf(
                last=last,
                is_set=self[f"{last.side}-is_set"] if len(self.lasts) > 1 else None,
                swelling=self[f"{last.side}-swelling_mm"],
                inlay=self[f"{last.side}-inlay_mm"],
                own=[self[_own(last.side, station.key)] for station in STATIONS],
                note=self[f"{last.side}-note"],
                seen=self.seen[Side(last.side)],
            )
            for last in self.lasts
        ]


def _own(side: str, station: str) -> str:
    return f"{side}-own-{station}"


class PatchForm(forms.Form):
    """A place to be built up or taken down."""

    work = forms.ChoiceField(label="what is done", choices=PatchWork.choices)
    station = forms.ChoiceField(
        required=False, choices=[("", "between stations"), *((each.key, each.label) for each in STATIONS)]
    )
    place = forms.CharField(
        label="where it lies", max_length=120, help_text="Medial, lateral, over the top; how far from the heel."
    )
    height_mm = MillimetreField(label="height at its highest, mm", above=Decimal(0), max_value=60, max_digits=4)
    length_mm = MillimetreField(label="length along the last, mm", above=Decimal(0), max_value=400, required=False)
    width_mm = MillimetreField(label="width across it, mm", above=Decimal(0), max_value=300, required=False)
    feather_mm = MillimetreField(label="feathered edge, mm", min_value=0, max_value=60, max_digits=4, required=False)
    material = forms.CharField(
        required=False, max_length=60, help_text="Cork, leather, filler. Empty where taken down."
    )


@dataclass(frozen=True)
class BottomLine:
    """One part of the bottom as the form shows it."""

    part: str
    verdict: BoundField
    off_by: BoundField
    note: BoundField


class BottomForm(forms.Form):
    """The bottom of a last held against the cast, part by part."""

    by_gauge = forms.ChoiceField(
        label="looked at", choices=[("eye", "by eye"), ("gauge", "by gauge")], widget=forms.RadioSelect, initial="eye"
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        for part in BottomPart:
            key = part.name.lower()
            self.fields[f"{key}-verdict"] = forms.ChoiceField(
                label=f"{part.label}: how it lies", required=False, choices=[("", "not looked at"), *Verdict.choices]
            )
            self.fields[f"{key}-off_by_mm"] = MillimetreField(
                label=f"{part.label}: off by, mm", above=Decimal(0), max_value=40, max_digits=4, required=False
            )
            self.fields[f"{key}-note"] = forms.CharField(label=f"{part.label}: where", required=False, max_length=200)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        for part in BottomPart:
            key = part.name.lower()
            if not cleaned.get(f"{key}-verdict") and (cleaned.get(f"{key}-off_by_mm") or cleaned.get(f"{key}-note")):
                self.add_error(f"{key}-verdict", "Say how it lies.")
        return cleaned

    @property
    def seen(self) -> list[BottomSeen]:
        """The parts that were looked at, after `is_valid`."""
        keys = [(part, part.name.lower()) for part in BottomPart]
        return [
            BottomSeen(
                part=part,
                verdict=self.cleaned_data[f"{key}-verdict"],
                off_by_mm=self.cleaned_data[f"{key}-off_by_mm"],
                note=self.cleaned_data[f"{key}-note"],
            )
            for part, key in keys
            if self.cleaned_data[f"{key}-verdict"]
        ]

    @property
    def lines(self) -> list[BottomLine]:
        return [
            BottomLine(
                part=part.label,
                verdict=self[f"{part.name.lower()}-verdict"],
                off_by=self[f"{part.name.lower()}-off_by_mm"],
                note=self[f"{part.name.lower()}-note"],
            )
            for part in BottomPart
        ]


@dataclass(frozen=True)
class DeformityLine:
    """One deformity of the foot as the form shows it."""

    finding: Finding
    handled: BoundField
    note: BoundField
    although_fixed: BoundField | None


class DeformitiesForm(forms.Form):
    """For each deformity of the foot: whether the last makes room for it or corrects it."""

    def __init__(self, *args: Any, findings: Sequence[Finding], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.findings = findings
        for finding in findings:
            said: Any = finding
            key = str(finding.uuid)
            self.fields[f"{key}-handled"] = forms.ChoiceField(
                label=f"{finding}: on this last",
                required=False,
                choices=[("", "not said yet"), *Handled.choices],
                initial=said.handled or "",
            )
            self.fields[f"{key}-note"] = forms.CharField(
                label=f"{finding}: how", required=False, max_length=200, initial=said.handled_note or ""
            )
            if finding.flexibility == Flexibility.FIXED:
                self.fields[f"{key}-although_fixed"] = forms.BooleanField(
                    label=f"{finding}: fixed, and corrected all the same", required=False
                )

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or self.cleaned_data
        if any(name.endswith("-handled") and self.data[name] and name not in self.fields for name in self.data):
            self.add_error(
                None, "A deformity that you answered was ended since. Look at the others and save them again."
            )
        for finding in self.findings:
            said: Any = finding
            key = str(finding.uuid)
            corrects_fixed = finding.flexibility == Flexibility.FIXED and cleaned.get(f"{key}-handled") == "corrected"
            if corrects_fixed and not (cleaned.get(f"{key}-although_fixed") and cleaned.get(f"{key}-note")):
                self.add_error(
                    f"{key}-handled",
                    "It was found to be fixed: a last makes room for it. Is it to be corrected all the same?"
                    " Then tick that, and say why.",
                )
            if not cleaned.get(f"{key}-handled") and (cleaned.get(f"{key}-note") or said.handled):
                self.add_error(f"{key}-handled", "Say whether the last makes room for it or corrects it.")
        return cleaned

    @property
    def answers(self) -> list[tuple[Finding, dict[str, Any]]]:
        """What was said anew, after `is_valid`."""
        found = []
        for finding in self.findings:
            said: Any = finding
            handled = self.cleaned_data[f"{finding.uuid}-handled"]
            note = self.cleaned_data[f"{finding.uuid}-note"]
            if handled and (handled, note) != (said.handled, said.handled_note):
                although = self.cleaned_data.get(f"{finding.uuid}-although_fixed", False)
                found.append((finding, {"handled": handled, "note": note, "although_fixed": although}))
        return found

    @property
    def lines(self) -> list[DeformityLine]:
        return [
            DeformityLine(
                finding=finding,
                handled=self[f"{finding.uuid}-handled"],
                note=self[f"{finding.uuid}-note"],
                although_fixed=self[f"{finding.uuid}-although_fixed"]
                if f"{finding.uuid}-although_fixed" in self.fields
                else None,
            )
            for finding in self.findings
        ]
