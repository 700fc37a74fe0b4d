"""Notes: small questions over findings and prescription, each with its reason, source and standing.

They are asked, never a block; the prescriber answers. Red flags are not notes. Pure.
"""

from collections.abc import Collection

from cases.prescriptions.notes import closed_in, underfoot, wearer
from cases.prescriptions.notes.rule import Found, Limits, Note, Question, Rule, Wearer, Weighed

RULES: dict[str, Rule] = {rule.key: rule for rule in (*wearer.RULES, *closed_in.RULES, *underfoot.RULES)}
"""By key, in the order in which they are asked."""

__all__ = ["RULES", "Found", "Limits", "Note", "Question", "Rule", "Wearer", "Weighed", "notes_on"]


def notes_on(question: Question, *, switched_off: Collection[str] = ()) -> tuple[Note, ...]:
    """Everything to ask about one foot's shoe; without the rules that the workshop switched off."""
    return tuple(note for key, rule in RULES.items() if key not in switched_off for note in rule.notes(question))
