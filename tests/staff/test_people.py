from datetime import datetime
from io import StringIO
from typing import Any

import pytest
from django.core.management import CommandError, call_command
from django.test import Client

from shared.models import Deed, HistoryEntry
from shared.refusals import Refused
from shared.versions import Stale
from tests.factories.staff import PASSWORD, make_person
from tests.factories.terminals import PIN, give_pin
from workshop.staff import actions, guessing
from workshop.staff.management.commands import make_administrator
from workshop.staff.models import Person, Pin, RoleKind

pytestmark = pytest.mark.django_db

NEW = {
    "name": "Nora New",
    "initials": "NN",
    "login": "nora",
    "roles": ["maker", "clinician"],
    "may_prescribe": "on",
    "password": PASSWORD,
    "pin": PIN,
}


def entry(person: Person, **changes: object) -> dict[str, object]:
    """The form of a person as the page shows it, with some fields filled in otherwise."""
    return {
        "name": person.name,
        "initials": person.initials,
        "login": person.login,
        "roles": sorted(person.role_kinds),
        "seen_version": person.version,
        **changes,
    }


def fresh(person: Person) -> Person:
    return Person.objects.get(pk=person.pk)


def test_an_administrator_makes_a_person_with_several_roles(signed_in, administrator: Person) -> None:
    answer = signed_in(administrator).post("/people/new/", NEW)
    person = Person.objects.get(login="nora")
    assert (answer.status_code, person.role_kinds, person.may_prescribe) == (
        303,
        frozenset({"maker", "clinician"}),
        True,
    )


def test_a_new_pin_takes_the_place_of_the_old_one(
    signed_in, administrator: Person, maker: Person, now: datetime
) -> None:
    give_pin(maker)
    signed_in(administrator).post(f"/people/{maker.uuid}/", entry(maker, pin="9753"))
    tries = [guessing.has_pin(maker, pin=pin, address="192.0.2.1", at=now) for pin in (PIN, "9753")]
    assert tries == [False, True]


def test_the_form_of_a_new_person_asks_for_a_password(signed_in, administrator: Person) -> None:
    page = signed_in(administrator).get("/people/new/").content.decode()
    assert page.count('type="password" name="password"') == 1


def test_a_change_that_lacks_a_name_is_refused(signed_in, administrator: Person, maker: Person) -> None:
    answer = signed_in(administrator).post(f"/people/{maker.uuid}/", entry(maker, name=""))
    assert (answer.status_code, fresh(maker).name) == (422, "Max Maker")


def test_a_new_person_signs_in_by_password_and_has_the_pin(signed_in, administrator: Person, now: datetime) -> None:
    signed_in(administrator).post("/people/new/", NEW)
    person = guessing.who_has_password(login="nora", password=PASSWORD, address="192.0.2.1", at=now)
    assert person is not None
    assert (person.name, guessing.has_pin(person, pin=PIN, address="192.0.2.1", at=now)) == ("Nora New", True)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"roles": []}, "choose at least one"),
        ({"roles": ["maker"]}, "Only a clinician may prescribe."),
        ({"roles": ["clinician"]}, "it needs the role Maker"),
        ({"password": "short"}, "too short"),
        ({"password": ""}, "This field is required."),
        ({"pin": "123"}, "4 to 6 digits"),
        ({"pin": "12a4"}, "4 to 6 digits"),
        ({"pin": "1234"}, "guessed first"),
        ({"pin": "7777"}, "guessed first"),
    ],
)
def test_an_entry_that_makes_no_sense_is_refused_and_leaves_nothing(
    signed_in, administrator: Person, change: dict[str, object], sentence: str
) -> None:
    answer = signed_in(administrator).post("/people/new/", {**NEW, **change})
    assert (answer.status_code, sentence in answer.content.decode()) == (422, True)
    assert not Person.objects.filter(login="nora").exists()


def test_a_sign_in_name_is_given_once(signed_in, administrator: Person) -> None:
    answer = signed_in(administrator).post("/people/new/", {**NEW, "login": administrator.login.upper()})
    assert "Somebody already has this sign-in name." in answer.content.decode()


