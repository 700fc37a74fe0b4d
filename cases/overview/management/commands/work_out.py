"""Work out one figure from the command line, as JSON: the same calculations as on the calculators page."""

import json
import sys
from collections.abc import Mapping
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.db import OperationalError
from django.utils import timezone

from cases.overview.calculations import CALCULATIONS
from shared.calculations import BadInput, Calculation, Input
from workshop.figures.queries import figures_valid
from workshop.figures.settings_table import SETTINGS

BAD_INPUT = 2


class Command(BaseCommand):
    help = "Work out a figure: work_out NAME input=value ...; --list shows every name."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("name", nargs="?", help="what is worked out")
        parser.add_argument("inputs", nargs="*", metavar="input=value")
        parser.add_argument("--list", action="store_true", dest="listing", help="every name with inputs and source")

    def handle(self, *args: Any, **options: Any) -> None:
        if options["listing"] or not options["name"]:
            self.stdout.write("\n".join(_described(each) for each in CALCULATIONS.values()))
            return
        try:
            self.stdout.write(_worked_out(options["name"], options["inputs"]))
        except BadInput as error:
            self.stderr.write(" ".join(str(error).split()))
            sys.exit(BAD_INPUT)


def _worked_out(name: str, pairs: list[str]) -> str:
    """The figures of one calculation as one line of JSON. Raises `BadInput`."""
    calculation = CALCULATIONS.get(name)
    if calculation is None:
        raise BadInput("name", name, allowed=f"one of {', '.join(CALCULATIONS)}")
    typed = _typed(pairs)
    unsaid = [each.setting for each in calculation.inputs if each.setting and not typed.get(each.name, "").strip()]
    missing = [*unsaid, *calculation.also]
    stand_in = _figures_of_today(missing) if missing else {}
    worked = calculation.work(**calculation.read(typed, figures=stand_in))
    return json.dumps(worked.figures, ensure_ascii=False)


def _typed(pairs: list[str]) -> dict[str, str]:
    typed: dict[str, str] = {}
    for pair in pairs:
        name, equals, value = pair.partition("=")
        if not equals:
            raise BadInput("input", pair, allowed="name=value")
        if name in typed:
            raise BadInput(name, "given twice", allowed="once")
        typed[name] = value
    return typed


def _figures_of_today(names: list[str]) -> Mapping[str, float]:
    """The workshop's figures; those that nobody set there, or where no workshop answers, as a workshop starts."""
    starting = {name: SETTINGS[name].value for name in names}
    try:
        valid = figures_valid(on=timezone.localdate()).filter(name__in=names)
        here = {row.name: row.value for row in valid}
    except OperationalError:
        here = {}
    return {name: float(value) for name, value in (starting | here).items()}


def _described(calculation: Calculation) -> str:
    inputs = "\n".join(f"    {_input(each)}" for each in calculation.inputs)
    outputs = ", ".join(f"{each.name}{f' ({each.unit})' if each.unit else ''}" for each in calculation.outputs)
    return f"{calculation.name}: {calculation.words}\n{inputs}\n    -> {outputs}\n    source: {calculation.source}"


def _input(each: Input) -> str:
    may_be_empty = f", else the workshop's {each.setting}" if each.setting else "" if each.is_required else ", optional"
    choices = f", one of {', '.join(each.choices)}" if each.choices else ""
    return f"{each.name} ({each.unit or each.kind.value}{choices}{may_be_empty}): {each.words}"
