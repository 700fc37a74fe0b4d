"""Words that only the bench's pages need."""

from datetime import datetime

from django import template

from cases.bench.checks_asked import part_words as words_of_part
from cases.bench.wording import when_words
from cases.patients.models import Patient

register = template.Library()


@register.filter
def part_words(part: str) -> str:
    """A part as a sentence names it."""
    return words_of_part(part)


@register.filter
def initials(patient: Patient) -> str:
    """The first letters of a client's names: the bench needs no more."""
    return "".join(name[0] for name in (*patient.given_names.split(), *patient.family_name.split()) if name)


@register.simple_tag
def when(moment: datetime, now: datetime) -> str:
    """A moment near now: Wed 08:00."""
    return when_words(moment, now=now)
