"""The diabetic foot's screening risk: how soon the feet should be looked at again.

Source: the risk table of the International Working Group on the Diabetic Foot, 2023 update, Bus SA et al., *Diabetes
Metab Res Rev* 2024;40(3):e3651. It was not read there in full: the table was read as restated in *World J Diabetes*
2022;13(1):27-36, Table 1, and a second text says that it did not change from 2019 to 2023.

| risk | who | looked at again |
|---|---|---|
| 0 | neither loss of protective sensation nor arterial disease | once a year |
| 1 | one of the two | every 6 to 12 months |
| 2 | both, or one of them with a foot deformity | every 3 to 6 months |
| 3 | one of them, with a healed ulcer, an amputation or end-stage renal disease | every 1 to 3 months |

The table speaks of a person, so findings of both feet count together. Which findings count as a deformity
(`Condition.is_deformity`) is from memory of the group's definitions, not read.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from typing import NamedTuple

from cases.patients.conditions import CONDITIONS
from shared.workings import Status, Workings


class Answer(Enum):
    """Whether there is a risk to show."""

    WORKED_OUT = "worked out"
    NOT_APPLICABLE = "not applicable"
    ASK = "ask"


class LiveFinding(NamedTuple):
    """A finding that holds now: its condition, and `left`, `right` or None."""

    condition: str
    side: str | None


@dataclass(frozen=True)
class Screening:
    """The answer in words, and where it was worked out the level (0 to 3), the interval in months, the workings."""

    answer: Answer
    words: str
    level: int | None = None
    months_min: int | None = None
    months_max: int | None = None
    sheet: Workings | None = None


LEVEL_WORDS = ("very low", "low", "moderate", "high")
MONTHS = ((12, 12), (6, 12), (3, 6), (1, 3))
AMPUTATIONS = frozenset({"toe_amputation", "partial_foot_amputation"})
SOURCE = (
    "International Working Group on the Diabetic Foot, 2023 update: Bus SA et al., Diabetes Metab Res Rev "
    "2024;40(3):e3651. Table read as restated in World J Diabetes 2022;13(1):27-36, Table 1; unchanged from 2019 to "
    "2023 by a second text; the guideline itself was not read in full."
)
FORMULA = (
    "risk 0 with neither loss of protective sensation nor arterial disease; 1 with one of them; 2 with both, or one "
    "and a foot deformity; 3 with one and a healed ulcer, an amputation or end-stage renal disease. Both feet count "
    "together."
)
ALWAYS = (
    "Worked from what is recorded here: what was not tested counts as absent.",
    "Which findings count as a deformity is from memory of the group's definitions, not read.",
    "A workshop aid: the prescriber decides, and local rules come first.",
)
OPEN_WOUND = "An open wound is recorded: that is treated now, not screened for. Refer."
WOUND_FIRST = "an open wound is recorded: refer now; once it has healed, "
HISTORY_ALONE = (
    "A healed ulcer, an amputation or end-stage renal disease is recorded without loss of sensation or arterial "
    "disease: have both been tested?"
)


def screening_risk(*, diabetes: str, findings: Iterable[LiveFinding]) -> Screening:
    """The screening risk of a person. `diabetes` is yes, no or unknown; only for yes is it worked out."""
    if diabetes == "no":
        return Screening(answer=Answer.NOT_APPLICABLE, words="Not applicable: no diabetes.")
    if diabetes != "yes":
        return Screening(answer=Answer.ASK, words="Not worked out: ask whether the client has diabetes.")
    live = tuple(findings)
    conditions = {finding.condition for finding in live}
    level = _level(conditions)
    months_min, months_max = MONTHS[level]
    wound_first = WOUND_FIRST if "open_wound" in conditions else ""
    words = f"{wound_first}risk {level} ({LEVEL_WORDS[level]}), feet looked at {_interval(months_min, months_max)}"
    return Screening(
        answer=Answer.WORKED_OUT,
        words=words,
        level=level,
        months_min=months_min,
        months_max=months_max,
        sheet=Workings(
            name="screening risk of the diabetic foot",
            result=words,
            formula=FORMULA,
            inputs=_inputs(live),
            source=SOURCE,
            status=Status.PUBLISHED,
            cautions=(*_own_cautions(conditions), *ALWAYS),
        ),
    )


def _level(conditions: set[str]) -> int:
    causes = len(conditions & {"loss_of_protective_sensation", "arterial_disease"})
    if causes == 0:
        return 0
    if _has_history(conditions):
        return 3
    return 2 if causes == 2 or any(_is_deformity(key) for key in conditions) else 1


def _has_history(conditions: set[str]) -> bool:
    return bool(conditions & (AMPUTATIONS | {"healed_ulcer", "end_stage_renal_disease"}))


def _is_deformity(key: str) -> bool:
    return key in CONDITIONS and CONDITIONS[key].is_deformity


def _interval(months_min: int, months_max: int) -> str:
    return "once a year" if months_min == months_max == 12 else f"every {months_min} to {months_max} months"


def _own_cautions(conditions: set[str]) -> tuple[str, ...]:
    cautions = []
    if "open_wound" in conditions:
        cautions.append(OPEN_WOUND)
    if _level(conditions) == 0 and _has_history(conditions):
        cautions.append(HISTORY_ALONE)
    return tuple(cautions)


def _inputs(live: tuple[LiveFinding, ...]) -> tuple[tuple[str, str], ...]:
    def recorded(counts: Iterable[str]) -> str:
        wanted = frozenset(counts)
        found = sorted({_in_words(finding) for finding in live if finding.condition in wanted})
        return ", ".join(found) or "not recorded"

    return (
        ("Diabetes", "yes"),
        ("Loss of protective sensation", recorded(["loss_of_protective_sensation"])),
        ("Peripheral arterial disease", recorded(["arterial_disease"])),
        ("Foot deformity", recorded(key for key in CONDITIONS if _is_deformity(key))),
        ("Healed ulcer", recorded(["healed_ulcer"])),
        ("Amputation", recorded(AMPUTATIONS)),
        ("End-stage renal disease", recorded(["end_stage_renal_disease"])),
    )


def _in_words(finding: LiveFinding) -> str:
    return f"{CONDITIONS[finding.condition].label} {(finding.side or '').upper()}".strip()
