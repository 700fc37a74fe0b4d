"""What stands beside a draft and is shown anew at every change of it: rows of figures, notes.

Most of them say what they said before. A template would look up and escape every word again, so each is written once
for as long as it says the same.
"""

from functools import lru_cache

from django import template
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString, mark_safe
from django.utils.text import capfirst

from cases.prescriptions.implied.told import Row, Told
from cases.prescriptions.notes import Note
from cases.prescriptions.notes.answers import Asked
from shared.templatetags.pairwright import workings

register = template.Library()

KEPT = 1024
DIFFERS = mark_safe(' <span class="tag information">differs</span>')
NONE = mark_safe('<span class="quiet">none</span>')


@register.simple_tag
def implied_row(row: Row) -> SafeString:
    """One figure of both feet, each with its workings, and whether the feet differ in it."""
    return _row(row)


@lru_cache(maxsize=KEPT)
def _row(row: Row) -> SafeString:
    return format_html(
        '<tr{}><th scope="row">{}{}</th><td>{}</td><td>{}</td></tr>',
        mark_safe(' class="differs"') if row.differs else "",
        capfirst(row.words),
        DIFFERS if row.differs else "",
        _told(row.left),
        _told(row.right),
    )


def _told(told: Told | None) -> SafeString:
    if told is None:
        return NONE
    passed = format_html("<br><strong>▲ {}</strong>", told.passed) if told.passed else ""
    return format_html("{}{}", workings(told.sheet), passed)


@register.simple_tag
def note_in_words(asked: Asked) -> SafeString:
    """The question, why it is asked, and the answer where there is one."""
    return _note_in_words(asked)


@lru_cache(maxsize=KEPT)
def _note_in_words(asked: Asked) -> SafeString:
    note, answer = asked.note, asked.answer
    kept = answer and format_html(
        '\n<p>Kept because: {} <span class="quiet">({}{})</span></p>',
        answer.because,
        answer.by,
        ", as last time" if answer.before else "",
    )
    return format_html(
        "<p><strong>{}</strong>: {}</p>\n<details><summary>Why this is asked</summary><p>{}</p>"
        '<p class="quiet small">Source: {} · {}</p></details>{}',
        note.side.label,
        note.sentence,
        note.reason,
        note.source,
        note.status.value,
        kept or "",
    )


@register.simple_tag
def note_answered(asked: Asked, nth: int) -> SafeString:
    """What a form sends to answer a question, or to ask it again: which it is, in words of its own, and the button."""
    return _note_answered(asked.note, nth, is_open=asked.is_open)


@lru_cache(maxsize=KEPT)
def _note_answered(note: Note, nth: int, *, is_open: bool) -> SafeString:
    named = format_html_join(
        "",
        '<input type="hidden" name="{}" value="{}">',
        (("rule", note.rule), ("side", note.side), ("sentence", note.sentence)),
    )
    answer = (
        '\n<div class="field"><label for="because-{nth}">Changed above, or kept because</label><input id="because-{nth}"'
        ' name="because" maxlength="300" required autocomplete="off"></div><p><button>Keep it</button></p>'
        if is_open
        else '\n<p><button name="anew" value="1">Ask again</button></p>'
    )
    return named + format_html(answer, nth=nth)