def test_a_change_of_roles_holds_at_the_next_page(signed_in, administrator: Person, maker: Person) -> None:
    client = signed_in(maker)
    before = client.get("/figures/").status_code
    signed_in(administrator).post(f"/people/{maker.uuid}/", entry(maker, roles=["maker", "manager"]))
    assert (before, client.get("/figures/").status_code) == (403, 200)


def test_an_empty_password_and_pin_leave_both_as_they_are(
    signed_in, administrator: Person, maker: Person, now: datetime
) -> None:
    actions.set_password(maker, password=PASSWORD, by=administrator, at=now)
    give_pin(maker)
    signed_in(administrator).post(f"/people/{maker.uuid}/", entry(maker, name="Max Other"))
    assert (fresh(maker).name, fresh(maker).check_password(PASSWORD)) == ("Max Other", True)
    assert guessing.has_pin(maker, pin=PIN, address="192.0.2.1", at=now)


def test_a_new_password_signs_the_person_out(signed_in, administrator: Person, maker: Person) -> None:
    client = signed_in(maker)
    signed_in(administrator).post(f"/people/{maker.uuid}/", entry(maker, password="another long password"))
    assert client.get("/materials/").status_code == 302


def test_a_pin_is_taken_away(signed_in, administrator: Person, maker: Person) -> None:
    give_pin(maker)
    signed_in(administrator).post(f"/people/{maker.uuid}/", entry(maker, remove_pin="on"))
    assert Pin.objects.count() == 0


def test_who_is_no_maker_any_more_keeps_no_pin(administrator: Person, maker: Person, now: datetime) -> None:
    give_pin(maker)
    change: dict[str, Any] = {"login": maker.login, "name": maker.name, "initials": "MM", "roles": ["reception"]}
    actions.change_person(maker, seen_version=1, **change, may_prescribe=False, by=administrator, at=now)
    assert Pin.objects.count() == 0


def test_a_secret_is_in_no_history_and_in_no_deed(signed_in, administrator: Person) -> None:
    signed_in(administrator).post("/people/new/", NEW)
    kept = " ".join(
        [str(entry.after) for entry in HistoryEntry.objects.all()] + [deed.says for deed in Deed.objects.all()]
    )
    pin = Pin.objects.get()
    assert [secret for secret in (PASSWORD, PIN, pin.hash, pin.person.password) if secret in kept] == []


def test_a_stale_change_is_refused_and_shows_both(signed_in, administrator: Person, maker: Person) -> None:
    client = signed_in(administrator)
    client.post(f"/people/{maker.uuid}/", entry(maker, name="Theirs", roles=["maker", "reception"]))
    answer = client.post(f"/people/{maker.uuid}/", entry(maker, name="Yours", password="a secret never shown"))
    page = answer.content.decode()
    assert (answer.status_code, fresh(maker).name) == (409, "Theirs")
    assert [words in page for words in ("Theirs", "Yours", "Reception, Maker", "a secret never shown")] == [
        True,
        True,
        True,
        False,
    ]


def test_a_stale_change_says_yes_or_no_in_words(signed_in, administrator: Person, clinician: Person) -> None:
    client, path = signed_in(administrator), f"/people/{clinician.uuid}/"
    client.post(path, entry(clinician, may_prescribe="on", name="Theirs"))
    answer = client.post(path, entry(clinician, name="Theirs"))
    assert "<td>yes</td><td>no</td>" in answer.content.decode()


def test_a_stale_form_sent_once_more_is_saved(signed_in, administrator: Person, maker: Person) -> None:
    client = signed_in(administrator)
    client.post(f"/people/{maker.uuid}/", entry(maker, name="Theirs"))
    assert (
        'name="seen_version" value="2"'
        in client.post(f"/people/{maker.uuid}/", entry(maker, name="Yours")).content.decode()
    )
    client.post(f"/people/{maker.uuid}/", entry(maker, name="Yours", seen_version=2))
    assert fresh(maker).name == "Yours"


def test_the_action_refuses_a_stale_version(administrator: Person, maker: Person, now: datetime) -> None:
    change: dict[str, Any] = {
        "login": maker.login,
        "name": "A",
        "initials": "A",
        "roles": ["maker"],
        "may_prescribe": False,
    }
    actions.change_person(maker, seen_version=1, **change, by=administrator, at=now)
    with pytest.raises(Stale):
        actions.change_person(maker, seen_version=1, **change, by=administrator, at=now)


