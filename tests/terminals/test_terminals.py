from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any

import pytest
from django.test import Client
from django.utils import timezone

from shared.refusals import Refused
from tests.factories.figures import load_figures, make_figure
from tests.factories.hours import load_hours
from tests.factories.staff import PASSWORD, make_person
from tests.factories.terminals import PIN, give_pin, make_terminal
from workshop.staff import actions, guessing, session
from workshop.staff.models import Person, Pin, Terminal
from workshop.terminals.middleware import COOKIE

pytestmark = pytest.mark.django_db

SignIn = Callable[[Person], Client]
HERE = "192.0.2.1"


@pytest.fixture(autouse=True)
def figures_loaded(db: None) -> None:
    load_figures()


@pytest.fixture
def bram(db: None) -> Person:
    """A maker with a PIN who is also a manager and may prescribe."""
    person = make_person(
        name="Bram Both", roles=["maker", "manager", "clinician"], may_prescribe=True, password=PASSWORD
    )
    give_pin(person)
    return person


def unlock(client: Client, person: Person, *, pin: str = PIN, page_after: str = "") -> Any:
    return client.post(f"/terminal/{person.uuid}/", {"pin": pin, "next": page_after})


def leave_alone(client: Client, *, minutes: float) -> None:
    """Nobody touched this terminal for so many minutes."""
    kept = client.session
    kept[session.TOUCHED_AT] = (timezone.now() - timedelta(minutes=minutes)).isoformat()
    kept.save()


def is_in(client: Client) -> bool:
    return "_auth_user_id" in client.session


def test_a_manager_makes_the_device_he_stands_at_a_terminal(signed_in: SignIn, manager: Person) -> None:
    load_hours()
    client = signed_in(manager)
    answer = client.post("/terminals/", {"name": "by the window", "bench_key": "lasting"})
    terminal = Terminal.objects.get()
    assert (answer.status_code, terminal.bench_key, terminal.registered_by) == (303, "lasting", manager)
    assert "This device is the terminal" in client.get("/terminals/").content.decode()


def test_the_key_is_kept_by_the_device_alone(signed_in: SignIn, manager: Person) -> None:
    answer = signed_in(manager).post("/terminals/", {"name": "by the window", "bench_key": ""})
    cookie = answer.cookies[COOKIE]
    assert (cookie["httponly"], cookie["samesite"], cookie["max-age"]) == (True, "Strict", 34_560_000)
    assert cookie.value not in str(Terminal.objects.values().get())


def test_the_key_travels_over_https_alone_where_there_is_any(settings, signed_in: SignIn, manager: Person) -> None:
    settings.SESSION_COOKIE_SECURE = True
    answer = signed_in(manager).post("/terminals/", {"name": "by the window", "bench_key": ""})
    assert answer.cookies[COOKIE]["secure"] is True


def test_a_bench_nobody_has_is_refused(signed_in: SignIn, manager: Person) -> None:
    answer = signed_in(manager).post("/terminals/", {"name": "by the window", "bench_key": "moon"})
    assert (answer.status_code, Terminal.objects.count()) == (422, 0)


def test_a_terminal_stands_at_a_bench_where_something_is_made(signed_in: SignIn, manager: Person) -> None:
    load_hours()
    offered = signed_in(manager).get("/terminals/").context["form"].fields["bench_key"].choices
    assert sorted(key for key, _ in offered if key) == [
        "bottom", "check", "clicking", "closing", "finishing", "last", "lasting", "pattern", "resin",
    ]  # fmt: skip


@pytest.mark.parametrize("role", ["reception", "clinician", "maker", "administrator"])
def test_nobody_but_a_manager_registers_or_revokes(signed_in: SignIn, request, nobody: Client, role: str) -> None:
    terminal = make_terminal(nobody)
    client = signed_in(request.getfixturevalue(role))
    answers = [client.post("/terminals/", {"name": "mine"}), client.post(f"/terminals/{terminal.uuid}/revoke/")]
    assert [answer.status_code for answer in answers] == [403, 403]


