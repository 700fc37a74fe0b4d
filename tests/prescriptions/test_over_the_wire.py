"""What the heaviest page costs a tablet on a workshop's wireless network."""

import gzip
from collections.abc import Callable
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from tests.factories.figures import load_figures
from tests.factories.prescriptions import make_prescription
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

MOST_BYTES = 30_000
"""Twice the bar of an ordinary page: two drawings, their figures and every field of two feet stand on this one."""


@pytest.fixture
def answer(clinician: Person, signed_in: Callable[[Person], Client]) -> Any:
    load_figures()
    draft = reverse("prescription", args=[make_prescription().uuid])
    return signed_in(clinician).get(draft, headers={"Accept-Encoding": "gzip"})


def test_a_draft_comes_pressed_together(answer: Any) -> None:
    assert (answer.headers["Content-Encoding"], len(answer.content) < MOST_BYTES) == ("gzip", True)


def test_a_draft_pressed_together_is_the_whole_page(answer: Any) -> None:
    assert gzip.decompress(answer.content).rstrip().endswith(b"</html>")
