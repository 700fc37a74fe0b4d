"""A form that was sent after its sign-in had ended is carried through the sign-in, and sent again by a person."""

import json
import re
from html import unescape
from typing import Any

import pytest
from django.test import Client
from hypothesis import given
from hypothesis import strategies as st

from shared.kept import KeptForm
from tests.factories.staff import PASSWORD, make_person
from workshop.hours.models import Room
from workshop.staff.models import Person

TYPED = {"submission": "0b1c9f7e-41f0-4b2e-8f0e-6d8c2f4f8f10", "name": "Room “3”\r\nby the stairs <b>"}


@pytest.fixture
def manager_who_left_the_page_open(db: None) -> Person:
    return make_person(roles=["manager"], password=PASSWORD)


def hidden(answer: Any, name: str) -> str:
    """The value of one hidden field of a page."""
    field = re.search(rf'<input type="hidden" name="{name}" value="([^"]*)"', answer.content.decode())
    assert field is not None
    return unescape(field[1])


def carried(answer: Any) -> dict[str, str]:
    """Every field of the form that is sent again, as a browser would send it."""
    fields = re.findall(r'<textarea name="([^"]*)" hidden>\n(.*?)</textarea>', answer.content.decode(), re.DOTALL)
    return {unescape(name): unescape(value) for name, value in fields}


@pytest.mark.django_db
def test_what_was_typed_goes_through_the_sign_in_and_is_saved_when_it_is_sent_again(
    nobody: Client, manager_who_left_the_page_open: Person
) -> None:
    kept = hidden(nobody.post("/hours/rooms/", TYPED), "kept")
    signed_in = nobody.post(
        "/sign-in/", {"login": manager_who_left_the_page_open.login, "password": PASSWORD, "kept": kept}
    )
    before = Room.objects.count()
    answer = nobody.post("/hours/rooms/", carried(signed_in))
    assert (carried(signed_in), before, answer.status_code) == (TYPED, 0, 303)
    assert Room.objects.get().name == TYPED["name"]


@pytest.mark.django_db
def test_a_wrong_password_on_the_way_loses_nothing(nobody: Client, manager_who_left_the_page_open: Person) -> None:
    kept = hidden(nobody.post("/hours/rooms/", TYPED), "kept")
    refused = nobody.post(
        "/sign-in/", {"login": manager_who_left_the_page_open.login, "password": "wrong", "kept": kept}
    )
    assert (refused.status_code, hidden(refused, "kept")) == (422, kept)


@pytest.mark.django_db
def test_a_secret_is_never_carried(nobody: Client) -> None:
    typed = {"submission": TYPED["submission"], "name": "Ada", "password": "very-private-words", "pin": "4826"}
    kept = json.loads(hidden(nobody.post("/people/new/", typed), "kept"))
    assert kept == ["/people/new/", [["submission", TYPED["submission"]], ["name", "Ada"]]]


@pytest.mark.parametrize(
    "address", ["//elsewhere.example/", "https://elsewhere.example/", "/\\elsewhere.example", "javascript:alert(1)", ""]
)
def test_a_form_is_never_carried_to_another_host(address: str) -> None:
    assert KeptForm.read({"kept": json.dumps([address, [["name", "Ada"]]])}) is None


@given(st.text() | st.recursive(st.none() | st.integers() | st.text(), st.lists).map(json.dumps))
def test_whatever_a_sign_in_form_carries_is_ours_or_nothing(text: str) -> None:
    read = KeptForm.read({"kept": text})
    assert read is None or read.address.startswith("/")


@given(st.lists(st.tuples(st.text(), st.text())))
def test_what_is_packed_is_read_again(entries: list[tuple[str, str]]) -> None:
    kept = KeptForm("/clients/new/?a=b", tuple(entries))
    assert KeptForm.read({"kept": kept.packed}) == kept