def test_the_last_administrator_cannot_leave(administrator: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="last administrator"):
        actions.retire_person(administrator, by=administrator, at=now)


def test_the_last_administrator_may_change_the_rest_of_the_entry(signed_in, administrator: Person) -> None:
    form = entry(administrator, name="Ada Other", roles=["administrator", "manager"])
    signed_in(administrator).post(f"/people/{administrator.uuid}/", form)
    assert (fresh(administrator).name, fresh(administrator).role_kinds) == (
        "Ada Other",
        frozenset({"administrator", "manager"}),
    )


def test_the_last_administrator_keeps_the_role(signed_in, administrator: Person) -> None:
    answer = signed_in(administrator).post(f"/people/{administrator.uuid}/", entry(administrator, roles=["manager"]))
    assert "This is the last administrator: make another one first." in answer.content.decode()
    assert fresh(administrator).role_kinds == {"administrator"}


def test_a_retired_administrator_does_not_count(administrator: Person, now: datetime) -> None:
    other = make_person(roles=["administrator"])
    actions.retire_person(other, by=administrator, at=now)
    with pytest.raises(Refused, match="last administrator"):
        actions.retire_person(administrator, by=administrator, at=now)


def test_one_of_two_administrators_may_leave(administrator: Person, now: datetime) -> None:
    other = make_person(roles=["administrator"])
    actions.retire_person(administrator, by=other, at=now)
    assert fresh(administrator).is_active is False


def test_somebody_who_left_loses_the_pin_and_may_come_back(administrator: Person, maker: Person, now: datetime) -> None:
    give_pin(maker)
    actions.retire_person(maker, by=administrator, at=now)
    actions.bring_back_person(maker, by=administrator, at=now)
    assert (fresh(maker).is_active, fresh(maker).role_kinds, Pin.objects.count()) == (True, frozenset({"maker"}), 0)


def test_nobody_leaves_or_returns_twice(administrator: Person, maker: Person, now: datetime) -> None:
    with pytest.raises(Refused, match="has not left"):
        actions.bring_back_person(maker, by=administrator, at=now)
    actions.retire_person(maker, by=administrator, at=now)
    with pytest.raises(Refused, match="already left"):
        actions.retire_person(maker, by=administrator, at=now)


def test_the_pages_buttons_retire_and_bring_back(signed_in, administrator: Person, maker: Person) -> None:
    client = signed_in(administrator)
    client.post(f"/people/{maker.uuid}/retire/")
    gone = fresh(maker).is_active
    client.post(f"/people/{maker.uuid}/bring-back/")
    assert (gone, fresh(maker).is_active) == (False, True)


@pytest.mark.parametrize("role", ["reception", "clinician", "maker", "manager"])
def test_nobody_but_an_administrator_comes_to_the_people(signed_in, request, role: str) -> None:
    person = request.getfixturevalue(role)
    client = signed_in(person)
    answers = [
        client.get("/people/"),
        client.get(f"/people/{person.uuid}/"),
        client.post("/people/new/", NEW),
        client.post(f"/people/{person.uuid}/", entry(person, roles=["administrator"])),
        client.post(f"/people/{person.uuid}/retire/"),
    ]
    assert [answer.status_code for answer in answers] == [403] * 5


def test_the_first_administrator_is_made_by_a_command(monkeypatch: pytest.MonkeyPatch, nobody: Client) -> None:
    monkeypatch.setattr(make_administrator, "getpass", lambda _: PASSWORD)
    call_command("make_administrator", "ada", "Ada First", stdout=StringIO())
    person = Person.objects.get(login="ada")
    assert (person.role_kinds, person.initials, person.check_password(PASSWORD)) == (
        frozenset({"administrator"}),
        "AF",
        True,
    )


def test_the_command_says_why_it_refuses(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(make_administrator, "getpass", lambda _: "short")
    with pytest.raises(CommandError, match="too short"):
        call_command("make_administrator", "ada", "Ada First")


def test_narrowing_a_person_takes_the_right_to_prescribe_with_the_role(clinician: Person) -> None:
    clinician.narrow_to([RoleKind.MAKER])
    assert (clinician.role_kinds, clinician.may_prescribe) == (frozenset(), False)
