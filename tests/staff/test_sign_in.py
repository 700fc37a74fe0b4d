from datetime import datetime, timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from tests.factories.staff import PASSWORD, make_person
from workshop.staff import actions, guessing, queries
from workshop.staff.models import Attempt, Person

pytestmark = pytest.mark.django_db

HERE, ELSEWHERE = "192.0.2.1", "192.0.2.2"


@pytest.fixture
def person(db: None) -> Person:
    return make_person(name="Paula Password", roles=["maker"], password=PASSWORD)


def sign_in(client: Client, person: Person, *, password: str = PASSWORD, page_after: str = "") -> Any:
    return client.post("/sign-in/", {"login": person.login, "password": password, "next": page_after})


def guess(login: str, *, times: int, address: str = HERE, at: datetime) -> None:
    """Wrong passwords, one after the other."""
    for _ in range(times):
        guessing.who_has_password(login=login, password="wrong", address=address, at=at)


def test_the_right_password_leads_to_the_first_screen(nobody: Client, person: Person) -> None:
    answer = sign_in(nobody, person)
    assert (answer.status_code, answer.headers["Location"]) == (303, "/")
    assert nobody.session["_auth_user_id"] == str(person.pk)


def test_the_sign_in_name_may_be_typed_in_capitals(nobody: Client, person: Person) -> None:
    nobody.post("/sign-in/", {"login": f" {person.login.upper()} ", "password": PASSWORD})
    assert nobody.session["_auth_user_id"] == str(person.pk)


def test_a_wrong_password_is_said_without_saying_what_was_wrong(nobody: Client, person: Person) -> None:
    answer = sign_in(nobody, person, password="wrong")
    unknown = nobody.post("/sign-in/", {"login": "nobody-at-all", "password": "wrong"})
    sentence = "The sign-in name or the password is not right."
    assert [(a.status_code, sentence in a.content.decode()) for a in (answer, unknown)] == [(422, True)] * 2


def test_a_password_is_never_shown_again(nobody: Client, person: Person) -> None:
    answer = sign_in(nobody, person, password="wrong-but-private")
    assert "wrong-but-private" not in answer.content.decode()


def test_an_empty_form_is_not_counted_as_a_try(nobody: Client) -> None:
    answer = nobody.post("/sign-in/", {"login": "", "password": ""})
    assert (answer.status_code, Attempt.objects.count()) == (422, 0)


def test_one_goes_on_to_the_page_one_came_from(nobody: Client, person: Person) -> None:
    assert sign_in(nobody, person, page_after="/clients/?text=ab").headers["Location"] == "/clients/?text=ab"


@pytest.mark.parametrize(
    "page_after", ["https://elsewhere.example/", "//elsewhere.example", "javascript:alert(1)", "/\\elsewhere.example"]
)
def test_a_page_on_another_host_is_refused(nobody: Client, person: Person, page_after: str) -> None:
    assert sign_in(nobody, person, page_after=page_after).headers["Location"] == "/"


def test_somebody_already_signed_in_goes_on(signed_in, person: Person) -> None:
    answer = signed_in(person).get("/sign-in/?next=/materials/")
    assert (answer.status_code, answer.headers["Location"]) == (303, "/materials/")


def test_signing_out_leads_to_the_sign_in(signed_in, person: Person) -> None:
    client = signed_in(person)
    answer = client.post("/sign-out/")
    assert (answer.headers["Location"], client.get("/materials/").status_code) == ("/sign-in/", 302)


def test_a_link_cannot_sign_anybody_out(signed_in, person: Person) -> None:
    assert signed_in(person).get("/sign-out/").status_code == 405


def test_a_retired_person_cannot_sign_in(nobody: Client, person: Person, administrator: Person, now: datetime) -> None:
    actions.retire_person(person, by=administrator, at=now)
    assert sign_in(nobody, person).status_code == 422


def test_a_retired_person_is_out_at_once(signed_in, person: Person, administrator: Person, now: datetime) -> None:
    client = signed_in(person)
    before = client.get("/materials/").status_code
    actions.retire_person(person, by=administrator, at=now)
    assert (before, client.get("/materials/").status_code) == (200, 302)


def test_an_account_is_locked_after_ten_wrong_tries_from_anywhere(person: Person, now: datetime) -> None:
    guess(person.login, times=5, address=HERE, at=now)
    guess(person.login, times=5, address=ELSEWHERE, at=now)
    with pytest.raises(guessing.TooManyTries):
        guessing.who_has_password(login=person.login, password=PASSWORD, address="192.0.2.3", at=now)


def test_nine_wrong_tries_still_let_the_right_password_in(person: Person, now: datetime) -> None:
    guess(person.login, times=9, at=now)
    found = guessing.who_has_password(login=person.login, password=PASSWORD, address=HERE, at=now)
    assert found == person


def test_an_address_is_locked_after_twenty_wrong_tries_at_any_account(person: Person, now: datetime) -> None:
    for number in range(20):
        guess(f"name-{number}", times=1, at=now)
    with pytest.raises(guessing.TooManyTries):
        guessing.who_has_password(login=person.login, password=PASSWORD, address=HERE, at=now)


def test_another_address_is_not_locked_with_it(person: Person, now: datetime) -> None:
    for number in range(20):
        guess(f"name-{number}", times=1, at=now)
    assert guessing.who_has_password(login=person.login, password=PASSWORD, address=ELSEWHERE, at=now) == person