def test_the_lock_screen_offers_the_working_makers_who_have_a_pin(nobody: Client, bram: Person, now: datetime) -> None:
    make_terminal(nobody)
    make_person(name="Milo Without", roles=["maker"])
    give_pin(make_person(name="Rita Nomaker", roles=["reception"]))
    gone = make_person(name="Gone Already", roles=["maker"])
    give_pin(gone)
    actions.retire_person(gone, by=bram, at=now)
    page = nobody.get("/terminal/").content.decode()
    names = ("Bram Both", "Milo Without", "Rita Nomaker", "Gone Already")
    assert [name in page for name in names] == [True, False, False, False]


def test_changing_hands_is_two_touches_and_a_pin(nobody: Client, bram: Person) -> None:
    make_terminal(nobody)
    other = make_person(name="Sunny Other", roles=["maker"])
    give_pin(other, "9753")
    unlock(nobody, bram)
    lock_screen = nobody.post("/sign-out/", follow=True)
    assert f'href="/terminal/{other.uuid}/' in lock_screen.content.decode()
    answer = unlock(nobody, other, pin="9753")
    assert (answer.status_code, nobody.session["_auth_user_id"]) == (303, str(other.pk))


def test_one_comes_back_to_the_page_that_locked(nobody: Client, bram: Person) -> None:
    make_terminal(nobody)
    assert unlock(nobody, bram, page_after="/materials/").headers["Location"] == "/materials/"


def test_a_page_on_another_host_is_refused(nobody: Client, bram: Person) -> None:
    make_terminal(nobody)
    assert unlock(nobody, bram, page_after="https://elsewhere.example/").headers["Location"] == "/"


def test_a_pin_is_worth_nothing_on_another_device(nobody: Client, bram: Person) -> None:
    answer = unlock(nobody, bram)
    assert (answer.status_code, is_in(nobody)) == (403, False)


def test_the_lock_screen_of_another_device_is_the_sign_in(nobody: Client) -> None:
    assert nobody.get("/terminal/").headers["Location"] == "/sign-in/"


def test_a_sign_in_by_pin_does_not_travel_to_another_device(nobody: Client, bram: Person) -> None:
    make_terminal(nobody)
    unlock(nobody, bram)
    del nobody.cookies[COOKIE]
    assert (nobody.get("/materials/").status_code, is_in(nobody)) == (302, False)


def test_a_sign_in_by_pin_does_not_travel_to_another_terminal(nobody: Client, bram: Person) -> None:
    make_terminal(nobody)
    unlock(nobody, bram)
    make_terminal(nobody)
    assert (nobody.get("/materials/").status_code, is_in(nobody)) == (302, False)


def test_at_a_revoked_terminal_whoever_is_there_by_pin_is_out(nobody: Client, bram: Person, now: datetime) -> None:
    terminal = make_terminal(nobody)
    unlock(nobody, bram)
    before = nobody.get("/materials/").status_code
    actions.revoke_terminal(terminal, by=bram, at=now)
    assert (before, nobody.get("/materials/").status_code, is_in(nobody)) == (200, 302, False)


def test_a_revoked_terminal_takes_no_pin(nobody: Client, bram: Person, now: datetime) -> None:
    actions.revoke_terminal(make_terminal(nobody), by=bram, at=now)
    assert unlock(nobody, bram).status_code == 403


def test_a_terminal_is_revoked_once(signed_in: SignIn, nobody: Client, manager: Person, now: datetime) -> None:
    terminal = make_terminal(nobody)
    signed_in(manager).post(f"/terminals/{terminal.uuid}/revoke/")
    with pytest.raises(Refused, match="already revoked"):
        actions.revoke_terminal(terminal, by=manager, at=now)


def test_by_pin_a_person_is_a_maker_and_nothing_more(nobody: Client, bram: Person) -> None:
    make_terminal(nobody)
    unlock(nobody, bram)
    assert [nobody.get(path).status_code for path in ("/materials/", "/figures/", "/terminals/")] == [200, 403, 403]
    seen: Any = nobody.get("/materials/").wsgi_request.user
    assert (seen.role_kinds, seen.may_prescribe) == (frozenset({"maker"}), False)


def test_by_password_a_person_has_all_roles_at_a_terminal_too(nobody: Client, bram: Person) -> None:
    make_terminal(nobody)
    unlock(nobody, bram)
    nobody.post("/sign-in/", {"login": bram.login, "password": PASSWORD})
    assert nobody.get("/figures/").status_code == 200


