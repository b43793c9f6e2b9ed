"""Children's ages and attendance, and times as people write them."""

import datetime as dt

import pytest
from dateutil.relativedelta import relativedelta
from hypothesis import given, settings
from hypothesis import strategies as st

from library.room.room import age_in_months, rule_age_in_months
from library.room.times import read_date, read_month, read_time, read_weekday, show_day
from library.store.problems import Unreadable
from tests.builders import MONDAY, a_child, a_room

months = st.tuples(st.integers(2018, 2030), st.integers(1, 12))
days = st.dates(dt.date(2031, 1, 1), dt.date(2040, 12, 31))


@given(months, days)
@settings(max_examples=200, deadline=None)
def test_ages_are_completed_calendar_months(born, day):
    """AGE1: as dateutil counts from the 1st of the birth month, whatever the day of birth was."""
    gone = relativedelta(day, dt.date(*born, 1))
    assert age_in_months(born, day) == gone.years * 12 + gone.months


@given(months, days, st.integers(1, 28))
@settings(max_examples=200, deadline=None)
def test_under_age_rules_never_take_a_child_for_older_than_it_is(born, day, birthday):
    """AGE1: one month less, so that no possible day of birth makes the child younger than said."""
    gone = relativedelta(day, dt.date(*born, birthday))
    assert rule_age_in_months(born, day) <= gone.years * 12 + gone.months


def test_a_child_stays_under_three_through_the_birthday_month():
    """AGE1: answers change on the 1st of the month after."""
    born = (2023, 10)
    assert age_in_months(born, dt.date(2026, 10, 1)) == 36
    assert rule_age_in_months(born, dt.date(2026, 10, 31)) == 35
    assert rule_age_in_months(born, dt.date(2026, 11, 1)) == 36


def test_children_attend_on_their_days_between_from_and_until():
    wren = a_child(days=("mon",), since=MONDAY, until=MONDAY + dt.timedelta(days=7))
    room = a_room(wren, closed=frozenset({MONDAY + dt.timedelta(days=7)}))
    assert room.attending(MONDAY) == (wren,)
    assert room.attending(MONDAY + dt.timedelta(days=1)) == ()
    assert room.attending(MONDAY + dt.timedelta(days=7)) == ()
    assert room.attending(MONDAY - dt.timedelta(days=7)) == ()


def test_a_date_may_have_another_number_of_adults():
    room = a_room(adults=2, adults_on=((MONDAY, 1),))
    assert room.adults_at(MONDAY) == 1
    assert room.adults_at(MONDAY + dt.timedelta(days=1)) == 2


@pytest.mark.parametrize(
    ("text", "time"),
    [("08:30", "08:30"), ("8:30", "08:30"), ("780", "13:00"), ("60", "01:00"), ("1439", "23:59")],
)
def test_times_are_read_as_written_or_as_yaml_leaves_them(text, time):
    """CMD9: 780 is 13:00."""
    assert read_time(text) == dt.time.fromisoformat(time)


@pytest.mark.parametrize("text", ["", "noon", "24:00", "12:60", "1440", "99999999", "-5", "٣", "8"])
def test_what_is_no_time_is_refused(text):
    """A bare 8 may be an hour or minutes, so it is asked about."""
    with pytest.raises(Unreadable):
        read_time(text)


@pytest.mark.parametrize(
    "text", ["", "2026-02-30", "2026-13-01", "5.10.2026", "1066-10-14", "٢٠٢٦-١٠-٠٥"]
)
def test_what_is_no_date_is_refused(text):
    with pytest.raises(Unreadable):
        read_date(text)
    with pytest.raises(Unreadable):
        read_month(text)


def test_weekdays_are_read_short_or_long():
    assert [read_weekday(t) for t in ("mon", "Tuesday", "WEDNES", "thurs.")] == [
        "mon",
        "tue",
        "wed",
        "thu",
    ]
    for text in ("", "mo", "monkey", "t"):
        with pytest.raises(Unreadable):
            read_weekday(text)


def test_a_day_is_shown_with_its_weekday():
    assert show_day(MONDAY) == "Monday 2026-10-05"
