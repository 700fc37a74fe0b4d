"""What this room works out, by name, for the calculators page and the command line."""

from cases.patients.conditions import CONDITIONS
from cases.patients.risk import SOURCE, LiveFinding, screening_risk
from shared.calculations import BadInput, Calculation, Input, Kind, Output, Worked

FINDINGS_EXAMPLE = '["loss_of_protective_sensation", "hammer_toe"]'
FINDINGS = Input(
    "findings", "what was found on either foot, by key", "", kind=Kind.TABLE, default=(), example=FINDINGS_EXAMPLE
)
LOOKED_AT = "Looking at the feet again"


def findings_named(given: object) -> tuple[str, ...]:
    """Conditions by their keys, as they come out of JSON. Raises `BadInput`."""
    if not isinstance(given, list | tuple) or len(given) > len(CONDITIONS):
        raise BadInput(FINDINGS.name, given, allowed=f"JSON such as {FINDINGS_EXAMPLE}")
    for key in given:
        if not isinstance(key, str) or key not in CONDITIONS:
            raise BadInput(FINDINGS.name, key, allowed="a condition of the list, by its key")
    return tuple(given)


def _screening_interval(*, findings: object) -> Worked:
    found = screening_risk(diabetes="yes", findings=[LiveFinding(key, None) for key in findings_named(findings)])
    figures = {"risk": found.level, "months_min": found.months_min, "months_max": found.months_max}
    return Worked(figures, (found.sheet,) if found.sheet else ())


CALCULATIONS: tuple[Calculation, ...] = (
    Calculation(
        name="screening-interval",
        words="how soon the feet of a person with diabetes are looked at again",
        subject=LOOKED_AT,
        inputs=(FINDINGS,),
        outputs=(
            Output("risk", "risk, 0 to 3", ""),
            Output("months_min", "looked at again after, at the soonest", "months"),
            Output("months_max", "looked at again after, at the latest", "months"),
        ),
        source=SOURCE,
        work=_screening_interval,
    ),
)
