"""The whole page as one form: the pair, and each block of each section for LEFT and RIGHT."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import cached_property
from typing import Any

from django import forms
from django.db.models import Model, Q
from django.http import QueryDict

from cases.lasts.models import Last, MeasureSet
from cases.prescriptions.forms.blocks import NEEDED, SECTIONS, Block
from cases.prescriptions.forms.extent import Extent
from cases.prescriptions.forms.fields import EMPTY, form_class, kept, label_of, model_of, shown
from cases.prescriptions.forms.pair import PairForm
from cases.prescriptions.forms.rows import BlockRow, Half, SectionRows
from cases.prescriptions.given import SheetSettings, arcs_of
from cases.prescriptions.models import Foot, Insole, Prescription, Stiffener
from cases.prescriptions.parts import MANY, SINGLE, PartsOfFoot
from cases.prescriptions.reaches import WORDS, Arcs, ReachSettings, ReachWords, filled_in, reach_workings
from cases.prescriptions.starting_values import PartOfLast
from shared.sides import SIDES, Edge, Side
from shared.workings import Workings
from workshop.staff.models import Person

__all__ = ["Sheet", "label_of"]


class Sheet:
    """Reads and writes one draft. `data` is what a page sent; without it the sheet shows what is saved.

    `only` is for a page that sent no more than what changed: of the rest there is no form. `touched` is for a page that
    sent everything and says what somebody wrote on there: the rest is shown as it is saved. The workshop's figures are
    asked for once a part needs them.
    """

    def __init__(
        self,
        prescription: Prescription,
        *,
        settings: Callable[[], SheetSettings],
        data: QueryDict | None = None,
        only: Extent | None = None,
        touched: Extent | None = None,
    ) -> None:
        self.prescription = prescription
        self._settings = settings
        self.data = data
        self.only = only
        self.touched = touched
        has_pair = touched is None or touched.has_pair
        self.pair = (
            PairForm(prescription=prescription, data=data if has_pair else None)
            if only is None or only.has_pair
            else None
        )
        self.feet: dict[Side, Foot] = {Side(foot.side): foot for foot in prescription.foot_set.all()}
        self.sections = [
            SectionRows(section, [self._row(block) for block in section.blocks if self._is_asked(block)])
            for section in SECTIONS
        ]

    @cached_property
    def settings(self) -> SheetSettings:
        return self._settings()

    @cached_property
    def arcs(self) -> dict[Side, Arcs]:
        return self._arcs(self.prescription.measure_set)

    @cached_property
    def lasts(self) -> list[Last]:
        return list(Last.objects.filter(Q(owner=self.prescription.patient) | Q(owner__isnull=True)))

    def _is_asked(self, block: Block, *sides: Side) -> bool:
        return self.only is None or any(self.only.holds(side, block.part) for side in sides or SIDES)

    def _sent(self, block: Block, side: Side | str) -> QueryDict | None:
        """What the page sent, where it is about this part."""
        is_meant = self.touched is None or self.touched.holds(Side(side), block.part)
        return self.data if is_meant else None

    def _arcs(self, measure_set: MeasureSet | None) -> dict[Side, Arcs]:
        return arcs_of(measure_set, lasts={side: foot.last for side, foot in self.feet.items()})

    # What the page shows -------------------------------------------------------------------------------------

    def _row(self, block: Block) -> BlockRow:
        left, right = (
            self._half(block, side) if side in self.feet and self._is_asked(block, side) else None for side in SIDES
        )
        return BlockRow(block, left, right)

    def _half(self, block: Block, side: Side) -> Half:
        foot = self.feet[side]
        if block.part in MANY and not block.fixed:
            return Half(
                side,
                [self._form(block, side, row, nth) for nth, row in enumerate(self._rows(block, foot))],
                is_rows=True,
            )
        half = Half(side, [self._form(block, side, _row_of(block, foot))])
        if block.key == "stiffener":
            half.workings = [
                *_all_workings(self.arcs[side], self.settings.reaches),
                *_by_the_last(foot, "back height", self.settings.back_heights),
            ]
        if block.key == "puff":
            half.workings = _by_the_last(foot, "length", self.settings.puff_lengths)
        return half

    def _rows(self, block: Block, foot: Foot) -> Sequence[Model | None]:
        """The rows there are and an empty one; as many as the page sent, where it sent some."""
        there: list[Model | None] = [*foot.several(block.part, model_of(block.part))]
        data = self._sent(block, foot.side)
        if data is None:
            return [*there, None]
        first = block.fields[0]
        sent = 0
        while f"{foot.side}-{block.key}-{sent}-{first}" in data:
            sent += 1
        return [*there, *[None] * sent][:sent]

    def _form(self, block: Block, side: Side, row: Model | None, nth: int | None = None) -> forms.Form:
        initial = {name: shown(getattr(row, name), name=name) for name in block.fields} if row else {}
        prefix = f"{side}-{block.key}" + ("" if nth is None else f"-{nth}")
        form = form_class(block)(self._sent(block, side), prefix=prefix, initial=initial)
        if "last" in form.fields:
            named = row.last_id if isinstance(row, Foot) else None
            offered = [
                each for each in self.lasts if each.side == side and (each.pk == named or not each.not_used_because)
            ]
            choices = [(last.pk, f"{last}, {_stands(last)}") for last in offered]
            form.fields["last"] = forms.TypedChoiceField(
                label="built on", choices=[("", "—"), *choices], coerce=int, empty_value=None, required=False
            )
            form.initial["last"] = named
        return form

    # What the page sent --------------------------------------------------------------------------------------

    def is_valid(self) -> bool:
        """Whether all of it can be saved. Nothing need be complete before signing, but no part half said."""
        for _, form in self.each_form():
            form.is_valid()
        self._ask_what_is_needed()
        pair_is_valid = self.pair is None or self.pair.is_valid()
        return pair_is_valid and not any(form.errors for _, form in self.each_form())

    def each_form(self) -> Iterator[tuple[tuple[Block, Side], forms.Form]]:
        for section in self.sections:
            for row in section.rows:
                for half in row.halves:
                    for form in half.forms:
                        yield (row.block, half.side), form

    def _ask_what_is_needed(self) -> None:
        sent = [(where, form) for where, form in self.each_form() if form.is_bound]
        begun = {
            self._whose(block, side, form)
            for (block, side), form in sent
            if any(value not in EMPTY for value in form.cleaned_data.values())
        }
        for (block, side), form in sent:
            if self._whose(block, side, form) not in begun:
                continue
            for name in NEEDED.get(block.part, ()):
                if name in form.fields and name not in form.errors and form.cleaned_data.get(name) in EMPTY:
                    form.add_error(name, "Say this too, or empty everything of this part.")

    @staticmethod
    def _whose(block: Block, side: Side, form: forms.Form) -> tuple[str, str]:
        """Which part a form is about: blocks of one single part are about the same."""
        return (side, block.part) if block.part in SINGLE else (side, str(form.prefix))

    def fields(self, *, by: Person) -> dict[str, Any]:
        """What is said of the pair and can be saved. Who first writes an order from elsewhere down has taken it over."""
        said = dict(self.pair.cleaned_data) if self.pair else {}
        if "outside_author" in said:
            said["taken_over_by"] = (self.prescription.taken_over_by or by) if said["outside_author"] else None
        return said

    def waiting(self) -> set[tuple[Side, str]]:
        """The parts of a foot that cannot be saved as they stand: a figure cannot be, or a part is half said."""
        return {(side, block.part) for (block, side), form in self.each_form() if form.errors}

    def parts_that_can_be(self) -> dict[str, PartsOfFoot]:
        """What is said of each foot without the parts that wait: of those, what was saved before stays."""
        waiting = self.waiting()
        return {
            side: {name: values for name, values in parts.items() if (side, name) not in waiting}
            for side, parts in self.parts().items()
        }

    def parts(self) -> dict[str, PartsOfFoot]:
        """What is said of each foot, as the action takes it."""
        found: dict[str, dict[str, Any]] = {side: {} for side in self.feet}
        for (block, side), form in self.each_form():
            values = {
                name: kept(block.part, name, value) for name, value in form.cleaned_data.items() if name != "last"
            }
            is_there = any(value not in EMPTY for value in form.cleaned_data.values())
            of_side = found[side]
            if block.part == "foot":
                of_side.setdefault("foot", {}).update(values | self._chosen_last(form))
            elif block.part in MANY:
                of_side.setdefault(block.part, []).extend([{**block.fixed, **values}] if is_there else [])
            else:
                values_so_far, there_so_far = of_side.get(block.part, ({}, False))
                of_side[block.part] = ({**values_so_far, **values}, there_so_far or is_there)
        return {side: self._settled(side, of_side) for side, of_side in found.items()}

    def _chosen_last(self, form: forms.Form) -> dict[str, Last | None]:
        if "last" not in form.cleaned_data:
            return {}
        by_pk = {last.pk: last for last in self.lasts}
        return {"last": by_pk.get(form.cleaned_data["last"])}

    def _settled(self, side: Side | str, of_side: Mapping[str, Any]) -> PartsOfFoot:
        """Single parts as values or None, with what was left to be worked out or to the workshop's own figures."""
        settled = dict(of_side)
        for name in SINGLE.keys() & settled.keys():
            values, is_there = settled[name]
            settled[name] = values if is_there else None
        waiting = {name for of_side_waiting, name in self.waiting() if of_side_waiting == side}
        if settled.get("stiffener") is not None and "stiffener" not in waiting:
            settled["stiffener"] = self._with_reaches(Side(side), settled["stiffener"])
        if settled.get("insole") is not None and "insole" not in waiting:
            settled["insole"] = self._with_its_scoured_zone(Side(side), settled["insole"])
        return settled

    def _with_its_scoured_zone(self, side: Side, values: Mapping[str, Any]) -> Mapping[str, Any]:
        before = self.feet[side].one("insole", Insole)
        was_scoured = before is not None and before.scoured_to_mm is not None
        if values["scoured_to_mm"] is None or was_scoured:
            return values
        return self.settings.scoured_zone.laid_round(values)

    def _with_reaches(self, side: Side, values: Mapping[str, Any]) -> dict[str, Any]:
        said = self.pair.cleaned_data if self.pair else {}
        measure_set: MeasureSet | None = said.get("measure_set", self.prescription.measure_set)
        arcs = self.arcs if measure_set == self.prescription.measure_set else self._arcs(measure_set)
        before = self.feet[side].one("stiffener", Stiffener)
        words = ReachWords(medial=values["medial_reach"], lateral=values["lateral_reach"])
        worked_out = {
            f"{edge}_reach_mm": filled_in(
                values[f"{edge}_reach_mm"],
                edge=edge,
                words=words,
                before=ReachWords(before.medial_reach, before.lateral_reach) if before else None,
                before_mm=getattr(before, f"{edge}_reach_mm", None),
                arcs=arcs[side],
                settings=self.settings.reaches,
            )
            for edge in Edge
        }
        return {**values, **worked_out}

    # What is wrong, and what differs from what somebody else saved ---------------------------------------------

    def errors(self) -> list[tuple[str, str, str]]:
        """The id to go to, where it is in words, and what is wrong."""
        found = _errors_of(self.pair, "The pair") if self.pair else []
        for (block, side), form in self.each_form():
            found += _errors_of(form, f"{side.label}, {block.title}")
        return found

    def settled_otherwise(self, sent: "Sheet") -> list[tuple[str, str]]:
        """What is saved now where the page shows another value: worked out, or written as the workshop writes it.

        Parts that wait keep what the page shows, and so do parts of which a foot may have any number of rows.
        """
        waiting = sent.waiting()
        shown_there = {form.prefix: form for _, form in sent.each_form()}
        found = []
        for (block, side), form in self.each_form():
            before = shown_there.get(form.prefix)
            if before is None or (side, block.part) in waiting or (block.part in MANY and not block.fixed):
                continue
            for name in form.fields:
                now, then = form[name].value(), before[name].value()
                if not isinstance(now, bool) and str(now or "") != str(then or ""):
                    found.append((form[name].html_name, str(now or "")))
        return found

    def rows_against_saved(self) -> list[tuple[str, str, str]]:
        """What is saved beside what this page sent, in words, where they are not the same."""
        found = _against_saved(self.pair, "The pair") if self.pair and self.pair.is_bound else []
        for (block, side), form in self.each_form():
            if form.is_bound:
                found += _against_saved(form, f"{side.label}, {block.title}")
        return found


