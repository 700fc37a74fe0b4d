"""What the page shows of one block: LEFT and RIGHT side by side, each said in one line while the block is closed."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from django import forms

from cases.prescriptions.forms.blocks import Block, Section
from cases.prescriptions.forms.fields import EMPTY
from shared.sides import Side
from shared.workings import Workings

UNIT = re.compile(r" \((mm|°|%|g|g/m²)\)$")


@dataclass
class Half:
    """One block of one foot. `forms` are several only where a foot may have any number of that part."""

    side: Side
    forms: list[forms.Form]
    is_rows: bool = False
    workings: list[tuple[str, list[Workings]]] = field(default_factory=list)
    """By what they are of (a side of the foot, a length): what each choice would be by the measures and the last."""

    @property
    def is_there(self) -> bool:
        return any(bound.value() not in EMPTY for form in self.forms for bound in form)

    @property
    def has_errors(self) -> bool:
        return any(form.errors for form in self.forms)

    @property
    def says(self) -> str:
        """Everything that is filled in, in one line: each figure with its unit."""
        return "; ".join(line for form in self.forms if (line := ", ".join(_said(form))))


def _said(form: forms.Form) -> Iterator[str]:
    for name in form.fields:
        bound = form[name]
        value = bound.value()
        is_told_with_its_word = name.endswith("_mm") and name.removesuffix("_mm") in form.fields
        if value in EMPTY or is_told_with_its_word:
            continue
        words = str(bound.label)
        length = form[f"{name}_mm"].value() if f"{name}_mm" in form.fields else None
        yield _in_words(words, value, form.fields[name]) + ("" if length in EMPTY else f" {length} mm")


def _in_words(label: str, value: object, of: forms.Field) -> str:
    if value is True or value == "on":
        return label
    unit = UNIT.search(label)
    choices = {str(key): str(words) for key, words in getattr(of, "choices", ())}
    shown = choices.get(str(value), str(value))
    return f"{UNIT.sub('', label)} {shown}" + (f" {unit[1]}" if unit else "")


@dataclass
class BlockRow:
    """One block, LEFT and RIGHT side by side; a half is None where the work is not on that shoe."""

    block: Block
    left: Half | None
    right: Half | None

    @property
    def halves(self) -> list[Half]:
        return [half for half in (self.left, self.right) if half]

    @property
    def is_there(self) -> bool:
        """Whether anything of it is filled in, or it belongs to every shoe."""
        return not self.block.folded or any(half.is_there for half in self.halves)

    @property
    def is_open(self) -> bool:
        return any(half.has_errors for half in self.halves)

    @property
    def differ(self) -> list[str] | None:
        """The labels in which LEFT and RIGHT are not alike; None where there is nothing to hold side by side."""
        if self.left is None or self.right is None or "last" in self.block.fields:
            return None
        if len(self.left.forms) != len(self.right.forms):
            return ["their number"]
        labels: dict[str, None] = {}
        for left, right in zip(self.left.forms, self.right.forms, strict=True):
            for name in self.block.fields:
                if (left[name].value() or "") != (right[name].value() or ""):
                    labels[str(left[name].label)] = None
        return list(labels)


@dataclass
class SectionRows:
    section: Section
    rows: list[BlockRow]
