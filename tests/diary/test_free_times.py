"""Free times against a slower way of finding them: every minute of every day asked one by one."""

from datetime import UTC, date, datetime, time, timedelta
from itertools import pairwise
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.diary.free_times import Calendar, Opening, Spell, free_times, gaps, next_quarter

LONDON = ZoneInfo("Europe/London")
MONDAY = date(2026, 3, 23)
WEEKDAYS = tuple(Opening(weekday, time(9), time(12)) for weekday in range(5))


def at(hour: int, minute: int = 0, *, day: date = MONDAY) -> datetime:
    return datetime.combine(day, time(hour, minute), tzinfo=LONDON)


def calendar(*, closed: frozenset[date] = frozenset(), openings: tuple[Opening, ...] = WEEKDAYS) -> Calendar:
    return Calendar(openings, closed, LONDON)


def times(**asked: Any) -> list[str]:
    defaults: dict[str, Any] = {"calendar": calendar(), "taken": [], "minutes": 60, "not_before": at(0)}
    return [f"{found:%a %H:%M}" for found in free_times(**{**defaults, **asked})]


def test_an_empty_morning_holds_its_quarters() -> None:
    assert times(apart=timedelta(0)) == ["Mon 09:00", "Mon 09:15", "Mon 09:30", "Mon 09:45", "Mon 10:00"]


def test_what_is_offered_lies_half_a_day_apart() -> None:
    whole_days = tuple(Opening(weekday, time(9), time(17)) for weekday in range(5))
    assert times(calendar=calendar(openings=whole_days)) == [
        "Mon 09:00",
        "Mon 13:00",
        "Tue 09:00",
        "Tue 13:00",
        "Wed 09:00",
    ]


def test_a_visit_may_follow_straight_on_another() -> None:
    taken = [Spell(at(9), at(10, 30))]
    assert times(taken=taken, how_many=1) == ["Mon 10:30"]


def test_a_visit_never_runs_past_the_closing() -> None:
    taken = [Spell(at(9), at(11, 15))]
    assert times(taken=taken, how_many=1) == ["Tue 09:00"]


def test_a_closure_is_passed_over() -> None:
    assert times(calendar=calendar(closed=frozenset({MONDAY})), how_many=1) == ["Tue 09:00"]


def test_nothing_is_offered_before_the_asked_moment() -> None:
    assert times(not_before=at(9, 20), how_many=1) == ["Mon 09:30"]


def test_a_workshop_that_never_opens_offers_nothing() -> None:
    assert times(calendar=calendar(openings=())) == []


def test_a_visit_without_length_is_a_mistake() -> None:
    with pytest.raises(ValueError, match="no free time"):
        times(minutes=0)


def test_an_opening_in_the_hour_that_the_clocks_skip_is_passed_over() -> None:
    at_night = calendar(openings=(Opening(6, time(1), time(3)),))
    assert times(calendar=at_night, minutes=30, how_many=1) == ["Sun 01:00"]
    assert [
        found.date() for found in free_times(calendar=at_night, taken=[], minutes=30, not_before=at(0), how_many=1)
    ] == [date(2026, 4, 5)]


def test_the_hour_that_comes_twice_is_offered_twice() -> None:
    sunday = date(2026, 10, 25)
    at_night = calendar(openings=(Opening(6, time(1), time(2)),))
    found = free_times(
        calendar=at_night,
        taken=[],
        minutes=60,
        not_before=at(0, day=sunday),
        how_many=5,
        days_ahead=1,
        apart=timedelta(0),
    )
    assert [moment.astimezone(UTC).strftime("%H:%M") for moment in found] == [
        "00:00",
        "00:15",
        "00:30",
        "00:45",
        "01:00",
    ]


