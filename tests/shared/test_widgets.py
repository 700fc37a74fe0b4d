"""A field is written as Django's own templates write it."""

from decimal import Decimal
from typing import Any

import pytest
from django import forms
from django.forms.renderers import DjangoTemplates
from django.test import SimpleTestCase
from hypothesis import given
from hypothesis import strategies as st

from shared.widgets import WRITERS, PlainWidgets

HOSTILE = "\"><script>alert('1')</script>&amp;"
CHOICES = [("", "—"), ("left", "LEFT"), (HOSTILE, HOSTILE), (3, "three")]
GROUPED = [("Leathers", [("calf", "calf"), ("goat", "goat & kid")]), ("", [("felt", "felt")])]

PLAIN: dict[str, tuple[forms.Widget, Any]] = {
    "text": (forms.TextInput({"maxlength": 30, "autocomplete": "off"}), "Ann"),
    "text without a value": (forms.TextInput(), None),
    "hostile text": (forms.TextInput({"title": HOSTILE}), HOSTILE),
    "number": (forms.NumberInput({"step": "0.1", "min": Decimal("0.5"), "required": True}), Decimal("12.50")),
    "number none": (forms.NumberInput({"required": False}), 0),
    "email": (forms.EmailInput(), "a@example.org"),
    "password": (forms.PasswordInput(), "secret"),
    "hidden": (forms.HiddenInput(), 7),
    "date": (forms.DateInput({"type": "date"}, format="%Y-%m-%d"), "2026-11-25"),
    "ticked": (forms.CheckboxInput(), True),
    "unticked": (forms.CheckboxInput({"class": "big"}), False),
    "text area": (forms.Textarea({"rows": 2}), f"first\n{HOSTILE}"),
    "empty text area": (forms.Textarea(), None),
    "select": (forms.Select({"required": True}, choices=CHOICES), "left"),
    "select of nothing": (forms.Select(choices=[]), None),
    "select with a number": (forms.Select(choices=CHOICES), 3),
    "select hostile": (forms.Select(choices=CHOICES), HOSTILE),
    "grouped": (forms.Select(choices=GROUPED), "goat"),
}


def written(widget: forms.Widget, value: Any, renderer: Any) -> str:
    return widget.render("field", value, {"id": "id_field"}, renderer)


@pytest.mark.parametrize("name", PLAIN)
def test_a_plain_field_is_written_as_django_writes_it(name: str) -> None:
    widget, value = PLAIN[name]
    ours, theirs = (written(widget, value, renderer) for renderer in (PlainWidgets(), DjangoTemplates()))
    SimpleTestCase().assertHTMLEqual(ours, theirs)


@given(text=st.text(max_size=40), name=st.text(max_size=20))
def test_no_text_gets_out_of_its_field(text: str, name: str) -> None:
    for widget in (forms.TextInput({"data-name": name}), forms.Textarea(), forms.Select(choices=[(text, name)])):
        ours, theirs = (written(widget, text, renderer) for renderer in (PlainWidgets(), DjangoTemplates()))
        assert ours.replace("\n", "").replace("  ", "") == theirs.replace("\n", "").replace("  ", "")


def test_what_is_not_plain_is_left_to_django() -> None:
    widget = forms.RadioSelect(choices=CHOICES)
    ours, theirs = (written(widget, "left", renderer) for renderer in (PlainWidgets(), DjangoTemplates()))
    assert ours == theirs


def test_every_plain_kind_is_compared() -> None:
    compared = {widget.template_name for widget, _ in PLAIN.values()} | {"django/forms/widgets/input.html"}
    assert compared == set(WRITERS)
