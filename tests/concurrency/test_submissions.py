"""One form sent twenty times at once. The race is first shown to exist."""

import uuid
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connection
from django.test import Client

from tests.factories.staff import make_person
from workshop.hours.models import Room
from workshop.staff.models import Person

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.urls("tests.shared.addresses")]

TIMES = 20


def send_at_once(path: str, person: Person) -> list[int]:
    form = {"submission": str(uuid.uuid4()), "name": "casting"}

    def send(_: int) -> int:
        client = Client()
        client.force_login(person)
        try:
            return client.post(path, form).status_code
        finally:
            connection.close()

    with ThreadPoolExecutor(8) as pool:
        return list(pool.map(send, range(TIMES)))


def test_without_its_guard_a_form_sent_twenty_times_acts_twenty_times() -> None:
    statuses = send_at_once("/each-time/", make_person(roles=["maker"]))
    assert (statuses, Room.objects.count()) == ([303] * TIMES, TIMES)


def test_a_form_sent_twenty_times_at_once_acts_once() -> None:
    statuses = send_at_once("/once/", make_person(roles=["maker"]))
    assert (statuses, Room.objects.count()) == ([303] * TIMES, 1)
