"""The bench's pages: who may open them, what they say, and with how many queries."""

from collections.abc import Callable
from datetime import datetime

import pytest
from django.urls import reverse
from pytest_django import DjangoAssertNumQueries

from tests.conftest import Browserless
from tests.factories import bench as factory
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

SignedIn = Callable[[Person], Browserless]

MY_BENCH = 11
"""Session, person, roles; pairs; checks; next stages, their edges; stages of the stitch lines; open differences;
what dries; the benches."""
PAIR_BENCH = 11
"""Session, person, roles; pair; stages, edges, differences, required checks, checks; allergies; the last deed."""


@pytest.mark.parametrize("how_many", [1, 3, 30])
def test_my_bench_asks_the_same_number_of_queries_for_any_number_of_pairs(
    signed_in: SignedIn,
    maker: Person,
    now: datetime,
    how_many: int,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    for _ in range(how_many):
        factory.make_pair(by=maker, at=now)
    client = signed_in(maker)
    with django_assert_num_queries(MY_BENCH):
        page = client.get(reverse("my-bench"))
    assert len(page.context["board"].jobs) == how_many


@pytest.mark.parametrize("stage", ["gather", "filler", "final-check"])
def test_the_page_of_a_pair_asks_the_same_number_of_queries_anywhere_on_its_route(
    signed_in: SignedIn,
    maker: Person,
    now: datetime,
    stage: str,
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    pair = factory.make_pair(by=maker, at=now)
    factory.bring_to(pair, stage, by=maker, at=now)
    client = signed_in(maker)
    with django_assert_num_queries(PAIR_BENCH):
        client.get(reverse("pair-bench", args=[pair.uuid]))
