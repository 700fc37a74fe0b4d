import uuid
from collections.abc import Callable

import pytest
from django.test import Client

from shared.models import Submission
from workshop.hours.models import Room
from workshop.staff.models import Person

pytestmark = [pytest.mark.django_db, pytest.mark.urls("tests.shared.addresses")]

SignIn = Callable[[Person], Client]


def test_a_form_sent_twice_has_one_effect_and_gives_the_first_answer(signed_in: SignIn, maker: Person) -> None:
    client, form = signed_in(maker), {"submission": str(uuid.uuid4()), "name": "casting"}
    answers = [client.post("/once/", form) for _ in range(2)]
    assert [(answer.status_code, answer.headers["Location"]) for answer in answers] == [(303, "/rooms-opened/")] * 2
    assert Room.objects.count() == 1


def test_the_same_number_with_other_contents_is_refused(signed_in: SignIn, maker: Person) -> None:
    client, number = signed_in(maker), str(uuid.uuid4())
    client.post("/once/", {"submission": number, "name": "casting"})
    assert client.post("/once/", {"submission": number, "name": "fitting"}).status_code == 422
    assert Room.objects.count() == 1


def test_a_refused_form_leaves_nothing_and_may_be_sent_again(signed_in: SignIn, maker: Person) -> None:
    client, number = signed_in(maker), str(uuid.uuid4())
    refused = client.post("/once/", {"submission": number, "name": "refused"})
    assert (refused.status_code, Room.objects.count(), Submission.objects.count()) == (409, 0, 0)
    assert client.post("/once/", {"submission": number, "name": "casting"}).status_code == 303


def test_another_persons_number_does_not_give_their_answer(signed_in: SignIn, maker: Person, clinician: Person) -> None:
    number = str(uuid.uuid4())
    signed_in(maker).post("/once/", {"submission": number, "name": "casting"})
    assert signed_in(clinician).post("/once/", {"submission": number, "name": "casting"}).status_code == 422


def test_a_form_without_a_number_is_refused_in_a_sentence(signed_in: SignIn, maker: Person) -> None:
    answer = signed_in(maker).post("/once/", {"submission": "", "name": "casting"})
    assert answer.status_code == 400
    assert "Load the page again" in answer.content.decode()


def test_a_view_that_does_not_say_for_whom_it_is_is_refused_to_all(signed_in: SignIn, manager: Person) -> None:
    assert signed_in(manager).get("/says-nothing/").status_code == 403


def test_somebody_not_signed_in_is_sent_to_the_door(nobody: Client) -> None:
    answer = nobody.get("/once/?name=casting")
    assert (answer.status_code, answer.headers["Location"]) == (302, "/sign-in/?next=%2Fonce%2F%3Fname%3Dcasting")


def test_a_form_sent_after_the_sign_in_had_ended_does_nothing(nobody: Client) -> None:
    answer = nobody.post("/once/", {"name": "casting"})
    assert (answer.status_code, Room.objects.count()) == (403, 0)


def test_a_fragment_after_the_sign_in_expired_sends_the_whole_page_to_the_door(nobody: Client) -> None:
    answer = nobody.get(
        "/once/", headers={"HX-Request": "true", "HX-Current-URL": "http://testserver/clients/?text=ab"}
    )
    assert (answer.status_code, answer.headers["HX-Redirect"]) == (204, "/sign-in/?next=%2Fclients%2F%3Ftext%3Dab")
