"""Every address says for whom it is, and every form that changes something has its own number."""

import re
from pathlib import Path

import pytest
from django.urls import URLPattern

from shared.permissions import EVERYBODY
from tests.architecture.walk import ROOT, url_patterns

OPEN_TO_NOBODY_IN_PARTICULAR = {
    "sign-in": "how a person comes in",
    "sign-out": "how a person leaves",
    "terminal-unlock": "the lock screen of a bench terminal",
    "terminal-pin": "where a PIN is typed",
}

OWN = [pattern for pattern in url_patterns() if not str(pattern.pattern).startswith("static")]


@pytest.mark.parametrize("pattern", OWN, ids=lambda pattern: pattern.name)
def test_every_address_says_for_whom_it_is(pattern: URLPattern) -> None:
    assert getattr(pattern.callback, "open_to", frozenset()) != frozenset()


def test_only_the_doors_are_open_to_everybody() -> None:
    open_names = {pattern.name for pattern in OWN if getattr(pattern.callback, "open_to", None) == EVERYBODY}
    assert open_names == set(OPEN_TO_NOBODY_IN_PARTICULAR)


SAID_AGAIN = {"prescription-open"}
"""A page that says again who has a draft open: said twice it changes nothing more, and no record at all."""


def test_the_doors_alone_may_be_posted_to_without_a_number() -> None:
    """And each of them, since the number of a form belongs to a person."""
    repeatable = {pattern.name for pattern in OWN if getattr(pattern.callback, "repeatable", False)}
    assert repeatable == set(OPEN_TO_NOBODY_IN_PARTICULAR) | SAID_AGAIN


@pytest.mark.parametrize("name", sorted({str(pattern.name) for pattern in OWN}))
def test_every_address_has_one_name(name: str) -> None:
    assert [pattern.name for pattern in OWN].count(name) == 1


TEMPLATES = sorted((ROOT / "templates").rglob("*.html"))


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda path: str(path.relative_to(ROOT)))
def test_every_posting_form_carries_its_own_number(template: Path) -> None:
    text = template.read_text()
    forms = re.findall(r"<form[^>]*method=\"post\".*?</form>", text, flags=re.DOTALL | re.IGNORECASE)
    without = [
        form[:80]
        for form in forms
        if "submission_fields" not in form and not re.search(r"url '(sign-in|sign-out|terminal-pin)'", form)
    ]
    assert without == []
