"""The last maker's sheet: both feet, each in its own half, kept once."""

from collections.abc import Callable
from datetime import datetime
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse

from cases.lasts import actions
from cases.lasts.models import Last
from cases.overview.last_sheet import draft_of, print_last_sheet
from cases.patients.models import Paper
from tests.factories.lasts import make_last
from tests.lasts.shaped import set_target
from tests.papers.reading import ReadPaper
from workshop.staff.models import Person

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("figures")]

Sign = Callable[[Person], Any]
HIDDEN_PT, LEAST_PT = 1.01, 6
"""What is set in 1 pt and white is there for the margin of the page and for a reader aloud."""


def test_the_sheet_has_each_foot_in_its_own_half(maker: Person, left: Last, now: datetime) -> None:
    set_target(left, maker, now)
    halves = draft_of(left).context["halves"]
    assert [(half.side, half.last.side, half.shaped is None) for half in halves] == [
        ("left", "left", False),
        ("right", "right", True),
    ]


def test_the_sheet_is_the_same_from_either_last(left: Last) -> None:
    right = Last.objects.get(number="7", side="right")
    assert draft_of(right).about_uuid == draft_of(left).about_uuid == left.uuid


def test_a_printed_sheet_is_kept_with_its_client_and_opened_by_the_maker(
    maker: Person, signed_in: Sign, left: Last, now: datetime
) -> None:
    set_target(left, maker, now)
    client = signed_in(maker)
    answer = client.post(reverse("last-sheet-print", args=[left.uuid]), follow=True)
    kept = Paper.objects.get()
    assert (kept.kind, kept.patient, answer.status_code, answer["Content-Type"]) == (
        "last sheet",
        left.owner,
        200,
        "application/pdf",
    )


def test_a_sheet_that_says_the_same_is_not_kept_twice(maker: Person, signed_in: Sign, left: Last) -> None:
    client = signed_in(maker)
    for _ in range(2):
        client.post(reverse("last-sheet-print", args=[left.uuid]))
    assert Paper.objects.count() == 1


def test_a_stock_last_has_no_sheet(maker: Person, signed_in: Sign) -> None:
    assert signed_in(maker).post(reverse("last-sheet-print", args=[make_last().uuid])).status_code == 409


def test_beside_a_last_that_waits_for_the_tape_the_sheet_says_so(maker: Person, left: Last, now: datetime) -> None:
    """It was built up, so nothing may say that nothing is built up on it."""
    for last in (left, Last.objects.get(number="7", side="right")):
        set_target(last, maker, now)
    actions.alter_last(
        left,
        seen_version=1,
        alteration_note="3 mm over the joint",
        length_mm=left.length_mm,
        heel_height_mm=left.heel_height_mm,
        toe_spring_mm=left.toe_spring_mm,
        toe_shape=left.toe_shape,
        by=maker,
        at=now,
    )
    paper = ReadPaper(print_last_sheet(left, by=maker, at=now).pdf)
    assert [half.count("worked out once it is measured again") for half in (paper.left, paper.right)] == [1, 0]


def test_no_word_on_the_sheet_is_too_small_to_read(maker: Person, left: Last, now: datetime) -> None:
    set_target(left, maker, now)
    actions.measure_last(
        left, seen_version=1, measured={"joint_width_mm": Decimal(96), "heel_width_mm": Decimal(66)}, by=maker, at=now
    )
    words = ReadPaper(print_last_sheet(left, by=maker, at=now).pdf).words
    assert [word.text for word in words if HIDDEN_PT < word.size_pt < LEAST_PT] == []
