"""What was answered to the notes of a version, and which notes this workshop does not ask."""

from collections.abc import Sequence
from dataclasses import dataclass

from cases.prescriptions.models import NoteSwitch, Prescription
from cases.prescriptions.notes import RULES, Rule
from cases.prescriptions.notes.answers import Answered
from shared.sides import Side


def answers_to(version: Prescription) -> tuple[Answered, ...]:
    """The answers given on one version. One query."""
    rows = version.note_answers.select_related("by").order_by("pk")
    return tuple(
        Answered(row.rule, Side(row.side), row.sentence, row.because, row.by.name, row.answered_before) for row in rows
    )


def switched_off() -> frozenset[str]:
    """The notes that this workshop does not ask. One query."""
    latest = NoteSwitch.objects.order_by("rule", "-pk").distinct("rule")
    return frozenset(row.rule for row in latest if row.is_off)


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
