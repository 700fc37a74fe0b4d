"""What was answered to the notes of a version, and which notes this workshop does not ask."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import QuerySet, Value

from cases.prescriptions.models import NoteSwitch, Prescription
from cases.prescriptions.notes import RULES, Rule
from cases.prescriptions.notes.answers import Answered
from shared.sides import Side


def answers_and_switched_off(version: Prescription) -> tuple[tuple[Answered, ...], frozenset[str]]:
    """The answers given on one version, and the notes that this workshop does not ask. One query."""
    given = version.note_answers.order_by().values_list(
        "pk", "rule", "side", "sentence", "because", "by__name", "answered_before"
    )
    off = _off().annotate(nothing=Value(""), never=Value(value=False)).order_by()
    rows: Iterable[tuple[Any, ...]] = given.union(
        off.values_list("pk", "rule", "nothing", "nothing", "nothing", "nothing", "never"), all=True
    )
    answers, switched = [], set()
    for _, rule, side, sentence, because, by, before in sorted(rows):
        if side:
            answers.append(Answered(rule, Side(side), sentence, because, by, before))
        else:
            switched.add(rule)
    return tuple(answers), frozenset(switched)


def _off() -> QuerySet[NoteSwitch]:
    latest = NoteSwitch.objects.order_by("rule", "-pk").distinct("rule")
    return NoteSwitch.objects.filter(pk__in=latest.values("pk"), is_off=True)


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
