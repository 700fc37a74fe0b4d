from datetime import date, datetime, time, timedelta

import pytest
from django.utils import timezone

from shared.refusals import Refused
from tests.factories.hours import load_hours, make_closure, make_room
from workshop.hours import actions, queries
from workshop.hours.models import Bench, Closure, OpeningHours, Room
from workshop.staff.models import Person

pytestmark = pytest.mark.django_db

FRIDAY, SATURDAY = date(2026, 11, 27), date(2026, 11, 28)


def test_the_workshop_starts_open_from_monday_to_friday() -> None:
    load_hours()
    week = [date(2026, 11, 23) + timedelta(days=days) for days in range(7)]
    assert [queries.is_open(day) for day in week] == [True] * 5 + [False] * 2


def test_a_closed_day_is_not_open() -> None:
    load_hours()
    make_closure(day=FRIDAY, name="Stock-taking")
    assert (queries.is_open(FRIDAY), str(queries.closure_on(FRIDAY))) == (False, "2026-11-27: Stock-taking")


def test_a_day_without_closure_has_none() -> None:
    make_closure(day=FRIDAY)
    assert queries.closure_on(SATURDAY) is None


def test_loading_twice_adds_nothing() -> None:
    load_hours()
    before = (Bench.objects.count(), Room.objects.count(), OpeningHours.objects.count())
    load_hours()
    assert (Bench.objects.count(), Room.objects.count(), OpeningHours.objects.count()) == before == (11, 1, 5)


def test_loading_leaves_the_workshops_own_room_and_hours_alone(manager: Person, now: datetime) -> None:
    make_room(name="Casting room")
    actions.set_opening_hours(weekday=5, opens=time(9), closes=time(12), by=manager, at=now)
    load_hours()
    assert [room.name for room in Room.objects.all()] == ["Casting room"]
    assert [str(spell) for spell in OpeningHours.objects.all()] == ["5: 09:00 to 12:00"]


def test_a_weekday_gets_other_hours(manager: Person, now: datetime) -> None:
    load_hours()
    actions.set_opening_hours(weekday=4, opens=time(9), closes=time(12), by=manager, at=now)
    assert [str(spell) for spell in queries.opening_hours_on(FRIDAY)] == ["4: 09:00 to 12:00"]


def test_a_weekday_without_times_is_closed(manager: Person, now: datetime) -> None:
    load_hours()
    actions.set_opening_hours(weekday=4, opens=None, closes=None, by=manager, at=now)
    assert queries.is_open(FRIDAY) is False


@pytest.mark.parametrize(("opens", "closes"), [(time(9), None), (None, time(9)), (time(12), time(9))])
def test_hours_that_make_no_sense_are_refused(
    manager: Person, now: datetime, opens: time | None, closes: time | None
) -> None:
    with pytest.raises(Refused):
        actions.set_opening_hours(weekday=4, opens=opens, closes=closes, by=manager, at=now)


def test_a_room_of_the_same_name_is_refused(manager: Person, now: datetime) -> None:
    make_room(name="Casting room")
    with pytest.raises(Refused):
        actions.add_room(name="Casting room", by=manager, at=now)


def test_a_day_is_closed_once(manager: Person, now: datetime) -> None:
    day = timezone.localdate(now)
    actions.add_closure(day=day, name="Flood", by=manager, at=now)
    with pytest.raises(Refused, match="closed on that day already"):
        actions.add_closure(day=day, name="Flood again", by=manager, at=now)


def test_a_day_gone_by_can_be_neither_closed_nor_opened(manager: Person, now: datetime) -> None:
    yesterday = timezone.localdate(now) - timedelta(days=1)
    closure = make_closure(day=yesterday)
    with pytest.raises(Refused, match="gone by"):
        actions.remove_closure(closure, by=manager, at=now)
    with pytest.raises(Refused, match="gone by"):
        actions.add_closure(day=yesterday - timedelta(days=1), name="Too late", by=manager, at=now)


def test_a_manager_closes_a_day_and_opens_it_again(signed_in, manager: Person) -> None:
    client, day = signed_in(manager), timezone.localdate() + timedelta(days=30)
    assert client.post("/hours/closures/", {"day": day, "name": "Holiday"}).status_code == 303
    closure = Closure.objects.get(day=day)
    assert client.post(f"/hours/closures/{closure.uuid}/remove/").status_code == 303
    assert Closure.objects.count() == 0


def test_a_manager_adds_a_room(signed_in, manager: Person) -> None:
    assert signed_in(manager).post("/hours/rooms/", {"name": "Casting room"}).status_code == 303
    assert Room.objects.get().name == "Casting room"


def test_a_manager_sets_the_hours_of_a_weekday(signed_in, manager: Person) -> None:
    answer = signed_in(manager).post("/hours/weekdays/5/", {"opens": "09:00", "closes": "12:30"})
    assert (answer.status_code, str(OpeningHours.objects.get())) == (303, "5: 09:00 to 12:30")


def test_there_is_no_eighth_weekday(signed_in, manager: Person) -> None:
    assert signed_in(manager).post("/hours/weekdays/7/", {"opens": "", "closes": ""}).status_code == 404


def test_what_is_refused_is_said_on_the_page(signed_in, manager: Person) -> None:
    make_room(name="Casting room")
    answer = signed_in(manager).post("/hours/rooms/", {"name": "Casting room"})
    assert (answer.status_code, "There is a room of this name already." in answer.content.decode()) == (422, True)


def test_a_time_that_is_none_is_refused(signed_in, manager: Person) -> None:
    assert signed_in(manager).post("/hours/weekdays/5/", {"opens": "early", "closes": "12:30"}).status_code == 422


@pytest.mark.parametrize("role", ["reception", "clinician", "maker", "administrator"])
def test_nobody_but_a_manager_changes_rooms_and_hours(signed_in, request, role: str) -> None:
    client = signed_in(request.getfixturevalue(role))
    assert [client.get("/hours/").status_code, client.post("/hours/rooms/", {"name": "A"}).status_code] == [403, 403]


def test_hours_that_are_refused_are_kept_as_they_were_typed(signed_in, manager: Person) -> None:
    answer = signed_in(manager).post("/hours/weekdays/5/", {"opens": "09:15", "closes": ""})
    page = answer.content.decode()
    assert (answer.status_code, 'id="opens-5" value="09:15"' in page) == (422, True)