quarters = st.integers(min_value=0, max_value=14 * 24 * 4).map(lambda quarter: at(0) + timedelta(minutes=15 * quarter))
spells = st.tuples(quarters, st.integers(min_value=5, max_value=300)).map(
    lambda pair: Spell(pair[0], pair[0].astimezone(UTC) + timedelta(minutes=pair[1]))
)
asked = st.fixed_dictionaries(
    {
        "taken": st.lists(spells, max_size=12),
        "minutes": st.integers(min_value=1, max_value=200),
        "not_before": quarters,
        "how_many": st.integers(min_value=1, max_value=8),
        "apart": st.integers(min_value=0, max_value=30).map(lambda hours: timedelta(hours=hours)),
        "calendar": st.frozensets(st.integers(0, 13).map(lambda days: MONDAY + timedelta(days=days))).map(
            lambda closed: calendar(closed=closed)
        ),
    }
)


@given(asked)
def test_every_offered_time_holds_its_promises(asked: dict) -> None:
    found = free_times(**asked, days_ahead=14)
    offered = [Spell(start, start.astimezone(UTC) + timedelta(minutes=asked["minutes"])) for start in found]
    assert len(offered) <= asked["how_many"]
    assert offered == sorted(offered, key=lambda spell: spell.starts)
    assert [spell for spell in offered if not asked["calendar"].is_open_for(spell)] == []
    assert [spell for spell in offered if any(spell.meets(taken) for taken in asked["taken"])] == []
    assert [start for start in found if start < asked["not_before"]] == []
    assert [(one, other) for one, other in pairwise(offered) if other.starts - one.starts < asked["apart"]] == []


@given(asked)
def test_no_earlier_time_that_lies_far_enough_from_the_one_before_is_passed_over(asked: dict) -> None:
    first_day = asked["not_before"].date()
    every_quarter = (
        datetime.combine(first_day + timedelta(days=days), time(hour, minute), tzinfo=LONDON)
        for days in range(14)
        for hour in range(9, 12)
        for minute in (0, 15, 30, 45)
    )
    slowly = [
        start
        for start in every_quarter
        if start >= asked["not_before"]
        and asked["calendar"].is_open_for(visit := Spell(start, start + timedelta(minutes=asked["minutes"])))
        and not any(visit.meets(taken) for taken in asked["taken"])
    ]
    offered: list[datetime] = []
    for start in slowly:
        if not offered or start.astimezone(UTC) - offered[-1].astimezone(UTC) >= asked["apart"]:
            offered.append(start)
    assert list(free_times(**asked, days_ahead=14)) == offered[: asked["how_many"]]


@given(st.lists(spells, max_size=8))
def test_gaps_and_what_is_taken_make_up_the_whole_opening(taken: list[Spell]) -> None:
    opening = calendar().open_spells(MONDAY)[0]
    minutes = {opening.starts + timedelta(minutes=minute) for minute in range(opening.minutes)}
    used = {minute for minute in minutes if any(spell.starts <= minute < spell.ends for spell in taken)}
    left = gaps(openings=[opening], taken=taken, at_least_minutes=1)
    assert {minute for minute in minutes if any(gap.starts <= minute < gap.ends for gap in left)} == minutes - used


def test_a_gap_too_short_for_any_visit_is_not_shown() -> None:
    opening = calendar().open_spells(MONDAY)[0]
    assert gaps(openings=[opening], taken=[Spell(at(9, 10), at(12))]) == []


def test_an_opening_that_has_passed_leaves_no_gap() -> None:
    assert gaps(openings=[Spell(at(12), at(12))], taken=[]) == []


@pytest.mark.parametrize(
    ("moment", "quarter"), [(at(9), at(9)), (at(9, 1), at(9, 15)), (at(9, 59), at(10)), (at(9, 15), at(9, 15))]
)
def test_the_next_quarter_is_at_or_after_the_moment(moment: datetime, quarter: datetime) -> None:
    assert next_quarter(moment) == quarter


def test_a_second_past_the_quarter_is_already_the_next() -> None:
    assert next_quarter(at(9).replace(second=1)) == at(9, 15)
