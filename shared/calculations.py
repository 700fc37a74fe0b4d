"""One registry of everything that is worked out, for the calculators page and the command line alike.

A room lists its own in `calculations.py`; a page above the rooms joins them. Pure: no Django, no database.
"""

import json
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Any

from shared.workings import Workings


class BadInput(ValueError):
    """An input that cannot be: says which, what was given, what is allowed."""

    def __init__(
        self,
        name: str,
        given: object,
        *,
        least: float | None = None,
        most: float | None = None,
        unit: str = "mm",
        allowed: str = "",
    ) -> None:
        said = f"{given:g} {unit}".rstrip() if isinstance(given, int | float) else _short(given)
        if least is not None and most is not None:
            allowed = f"{least:g} to {most:g} {unit}".rstrip()
        super().__init__(f"{name} is {said}; allowed is {allowed}")
        self.name = name


def check_within(name: str, value: float, least: float, most: float, *, unit: str = "mm") -> None:
    """Refuse a figure that is none, or lies beyond its bounds. Raises `BadInput`."""
    if not (math.isfinite(value) and least <= value <= most):
        raise BadInput(name, value, least=round(least, 2), most=round(most, 2), unit=unit)


class Kind(Enum):
    """What an input is made of."""

    NUMBER = "number"
    WHOLE = "whole number"
    CHOICE = "one of a list"
    YES_NO = "yes or no"
    TABLE = "JSON"


class Required(Enum):
    """An input that has no value of its own."""

    REQUIRED = "required"


REQUIRED = Required.REQUIRED


@dataclass(frozen=True)
class Input:
    """One input. `setting` names the workshop's dated figure that stands in where nothing is given."""

    name: str
    words: str
    unit: str = "mm"
    kind: Kind = Kind.NUMBER
    choices: tuple[str, ...] = ()
    default: object = REQUIRED
    setting: str = ""
    example: str = ""
    """What a person may try it with, as it is typed."""

    @property
    def is_required(self) -> bool:
        return self.default is REQUIRED and not self.setting

    def read(self, typed: str) -> object:
        """The value a person typed. Raises `BadInput`."""
        text = typed.strip()
        if self.kind is Kind.TABLE:
            return self._read_table(text)
        if self.kind is Kind.CHOICE:
            if text not in self.choices:
                raise BadInput(self.name, text, allowed=", ".join(self.choices))
            return text
        if self.kind is Kind.YES_NO:
            if text not in {"yes", "no"}:
                raise BadInput(self.name, text, allowed="yes or no")
            return text == "yes"
        return self._read_number(text)

    def _read_number(self, text: str) -> float | int:
        try:
            value = float(text.replace(",", "."))
        except ValueError:
            value = math.nan
        if not math.isfinite(value) or "_" in text:
            raise BadInput(self.name, text, allowed=f"a number{f' in {self.unit}' if self.unit else ''}")
        if self.kind is not Kind.WHOLE:
            return value
        if not value.is_integer():
            raise BadInput(self.name, text, allowed="a whole number")
        return int(value)

    def _read_table(self, text: str) -> object:
        try:
            return json.loads(text, parse_constant=_no_constant)
        except (ValueError, RecursionError):
            raise BadInput(self.name, text, allowed=f"JSON such as {self.example}") from None


@dataclass(frozen=True)
class Output:
    name: str
    words: str
    unit: str = "mm"


@dataclass(frozen=True)
class Worked:
    """What came out: figures by the names of the outputs, in full precision, and the sheets behind them."""

    figures: Mapping[str, Any]
    sheets: tuple[Workings, ...]


@dataclass(frozen=True)
class Calculation:
    """One named calculation. `work` takes the inputs by their names and raises `BadInput`.

    Where it asks for more of the workshop's figures than single inputs stand for, `also` names them: `work` then
    takes them as `figures`.
    """

    name: str
    words: str
    subject: str
    inputs: tuple[Input, ...]
    outputs: tuple[Output, ...]
    source: str
    work: Callable[..., Worked]
    cautions: tuple[str, ...] = ()
    also: tuple[str, ...] = ()

    @property
    def settings(self) -> tuple[str, ...]:
        """The workshop's figures that this may need."""
        return (*(each.setting for each in self.inputs if each.setting), *self.also)

    def read(self, typed: Mapping[str, str], *, figures: Mapping[str, float]) -> dict[str, object]:
        """Every input as `work` takes it: typed, else the workshop's figure, else its default. Raises `BadInput`."""
        known = {each.name for each in self.inputs}
        for name, given in typed.items():
            if name not in known:
                raise BadInput(name, given, allowed=f"one of {', '.join(each.name for each in self.inputs)}")
        values = {each.name: self._value(each, typed.get(each.name, ""), figures) for each in self.inputs}
        return values | ({"figures": {name: figures[name] for name in self.also}} if self.also else {})

    def _value(self, wanted: Input, typed: str, figures: Mapping[str, float]) -> object:
        if typed.strip():
            return wanted.read(typed)
        if wanted.setting:
            return figures[wanted.setting]
        if wanted.default is REQUIRED:
            raise BadInput(wanted.name, "missing", allowed=_asked(wanted))
        return wanted.default


class NameTaken(RuntimeError):
    """Two calculations have one name."""


def by_name(*rooms: Sequence[Calculation]) -> dict[str, Calculation]:
    """The calculations of several rooms by name, in their order. Raises `NameTaken`."""
    joined: dict[str, Calculation] = {}
    for calculation in (each for room in rooms for each in room):
        if calculation.name in joined:
            raise NameTaken(calculation.name)
        joined[calculation.name] = calculation
    return joined


def figures_by_name(name: str, given: object, *, known: Sequence[str], example: str) -> dict[str, float]:
    """A table of figures by known names, as it comes out of JSON. Raises `BadInput`."""
    if not isinstance(given, Mapping) or len(given) > len(known):
        raise BadInput(name, given, allowed=f"JSON such as {example}")
    for key, value in given.items():
        if key not in known:
            raise BadInput(name, key, allowed=f"one of {', '.join(known)}")
        if isinstance(value, bool) or not isinstance(value, int | float) or not math.isfinite(value):
            raise BadInput(f"{name} {key}", value, allowed="a number")
    return {key: float(value) for key, value in given.items()}


def _asked(wanted: Input) -> str:
    if wanted.choices:
        return ", ".join(wanted.choices)
    if wanted.kind is Kind.YES_NO:
        return "yes or no"
    if wanted.kind is Kind.TABLE:
        return f"JSON such as {wanted.example}"
    return f"a {wanted.kind.value}{f' in {wanted.unit}' if wanted.unit else ''}"


def _no_constant(constant: str) -> float:
    raise ValueError(constant)


LONGEST_SAID = 60


def _short(given: object) -> str:
    """What was given, on one line, not longer than a person reads."""
    said = " ".join(str(given).split())
    return f"{said[:LONGEST_SAID]}…" if len(said) > LONGEST_SAID else said or "empty"