def _row_of(block: Block, foot: Foot) -> Model | None:
    if block.part == "foot":
        return foot
    if block.part in SINGLE:
        return foot.one(block.part, model_of(block.part))
    (name, value), *_ = block.fixed.items()
    return next((row for row in foot.several(block.part, model_of(block.part)) if getattr(row, name) == value), None)


CHOICES: dict[Edge, tuple[ReachWords, ...]] = {
    Edge.MEDIAL: (*(ReachWords(medial=word, lateral="none") for word in WORDS), ReachWords("short", "short")),
    Edge.LATERAL: tuple(ReachWords(medial="none", lateral=word) for word in WORDS),
}
"""What may be chosen for each side of a foot, as far as it makes another reach."""


def _all_workings(arcs: Arcs, settings: ReachSettings) -> list[tuple[str, list[Workings]]]:
    found = []
    for edge, choices in CHOICES.items():
        sheets = [reach_workings(words, edge=edge, arcs=arcs, settings=settings) for words in choices]
        there = [sheet for sheet in sheets if sheet]
        if there:
            found.append((str(edge), there))
    return found


def _stands(last: Last) -> str:
    return f"not to be used: {last.not_used_because}" if last.not_used_because else last.place


def _by_the_last(foot: Foot, what: str, parts: Sequence[PartOfLast]) -> list[tuple[str, list[Workings]]]:
    if foot.last is None:
        return []
    return [(what, [part.workings(last_length_mm=foot.last.length_mm) for part in parts])]


def _errors_of(form: forms.Form, where: str) -> list[tuple[str, str, str]]:
    return [
        (str(form[name].id_for_label), f"{where}, {form[name].label}", str(error))
        for name, errors in form.errors.items()
        for error in errors
    ]


def _against_saved(form: forms.Form, where: str) -> list[tuple[str, str, str]]:
    rows = []
    for name in form.changed_data:
        choices = dict(getattr(form.fields[name], "choices", ()))
        bound = form[name]
        theirs, yours = (_in_words(value, choices) for value in (bound.initial, form.cleaned_data.get(name)))
        if theirs != yours:
            rows.append((f"{where}, {bound.label}", theirs, yours))
    return rows


def _in_words(value: Any, choices: Mapping[Any, Any]) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if value in {None, ""}:
        return "nothing"
    return str(choices.get(value, shown(value)))