def test_the_saved_roles_are_untouched_by_a_sign_in_by_pin(nobody: Client, bram: Person) -> None:
    make_terminal(nobody)
    unlock(nobody, bram)
    nobody.get("/materials/")
    kept = Person.objects.get(pk=bram.pk)
    assert (kept.role_kinds, kept.may_prescribe) == (frozenset({"maker", "manager", "clinician"}), True)


@pytest.mark.parametrize(("minutes", "stays"), [(4.9, True), (5.1, False)])
def test_a_terminal_locks_after_idle_minutes(nobody: Client, bram: Person, minutes: float, *, stays: bool) -> None:
    make_terminal(nobody)
    unlock(nobody, bram)
    leave_alone(nobody, minutes=minutes)
    nobody.get("/materials/")
    assert is_in(nobody) is stays


def test_the_idle_minutes_are_the_workshops_own(nobody: Client, bram: Person) -> None:
    make_figure("terminal_idle_minutes", "10", valid_from=timezone.localdate(), unit="min")
    make_terminal(nobody)
    unlock(nobody, bram)
    leave_alone(nobody, minutes=9)
    nobody.get("/materials/")
    assert is_in(nobody)


def test_a_password_sign_in_at_a_terminal_locks_as_well(nobody: Client, bram: Person) -> None:
    make_terminal(nobody)
    nobody.post("/sign-in/", {"login": bram.login, "password": PASSWORD})
    leave_alone(nobody, minutes=6)
    assert nobody.get("/figures/").headers["Location"] == "/terminal/?next=%2Ffigures%2F"


def test_a_desk_does_not_lock(signed_in: SignIn, bram: Person) -> None:
    client = signed_in(bram)
    leave_alone(client, minutes=60)
    assert client.get("/figures/").status_code == 200


def test_each_touch_begins_the_idle_time_anew(nobody: Client, bram: Person) -> None:
    make_terminal(nobody)
    unlock(nobody, bram)
    for _ in range(2):
        leave_alone(nobody, minutes=3)
        nobody.get("/materials/")
    touched = datetime.fromisoformat(nobody.session[session.TOUCHED_AT])
    assert timezone.now() - touched < timedelta(minutes=1)


def test_a_page_that_goes_to_the_lock_screen_by_itself_is_no_touch(nobody: Client, bram: Person) -> None:
    make_terminal(nobody)
    unlock(nobody, bram)
    leave_alone(nobody, minutes=3)
    before = nobody.session[session.TOUCHED_AT]
    page = nobody.get("/terminal/?next=/materials/").content.decode()
    assert (nobody.session[session.TOUCHED_AT], "Bram Both: go on" in page) == (before, True)


def test_what_is_sent_to_a_locked_terminal_is_said_to_be_lost(nobody: Client, bram: Person) -> None:
    make_terminal(nobody)
    nobody.post("/sign-in/", {"login": bram.login, "password": PASSWORD})
    leave_alone(nobody, minutes=6)
    answer = nobody.post("/hours/rooms/", {"name": "Never"}, follow=True)
    assert (answer.redirect_chain, "was not saved" in answer.content.decode()) == ([("/terminal/?next=%2F", 302)], True)


def test_a_page_at_a_terminal_goes_to_the_lock_screen_by_itself(nobody: Client, bram: Person) -> None:
    make_terminal(nobody)
    unlock(nobody, bram)
    page = nobody.get("/materials/").content.decode()
    assert '<meta http-equiv="refresh" content="301;url=/terminal/?next=%2Fmaterials%2F">' in page


def test_no_page_elsewhere_does(signed_in: SignIn, bram: Person) -> None:
    assert "locks-after" not in signed_in(bram).get("/materials/").content.decode()


def test_the_masthead_at_a_terminal_says_change_hands(nobody: Client, bram: Person) -> None:
    make_terminal(nobody)
    unlock(nobody, bram)
    assert "Change hands" in nobody.get("/materials/").content.decode()


def test_a_retired_person_is_out_at_a_terminal_at_once(
    nobody: Client, bram: Person, administrator: Person, now: datetime
) -> None:
    make_terminal(nobody)
    unlock(nobody, bram)
    actions.retire_person(bram, by=administrator, at=now)
    assert nobody.get("/materials/").status_code == 302


