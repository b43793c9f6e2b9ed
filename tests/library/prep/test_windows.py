"""Prep windows on the calendar."""

import datetime as dt

from hypothesis import given
from hypothesis import strategies as st

from library.prep.windows import minute_of, moment_of, windows_between
from tests.builders import MONDAY, a_room
from tests.library.prep.planned import a_window


def test_windows_lie_on_open_days_only():
    """PREP11 and CAL1: windows on open days; a window never opens a day."""
    room = a_room(prep_windows=(a_window(days=("mon", "tue", "sat")),), closed=frozenset([MONDAY]))
    found = windows_between(room, MONDAY, MONDAY + dt.timedelta(days=6))
    assert [window.date for window in found] == [MONDAY + dt.timedelta(days=1)]


def test_several_windows_a_day_are_separate_and_in_order_of_time():
    """PREP11: several windows a day are separate."""
    late, early = a_window(dt.time(16), dt.time(17)), a_window(dt.time(7), dt.time(7, 30))
    found = windows_between(a_room(prep_windows=(late, early)), MONDAY, MONDAY)
    assert [window.label for window in found] == ["07:00-07:30", "16:00-17:00"]
    assert [window.number for window in found] == [0, 1]


def test_a_window_is_named_by_its_times():
    """PREP22: ``13:00-13:40``."""
    (window,) = windows_between(a_room(prep_windows=(a_window(),)), MONDAY, MONDAY)
    assert window.label == "13:00-13:40"
    assert window.minutes == 40


def test_a_windows_adults_are_not_limited_by_the_rooms():
    """PREP12: a window for five adults in a room of two has five."""
    room = a_room(prep_windows=(a_window(adults=5),))
    assert windows_between(room, MONDAY, MONDAY)[0].adults == 5


def test_windows_without_minutes_or_adults_are_none():
    room = a_room(
        prep_windows=(a_window(end=dt.time(13)), a_window(end=dt.time(12)), a_window(adults=0))
    )
    assert windows_between(room, MONDAY, MONDAY) == ()


@given(st.datetimes(dt.datetime(1970, 1, 1), dt.datetime(2199, 12, 31)))
def test_minutes_count_the_wall_clock(moment):
    """CAL6: a day is 1440 minutes whatever the clocks do."""
    whole = moment.replace(second=0, microsecond=0)
    assert moment_of(minute_of(whole)) == whole
    assert minute_of(whole + dt.timedelta(days=1)) - minute_of(whole) == 1440
