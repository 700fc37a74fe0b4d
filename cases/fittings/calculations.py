"""What this room works out, by name, for the calculators page and the command line."""

from cases.fittings.wear_in import EVERY_TIME, STOP_AND_ASK, TABLES, offered_first
from cases.patients.calculations import FINDINGS, findings_named
from cases.patients.conditions import CONDITIONS
from shared.calculations import Calculation, Output, Worked
from shared.workings import Status, Workings

SOURCE = "the workshop's own tables, from memory, unchecked"


def _wear_in_plan(*, findings: object) -> Worked:
    found = findings_named(findings)
    table = offered_first(found)
    sheet = Workings(
        name="wearing new shoes in",
        result=f"{table.name}, {len(table.steps)} steps",
        formula="the slowest table that any finding asks for; the clinician chooses",
        inputs=(
            ("Found", ", ".join(CONDITIONS[key].label for key in found) or "nothing recorded"),
            ("Tables", ", ".join(each.name for each in TABLES.values())),
        ),
        source=SOURCE,
        status=Status.WORKSHOP_SETTING,
        cautions=(f"A mark on the skin may stay {table.redness}.", *EVERY_TIME, *STOP_AND_ASK),
    )
    steps = [f"{step.when}: {step.wear}" for step in table.steps]
    return Worked({"table": table.name, "steps": steps}, (sheet,))


CALCULATIONS: tuple[Calculation, ...] = (
    Calculation(
        name="wear-in-plan",
        words="how new shoes are worn in",
        subject="Wearing in",
        inputs=(FINDINGS,),
        outputs=(Output("table", "table", ""), Output("steps", "step by step", "")),
        source=SOURCE,
        work=_wear_in_plan,
    ),
)
