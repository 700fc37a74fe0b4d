"""Calculators: a figure tried without a client. No figure here is kept anywhere."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import groupby

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_safe

from cases.overview.calculations import CALCULATIONS
from shared.calculations import BadInput, Calculation, Input, Kind, Output, Worked
from shared.fragments import page
from shared.permissions import staff_only
from workshop.figures.queries import figures
from workshop.staff.requests import StaffRequest


@dataclass(frozen=True)
class Field:
    """One input as the page shows it: what was typed, or what stands in where nothing is."""

    input: Input
    typed: str
    stands_in: str
    error: str

    @property
    def is_table(self) -> bool:
        return self.input.kind is Kind.TABLE

    @property
    def choices(self) -> tuple[str, ...]:
        return ("yes", "no") if self.input.kind is Kind.YES_NO else self.input.choices


@dataclass(frozen=True)
class Result:
    """One figure that came out, or a table of them."""

    output: Output
    words: str = ""
    heads: Sequence[str] = ()
    rows: Sequence[Sequence[str]] = ()

    @classmethod
    def of(cls, output: Output, value: object) -> "Result":
        if isinstance(value, list) and value and isinstance(value[0], dict):
            heads = list(value[0])
            return cls(output, heads=heads, rows=[[_said(row[head]) for head in heads] for row in value])
        return cls(output, words=_said(value))


@staff_only
@require_safe
def calculators(request: StaffRequest) -> HttpResponse:
    """Every calculation by its subject."""
    subjects = [
        (subject, list(found)) for subject, found in groupby(CALCULATIONS.values(), key=lambda each: each.subject)
    ]
    return render(request, "overview/calculators.html", {"subjects": subjects})


@staff_only
@require_safe
def calculator(request: StaffRequest, name: str) -> HttpResponse:
    """One calculation: its inputs, and what comes out once they are there."""
    calculation = CALCULATIONS.get(name)
    if calculation is None:
        raise Http404
    typed = {each.name: request.GET.get(each.name, "").strip() for each in calculation.inputs}
    stand_in = _stand_in(calculation)
    worked, error = _worked(calculation, typed, stand_in) if request.GET else (None, None)
    wrong = error.name if error else ""
    context = {
        "calculation": calculation,
        "fields": [
            Field(
                each,
                typed[each.name],
                _said(stand_in[each.setting] if each.setting else each.default) if not each.is_required else "",
                str(error) if error and wrong == each.name else "",
            )
            for each in calculation.inputs
        ],
        "error": error,
        "results": [Result.of(output, worked.figures[output.name]) for output in calculation.outputs] if worked else [],
        "sheets": worked.sheets if worked else (),
    }
    return page(request, "overview/calculator.html", context, fragments=("result",), status=422 if error else 200)


def _stand_in(calculation: Calculation) -> Mapping[str, float]:
    """The workshop's figures of today for what nobody typed. One query, none where none is needed."""
    if not calculation.settings:
        return {}
    today = timezone.localdate()
    return {name: float(value) for name, value in figures(calculation.settings, on=today).items()}


def _worked(
    calculation: Calculation, typed: Mapping[str, str], stand_in: Mapping[str, float]
) -> tuple[Worked | None, BadInput | None]:
    try:
        return calculation.work(**calculation.read(typed, figures=stand_in)), None
    except BadInput as error:
        return None, error


def _said(value: object) -> str:
    """A figure to the hundredth, without idle noughts; anything else in words."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return f"{value:.2f}".rstrip("0").removesuffix(".")
    if isinstance(value, list):
        return ", ".join(_said(each) for each in value)
    return str(value)