def test_a_person_without_pin_has_no_page_for_one(nobody: Client, maker: Person) -> None:
    make_terminal(nobody)
    assert nobody.get(f"/terminal/{maker.uuid}/").status_code == 404


def test_the_page_for_the_pin_says_whose_it_is(nobody: Client, bram: Person) -> None:
    make_terminal(nobody)
    assert "<h1>Bram Both</h1>" in nobody.get(f"/terminal/{bram.uuid}/").content.decode()


def test_half_a_pin_is_not_counted_as_a_try(nobody: Client, bram: Person) -> None:
    make_terminal(nobody)
    answer = unlock(nobody, bram, pin="25")
    assert (answer.status_code, Pin.objects.get(person=bram).failed) == (422, 0)


def test_a_wrong_pin_is_said_and_not_shown(nobody: Client, bram: Person) -> None:
    make_terminal(nobody)
    answer = unlock(nobody, bram, pin="8642")
    page = answer.content.decode()
    assert (answer.status_code, page.count("This PIN is not right."), "8642" in page) == (422, 1, False)


def guess(person: Person, *, times: int, at: datetime) -> list[object]:
    """What wrong PINs, one after the other, are answered with."""
    answers: list[object] = []
    for _ in range(times):
        try:
            answers.append(guessing.has_pin(person, pin="0000", address=HERE, at=at))
        except guessing.TooManyTries:
            answers.append("locked")
    return answers


def test_the_fifth_wrong_pin_locks(bram: Person, now: datetime) -> None:
    assert guess(bram, times=6, at=now) == [False, False, False, False, "locked", "locked"]


def test_a_locked_pin_is_refused_even_when_right(bram: Person, now: datetime) -> None:
    guess(bram, times=5, at=now)
    with pytest.raises(guessing.TooManyTries, match="Try again after 10:15"):
        guessing.has_pin(bram, pin=PIN, address=HERE, at=now + timedelta(minutes=14))


def test_the_lock_of_a_pin_opens_after_a_quarter_of_an_hour(bram: Person, now: datetime) -> None:
    guess(bram, times=5, at=now)
    assert guessing.has_pin(bram, pin=PIN, address=HERE, at=now + timedelta(minutes=15))


def test_after_the_lock_five_tries_count_anew(bram: Person, now: datetime) -> None:
    guess(bram, times=5, at=now)
    assert guess(bram, times=4, at=now + timedelta(minutes=15)) == [False] * 4


def test_a_right_pin_forgets_the_wrong_ones(bram: Person, now: datetime) -> None:
    guess(bram, times=4, at=now)
    guessing.has_pin(bram, pin=PIN, address=HERE, at=now)
    assert guess(bram, times=4, at=now) == [False] * 4


def test_a_manager_lets_a_locked_pin_try_again(signed_in: SignIn, bram: Person, manager: Person) -> None:
    at = timezone.now()
    guess(bram, times=5, at=at)
    signed_in(manager).post("/locked-out/let-try-again/", {"person": bram.uuid})
    assert guessing.has_pin(bram, pin=PIN, address=HERE, at=at)


def test_a_locked_pin_is_told_so_plainly_at_the_terminal(nobody: Client, bram: Person) -> None:
    make_terminal(nobody)
    guess(bram, times=5, at=timezone.now())
    answer = unlock(nobody, bram)
    assert (answer.status_code, "Too many wrong tries." in answer.content.decode()) == (429, True)


def test_counting_pins_leaves_no_history(bram: Person, now: datetime) -> None:
    guess(bram, times=5, at=now)
    from shared.models import HistoryEntry

    changes = HistoryEntry.objects.filter(table_name=Pin._meta.db_table, operation="update")
    assert list(changes) == []


def test_a_page_at_a_terminal_asks_for_the_terminal_and_its_minutes_besides(
    nobody: Client, bram: Person, django_assert_num_queries
) -> None:
    make_terminal(nobody)
    unlock(nobody, bram)
    # session, terminal, person, roles, idle minutes, materials; then the touch: the session saved in its savepoint
    with django_assert_num_queries(9):
        nobody.get("/materials/")
