"""What stands behind the notes on a version: what was found on the client, what was answered, what is not asked here."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import cast

from cases.patients.models import Allergy, Finding
from cases.patients.queries import Findings, foot_by_foot
from cases.prescriptions.models import NoteAnswer, NoteSwitch, Prescription
from cases.prescriptions.notes import RULES, Rule
from cases.prescriptions.notes.answers import Answered
from cases.prescriptions.tree import BEHIND_NOTES
from shared.sides import Side
from shared.tree import Read, Tree
from workshop.staff.models import Person

BACKGROUND = Tree(Prescription, BEHIND_NOTES)


@dataclass(frozen=True)
class Background:
    """The live findings and allergies, the answers given on the version, and the notes that this workshop does not ask."""

    findings: Findings
    allergies: tuple[Allergy, ...]
    answers: tuple[Answered, ...]
    switched_off: frozenset[str]


def background_of(version: Prescription) -> Background:
    """What stands behind the notes on one version. One query, or none where it came with the version."""
    (found,) = [version.behind_notes] if version.behind_notes else BACKGROUND.read("top.id = %s", [version.pk])
    findings = cast("list[Finding]", found.several("findings"))
    allergies = cast("list[Allergy]", found.several("allergies"))
    return Background(
        findings=foot_by_foot(each for each in findings if each.ended_on is None),
        allergies=tuple(
            sorted((each for each in allergies if each.ended_on is None), key=lambda each: (each.kind, each.substance))
        ),
        answers=tuple(_answered(each) for each in found.below["answers"]),
        switched_off=_switched_off(cast("list[NoteSwitch]", found.several("switches"))),
    )


def _answered(found: Read) -> Answered:
    given, by = cast("NoteAnswer", found.row), cast("Person", found.one("by"))
    return Answered(given.rule, Side(given.side), given.sentence, given.because, by.name, given.answered_before)


def _switched_off(switches: Iterable[NoteSwitch]) -> frozenset[str]:
    latest = {each.rule: each.is_off for each in switches}
    return frozenset(rule for rule, is_off in latest.items() if is_off)


@dataclass(frozen=True)
class RuleSeen:
    """A rule with the latest word on it, where there is one."""

    rule: Rule
    switched: NoteSwitch | None

    @property
    def is_off(self) -> bool:
        return self.switched is not None and self.switched.is_off


def rules_seen() -> Sequence[RuleSeen]:
    """Every rule in the order in which it is asked. One query."""
    latest = {row.rule: row for row in NoteSwitch.objects.select_related("by").order_by("rule", "-pk").distinct("rule")}
    return [RuleSeen(rule, latest.get(key)) for key, rule in RULES.items()]
