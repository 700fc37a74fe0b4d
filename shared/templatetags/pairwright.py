"""Small words for templates: keys of forms, days, sides, workings."""

import uuid
from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache
from typing import Any

from django import template
from django.forms import BoundField, CheckboxInput
from django.utils import timezone
from django.utils.html import format_html, format_html_join
from django.utils.safestring import SafeString
from django.utils.text import capfirst

from shared.once import FIELD
from shared.sides import Side
from shared.workings import Workings

register = template.Library()


@register.simple_tag(takes_context=True)
def submission_fields(context: dict[str, Any]) -> SafeString:
    """The hidden fields of every form that changes something: its sign and its own number."""
    return format_html(
        '<input type="hidden" name="csrfmiddlewaretoken" value="{}"><input type="hidden" name="{}" value="{}">',
        context["csrf_token"],
        FIELD,
        uuid.uuid4(),
    )


@register.filter
def day(value: date | datetime | None) -> str:
    """A day as the workshop says it: Tue 24 Nov, with the year where it is not this one."""
    if value is None:
        return ""
    local = timezone.localtime(value).date() if isinstance(value, datetime) else value
    form = "%a %-d %b" if local.year == timezone.localdate().year else "%a %-d %b %Y"
    return local.strftime(form)


@register.filter
def moment(value: datetime | None) -> str:
    """A day with its time: Tue 24 Nov 14:05."""
    if value is None:
        return ""
    return f"{day(value)} {timezone.localtime(value):%H:%M}"


@register.filter
def clock(value: datetime | None) -> str:
    """The time of day alone: 14:05."""
    return "" if value is None else f"{timezone.localtime(value):%H:%M}"


@register.filter
def millimetres(value: Decimal | float | None) -> str:
    """A length to the tenth with its unit and without an idle nought: 273 mm, 273.5 mm."""
    return "" if value is None else f"{float(value):.1f}".removesuffix(".0") + " mm"


@register.filter
def side_word(value: str) -> str:
    """LEFT or RIGHT."""
    return Side(value).label


@register.simple_tag
def workings(sheet: Workings) -> SafeString:
    """A computed figure, marked, that opens its workings."""
    return _workings(sheet)


@lru_cache(maxsize=2048)
def _workings(sheet: Workings) -> SafeString:
    """Some eighty stand beside a draft, and are written anew at every change of it: most of them say what they said."""
    inputs = format_html_join("", "<dt>{}</dt><dd>{}</dd>", sheet.inputs)
    cautions = format_html_join("", '<p class="quiet">{}</p>', ((caution,) for caution in sheet.cautions))
    return format_html(
        '<details class="workings"><summary>{}</summary>\n<p><strong>{}</strong>: {}</p>\n'
        '<dl class="facts">{}<dt>Source</dt><dd>{}</dd><dt>Standing</dt><dd>{}</dd></dl>\n{}</details>',
        sheet.result,
        capfirst(sheet.name),
        sheet.formula,
        inputs,
        sheet.source,
        sheet.status.value,
        cautions,
    )


@register.inclusion_tag("_field.html")
def field(bound: BoundField, label: str | None = None) -> dict[str, Any]:
    """A form field with its label, help and errors, tied together for screen readers."""
    return {
        "field": bound,
        "label": bound.label[:1].upper() + bound.label[1:] if label is None else label,
        "is_checkbox": isinstance(bound.field.widget, CheckboxInput),
    }


@register.inclusion_tag("_foot_heading.html")
def foot_heading(side: str) -> dict[str, str]:
    """LEFT or RIGHT with the shape of that foot's sole, for the head of one half of a page."""
    return {"side": side, "word": Side(side).label}
