"""Words that only the bench's pages need."""

from collections.abc import Mapping
from datetime import datetime

from django import template

from cases.bench.checks_asked import part_words as words_of_part
from cases.bench.models import CheckMoment, Difference, DifferenceSource
from cases.bench.wording import when_words
from cases.patients.models import Patient
from shared.sides import Side

register = template.Library()


@register.filter
def part_words(part: str) -> str:
    """A part as a sentence names it."""
    return words_of_part(part)


@register.filter
def holds(difference: Difference) -> str:
    """What may not be done before a difference is answered."""
    foot = Side(difference.side).label
    check = difference.check_found
    if difference.source == DifferenceSource.PATTERN:
        return f"The {foot} part is not closed in, and filler and sole wait, until it is answered."
    if check is None:
        return f"Whatever touches this part on the {foot} shoe waits until it is answered."
    if check.requirement.moment == CheckMoment.PART:
        return f"The {foot} part does not go in until it is answered."
    return "Work may go on; filler and sole wait until it is answered."


@register.filter
def found_at(difference: Difference) -> str:
    """Where a difference was found: at a check, by a new version, or on the pattern."""
    if difference.check_found is None:
        return f"{difference.get_source_display().capitalize()}: “{difference.stage.kind.name}”"
    return f"Found at the {difference.check_found.requirement.get_moment_display()} of “{difference.stage.kind.name}”"


@register.filter
def undo_words(difference: Difference, for_another: object) -> str:
    """What is done where it shall be as prescribed. `for_another`: by somebody else than who reads it."""
    if difference.source == DifferenceSource.PATTERN:
        return "Have it cut as prescribed" if for_another else "Cut it as prescribed"
    return "Have it made again as prescribed" if for_another else "Make it again as prescribed"


@register.filter
def accept_words(difference: Difference) -> str:
    return difference.accepted_as.replace("accepted", "Accept")


@register.filter
def initials(patient: Patient) -> str:
    """The first letters of a client's names: the bench needs no more."""
    return "".join(name[0] for name in (*patient.given_names.split(), *patient.family_name.split()) if name)


@register.filter
def entry(entries: Mapping[str, str] | None, name: str) -> str:
    """What stands in the field of this name; nothing where nothing was entered."""
    return (entries or {}).get(name, "")


@register.simple_tag
def when(moment: datetime, now: datetime) -> str:
    """A moment near now: Wed 08:00."""
    return when_words(moment, now=now)
