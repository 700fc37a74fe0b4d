"""The two days on which a clock lies, on London's clock: 29 March and 25 October 2026."""

from datetime import UTC, date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from cases.diary.clock import NoSuchTime, happens_twice, instant

LONDON = ZoneInfo("Europe/London")
SPRING, AUTUMN = date(2026, 3, 29), date(2026, 10, 25)


def test_a_summer_time_is_an_hour_ahead_of_the_worlds_clock() -> None:
    assert instant(date(2026, 7, 1), time(9), zone=LONDON) == datetime(2026, 7, 1, 8, tzinfo=UTC)


def test_a_time_that_the_clocks_skip_is_refused_in_a_sentence() -> None:
    with pytest.raises(NoSuchTime) as refused:
        instant(SPRING, time(1, 30), zone=LONDON)
    assert str(refused.value) == (
        "There is no 01:30 on Sun 29 Mar 2026: the clocks go forward over it. It is 02:30 then."
    )


@pytest.mark.parametrize("fold", [0, 1])
def test_no_fold_makes_a_skipped_time_real(fold: int) -> None:
    with pytest.raises(NoSuchTime):
        instant(SPRING, time(1), zone=LONDON, fold=fold)


@pytest.mark.parametrize(("at", "hour_utc"), [(time(0, 59), 0), (time(2), 1)])
def test_the_minutes_around_the_gap_are_real(at: time, hour_utc: int) -> None:
    assert instant(SPRING, at, zone=LONDON).astimezone(UTC).hour == hour_utc


def test_the_hour_that_comes_twice_is_two_instants_an_hour_apart() -> None:
    first, second = (instant(AUTUMN, time(1, 30), zone=LONDON, fold=fold).astimezone(UTC) for fold in (0, 1))
    assert second - first == timedelta(hours=1)


@pytest.mark.parametrize(
    ("day", "at", "twice"),
    [(AUTUMN, time(1), True), (AUTUMN, time(1, 59), True), (AUTUMN, time(2), False), (SPRING, time(1, 30), False)],
)
def test_only_the_hour_before_the_clocks_go_back_comes_twice(day: date, at: time, *, twice: bool) -> None:
    assert happens_twice(day, at, zone=LONDON) == twice


@given(st.datetimes(min_value=datetime(2020, 1, 1), max_value=datetime(2035, 1, 1)), st.sampled_from([0, 1]))
def test_whatever_is_not_refused_shows_the_same_clock_again(wall: datetime, fold: int) -> None:
    try:
        found = instant(wall.date(), wall.time(), zone=LONDON, fold=fold)
    except NoSuchTime:
        return
    assert found.astimezone(UTC).astimezone(LONDON).replace(tzinfo=None) == wall
