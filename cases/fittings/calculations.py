"""What this room works out, by name, for the calculators page and the command line."""

from collections.abc import Sequence

from cases.fittings.wear_in import (
    BY_FIGURES,
    EVERY_TIME,
    NO_SENSATION,
    STOP_AND_ASK,
    TABLES,
    Step,
    WearIn,
    offered_first,
    steps_by_figures,
)
from cases.patients.calculations import FINDINGS, findings_named
from cases.patients.conditions import CONDITIONS
from shared.calculations import Calculation, Input, Kind, Output, Worked
from shared.workings import Status, Workings

SOURCE = "the workshop's own tables, from memory, unchecked"


FASTER_THAN = "With loss of sensation the workshop's own table is slower than most figures: compare them."


def _wear_in_plan(*, findings: object, start_hours: float, growth_hours: float, days: float) -> Worked:
    found = findings_named(findings)
    table = offered_first(found)
    if not start_hours:
        return _told(found, table, table.name, table.steps, formula="the slowest table that any finding asks for")
    steps = steps_by_figures(start_hours=start_hours, growth_hours=growth_hours, days=int(days))
    return _told(
        found,
        table,
        BY_FIGURES.name,
        steps,
        formula="hours of the first day + growth × days gone by; from 8 hours on all day",
        given=(
            ("On the first day", f"{start_hours:g} h"),
            ("More on each day after it", f"{growth_hours:g} h"),
            ("For", f"{days:g} days"),
        ),
        cautions=(FASTER_THAN,) if table is NO_SENSATION else (),
    )


def _told(
    found: Sequence[str],
    table: WearIn,
    name: str,
    steps: Sequence[Step],
    *,
    formula: str,
    given: tuple[tuple[str, str], ...] = (),
    cautions: tuple[str, ...] = (),
) -> Worked:
    sheet = Workings(
        name="wearing new shoes in",
        result=f"{name}, {len(steps)} steps",
        formula=f"{formula}; the clinician chooses",
        inputs=(
            ("Found", ", ".join(CONDITIONS[key].label for key in found) or "nothing recorded"),
            ("Tables", ", ".join(each.name for each in TABLES.values())),
            *given,
        ),
        source=SOURCE,
        status=Status.WORKSHOP_SETTING,
        cautions=(*cautions, f"A mark on the skin may stay {table.redness}.", *EVERY_TIME, *STOP_AND_ASK),
    )
    return Worked({"table": name, "steps": [f"{step.when}: {step.wear}" for step in steps]}, (sheet,))


CALCULATIONS: tuple[Calculation, ...] = (
    Calculation(
        name="wear-in-plan",
        words="how new shoes are worn in",
        subject="Wearing in",
        inputs=(
            FINDINGS,
            Input(
                "start_hours", "hours on the first day; 0 for the workshop's tables", "h", default=0.0, example="0.5"
            ),
            Input("growth_hours", "hours more on each day after it", "h", setting="wear_in_growth_hours"),
            Input("days", "for so many days", "days", kind=Kind.WHOLE, setting="wear_in_days"),
        ),
        outputs=(Output("table", "table", ""), Output("steps", "step by step", "")),
        source=SOURCE,
        work=_wear_in_plan,
    ),
)