def test_the_lock_opens_an_hour_after_the_first_wrong_try(person: Person, now: datetime) -> None:
    guess(person.login, times=1, at=now)
    guess(person.login, times=9, at=now + timedelta(minutes=30))
    with pytest.raises(guessing.TooManyTries, match="Try again after 11:00"):
        guess(person.login, times=1, at=now + timedelta(minutes=59))
    later = now + timedelta(hours=1)
    assert guessing.who_has_password(login=person.login, password=PASSWORD, address=HERE, at=later) == person


def test_a_try_that_was_not_looked_at_does_not_make_the_wait_longer(person: Person, now: datetime) -> None:
    guess(person.login, times=10, at=now)
    with pytest.raises(guessing.TooManyTries):
        guess(person.login, times=1, at=now + timedelta(minutes=50))
    later = now + timedelta(hours=1)
    assert guessing.who_has_password(login=person.login, password=PASSWORD, address=HERE, at=later) == person


def test_right_tries_are_not_counted(person: Person, now: datetime) -> None:
    for _ in range(30):
        guessing.who_has_password(login=person.login, password=PASSWORD, address=HERE, at=now)
    assert guessing.wrong_tries(at=now + timedelta(minutes=1)).count() == 0


def test_the_lock_sounds_the_same_for_an_account_that_does_not_exist(person: Person, now: datetime) -> None:
    sentences = []
    for login in (person.login, "nobody-at-all"):
        guess(login, times=10, at=now)
        with pytest.raises(guessing.TooManyTries) as refused:
            guess(login, times=1, address=ELSEWHERE, at=now)
        sentences.append(refused.value.message)
    assert sentences[0] == sentences[1]


def test_a_locked_account_is_told_so_plainly(nobody: Client, person: Person) -> None:
    guess(person.login, times=10, at=timezone.now())
    answer = sign_in(nobody, person)
    assert (answer.status_code, "Too many wrong tries." in answer.content.decode()) == (429, True)


def test_what_was_typed_as_a_name_is_not_kept_readable(now: datetime) -> None:
    guess("my secret password", times=1, at=now)
    assert len(Attempt.objects.get().account) == 64


def test_tries_are_forgotten_after_a_week(person: Person, now: datetime) -> None:
    guess(person.login, times=3, at=now - timedelta(days=8))
    guessing.who_has_password(login=person.login, password=PASSWORD, address=HERE, at=now)
    assert Attempt.objects.count() == 1


@pytest.mark.parametrize("role", ["manager", "administrator"])
def test_a_manager_or_administrator_lets_a_locked_person_try_again(signed_in, request, person: Person, role) -> None:
    at = timezone.now()
    guess(person.login, times=10, address=ELSEWHERE, at=at)
    signed_in(request.getfixturevalue(role)).post("/locked-out/let-try-again/", {"person": person.uuid})
    assert guessing.who_has_password(login=person.login, password=PASSWORD, address=HERE, at=at) == person


def test_a_manager_lets_a_locked_address_try_again(signed_in, manager: Person, person: Person) -> None:
    at = timezone.now()
    for number in range(20):
        guess(f"name-{number}", times=1, at=at)
    signed_in(manager).post("/locked-out/let-try-again/", {"address": HERE})
    assert guessing.who_has_password(login=person.login, password=PASSWORD, address=HERE, at=at) == person


def test_letting_somebody_try_again_who_is_not_locked_out_changes_nothing(
    signed_in, manager: Person, person: Person
) -> None:
    guess(person.login, times=3, at=timezone.now())
    answer = signed_in(manager).post("/locked-out/let-try-again/", {"person": person.uuid, "address": HERE})
    assert (answer.status_code, Attempt.objects.count()) == (303, 3)


def test_one_persons_lock_is_lifted_and_not_anothers(signed_in, manager: Person, person: Person, maker: Person) -> None:
    at = timezone.now()
    guess(person.login, times=10, address=HERE, at=at)
    guess(maker.login, times=10, address=ELSEWHERE, at=at)
    signed_in(manager).post("/locked-out/let-try-again/", {"person": person.uuid})
    assert queries.locked_out(at=at).people == [maker]


def test_a_maker_cannot_lift_a_lock(signed_in, maker: Person, person: Person) -> None:
    assert signed_in(maker).post("/locked-out/let-try-again/", {"person": person.uuid}).status_code == 403


def test_the_page_shows_who_is_locked_out_and_nobody_else(person: Person, maker: Person, now: datetime) -> None:
    guess(person.login, times=10, address=HERE, at=now)
    guess(maker.login, times=9, address=ELSEWHERE, at=now)
    found = queries.locked_out(at=now)
    assert (found.people, found.addresses) == ([person], [])


@pytest.mark.parametrize(
    ("forwarded", "https", "expected"),
    [("192.0.2.9, 192.0.2.1", True, "192.0.2.1"), ("192.0.2.9", False, "127.0.0.1"), ("nonsense", True, "127.0.0.1")],
    ids=["the one our proxy saw", "not believed without a proxy", "nonsense"],
)
def test_an_address_is_believed_only_from_our_own_proxy(rf, settings, forwarded, https, expected) -> None:
    from workshop.staff.session import address_of

    settings.SERVED_OVER_HTTPS = https
    assert address_of(rf.get("/", headers={"X-Forwarded-For": forwarded})) == expected
