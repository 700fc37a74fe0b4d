"""Finding a client by what is typed."""

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from django.test import Client
from django.urls import reverse

from cases.patients import queries
from tests.factories.patients import make_patient
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person], Client]

SHE: dict[str, Any] = {
    "record_number": "4711",
    "given_names": "Zoë Anne",
    "family_name": "O'Neil-Müller",
    "born_on": date(1950, 3, 12),
    "phone": "+44 161 496 0000",
}


@pytest.mark.parametrize(
    "typed",
    [
        "zo",
        "ZOE",
        "anne",
        "nn",
        "oneil",
        "o'neil",
        "O’NEIL",
        "muller",
        "müll",
        "oneil-mul",
        "zoe muller",
        "muller zoe",
        "Mü an",
        "4711",
        "71",
        "1614960",
        "161 496",
        "(161) 496",
        "161-496",
        "12/03/1950",
        "12.3.50",
        "1950-03-12",
        "12031950",
        "12/03",
        "12/3/19",
        "1950-03",
        "zoe 12.3.50",
        "12",
        "50",
        "1950",
        "12 03 1950",
        "12 3 50",
        "12 March 1950",
        "12 mar 50",
        "12 march",
        "zoe 12 Mar. 1950",
    ],
)
def test_she_is_found_by(typed: str) -> None:
    her = make_patient(**SHE)
    make_patient(record_number="B", family_name="Else", given_names="Bo", born_on=date(1961, 7, 24), phone="555")
    assert list(queries.search_patients(typed)) == [her]


@pytest.mark.parametrize(
    "typed",
    [
        "zoe smith",
        "03/12/1950",
        "13.3.50",
        "12032050",
        "4712",
        "zoe 5",
        "161 497",
        "13",
        "51",
        "1951",
        "12 April",
        "",
        "z",
        "%%",
        "__",
        "\x00z",
    ],
)
def test_she_is_not_found_by(typed: str) -> None:
    make_patient(**SHE)
    assert list(queries.search_patients(typed)) == []


def test_a_record_number_typed_in_full_comes_first() -> None:
    make_patient(family_name="Aa", phone="1234")
    hers = make_patient(family_name="Zz", record_number="1234")
    assert queries.search_patients("1234")[0] == hers


def test_names_that_begin_so_come_before_names_that_hold_it() -> None:
    holds = make_patient(family_name="Aann", given_names="X", record_number="T-1")
    given = make_patient(family_name="Bb", given_names="Annie", record_number="T-2")
    begins = make_patient(family_name="Anner", given_names="X", record_number="T-3")
    assert list(queries.search_patients("ann")) == [begins, given, holds]


def test_who_has_the_digits_in_a_number_comes_before_who_was_born_then() -> None:
    born = make_patient(family_name="Aa", record_number="T-1", born_on=date(1961, 7, 24), phone="555")
    called = make_patient(family_name="Bb", record_number="T-2", born_on=date(1970, 1, 1), phone="9924")
    assert list(queries.search_patients("24")) == [called, born]


@pytest.mark.parametrize(("people", "shown", "more"), [(24, 24, False), (25, 25, False), (26, 25, True)])
def test_the_first_25_are_shown_with_a_word_that_there_are_more(*, people: int, shown: int, more: bool) -> None:
    for _ in range(people):
        make_patient(family_name="Same")
    found = queries.found("same")
    assert (len(found.people), found.more) == (shown, more)


def test_nothing_is_looked_for_while_too_little_is_typed(
    signed_in: SignIn, reception: Person, django_assert_num_queries: Any
) -> None:
    client = signed_in(reception)
    with django_assert_num_queries(3):  # session, person, roles
        client.get(reverse("clients"), {"text": "s"})


def test_the_page_asked_for_its_part_gives_that_part_and_the_count_alone(signed_in: SignIn, reception: Person) -> None:
    make_patient(family_name="Same")
    answer = signed_in(reception).get(
        reverse("clients"), {"text": "same"}, headers={"HX-Request": "true", "HX-Target": "found"}
    )
    text = answer.content.decode()
    assert ("<html" in text, "Same, Pat" in text, 'hx-swap-oob="innerHTML:#found-count"' in text) == (False, True, True)
    assert "1 person found." in text


def test_the_whole_page_says_the_count_once(signed_in: SignIn, reception: Person) -> None:
    make_patient(family_name="Same")
    text = signed_in(reception).get(reverse("clients"), {"text": "same"}).content.decode()
    assert text.count("1 person found.") == 1


@pytest.mark.parametrize("text", ["\x00" * 5, "a" * 10_000, "👟" * 40, "' OR 1=1 --", "99/99/9999", "0-0-0", "%00"])
def test_whatever_is_typed_is_answered(signed_in: SignIn, reception: Person, text: str) -> None:
    assert signed_in(reception).get(reverse("clients"), {"text": text}).status_code == 200
