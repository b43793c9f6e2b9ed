"""The calendar of a unit, against dateutil.rrule, numpy's busday functions and ISO week examples."""

import datetime as dt

import numpy as np
import pytest
from dateutil.rrule import DAILY, rrule
from hypothesis import given, settings
from hypothesis import strategies as st

from library.room.room import WEEKDAYS, Block
from library.store.errors import WrongUse
from library.units import calendar
from tests.builders import MONDAY, a_placement, a_room, a_unit

TUESDAY = MONDAY + dt.timedelta(days=1)
mondays = st.dates(dt.date(1990, 1, 1), dt.date(2090, 1, 1)).map(calendar.monday_of)


@st.composite
def closures(draw, starts, weeks):
    """Some days around a unit on which the room is closed."""
    steps = draw(st.sets(st.integers(-3, 7 * weeks + 3), max_size=12))
    return frozenset(starts + dt.timedelta(days=step) for step in steps)


@st.composite
def units_with_rooms(draw):
    starts, weeks = draw(mondays), draw(st.integers(1, 6))
    open_days = draw(st.sets(st.sampled_from(WEEKDAYS), min_size=1))
    room = a_room(
        open=tuple(d for d in WEEKDAYS if d in open_days), closed=draw(closures(starts, weeks))
    )
    return a_unit(starts=starts, weeks=weeks), room


@pytest.mark.parametrize(
    ("day", "year", "week", "weekday"),
    [
        ("2005-01-01", 2004, 53, 6),
        ("2007-01-01", 2007, 1, 1),
        ("2008-12-29", 2009, 1, 1),
        ("2010-01-03", 2009, 53, 7),
        ("2020-12-31", 2020, 53, 4),
    ],
)
def test_the_monday_of_a_week_agrees_with_published_iso_8601_examples(day, year, week, weekday):
    """ISO 8601 week dates, the examples around New Year that are published with the standard."""
    date = dt.date.fromisoformat(day)
    assert calendar.monday_of(date) == dt.date.fromisocalendar(year, week, 1)
    assert calendar.monday_of(date) + dt.timedelta(days=weekday - 1) == date


def test_open_days_are_the_rooms_weekdays_less_closed():
    """CAL1: Monday to Friday unless said, less closed; prep windows define nothing."""
    room = a_room(closed=frozenset({TUESDAY}))
    days = calendar.open_days(a_unit(weeks=1), room)
    assert [d.isoformat() for d in days] == ["2026-10-05", "2026-10-07", "2026-10-08", "2026-10-09"]


@given(units_with_rooms())
@settings(max_examples=60, deadline=None)
def test_open_days_agree_with_rrule(pair):
    """CAL1, CAL2: the same days as RFC 5545's recurrence rule gives through dateutil."""
    unit, room = pair
    rule = rrule(
        DAILY,
        dtstart=dt.datetime.combine(unit.starts, dt.time()),
        count=7 * unit.weeks,
    )
    weekdays = {WEEKDAYS.index(name) for name in room.open}
    expected = [
        day.date() for day in rule if day.weekday() in weekdays and day.date() not in room.closed
    ]
    assert list(calendar.open_days(unit, room)) == expected


@given(units_with_rooms())
@settings(max_examples=60, deadline=None)
def test_open_days_agree_with_numpy_business_days(pair):
    """CAL1: as many days as numpy's busday_count, and the first is busday_offset's."""
    unit, room = pair
    mask = "".join("1" if name in room.open else "0" for name in WEEKDAYS)
    holidays = np.array(sorted(room.closed), dtype="datetime64[D]")
    end = unit.starts + dt.timedelta(weeks=unit.weeks)
    days = calendar.open_days(unit, room)
    assert len(days) == np.busday_count(unit.starts, end, weekmask=mask, holidays=holidays)
    if days:
        first = np.busday_offset(unit.starts, 0, roll="forward", weekmask=mask, holidays=holidays)
        assert days[0] == first.astype(object)


def test_week_k_is_the_seven_days_from_starts():
    """CAL2: week k is the seven days from starts + 7(k-1)."""
    week = calendar.week_days(MONDAY, 3)
    assert (week[0].isoformat(), week[-1].isoformat()) == ("2026-10-19", "2026-10-25")


def test_a_start_that_is_no_monday_is_refused_with_the_monday_before():
    """CAL2: refused, naming the Monday before; not shifted."""
    calendar.require_monday(MONDAY)
    with pytest.raises(WrongUse, match="2026-10-05, the Monday before"):
        calendar.require_monday(TUESDAY)


def test_weeks_and_days_outside_the_unit_never_count():
    """CAL3."""
    unit, room = a_unit(weeks=1), a_room()
    assert calendar.placement_days(a_placement(weeks=(2,)), unit, room) == ()
    outside = a_placement(days=(MONDAY - dt.timedelta(days=3), MONDAY + dt.timedelta(days=7)))
    assert calendar.placement_days(outside, unit, room) == ()
    saturday = a_placement(days=(MONDAY + dt.timedelta(days=5),))
    assert calendar.placement_days(saturday, unit, room) == ()


def test_neither_weeks_nor_days_means_every_week():
    """CAL4."""
    assert len(calendar.placement_days(a_placement(), a_unit(weeks=2), a_room())) == 10


def test_a_closed_date_is_no_day_of_the_placement():
    """CAL5: neither first use nor first morning."""
    room = a_room(closed=frozenset({MONDAY}))
    days = calendar.placement_days(a_placement(days=(MONDAY, TUESDAY)), a_unit(), room)
    assert days == (TUESDAY,)


def test_on_leaves_only_its_weekdays():
    days = calendar.placement_days(a_placement(weeks=(1,), on=("tue", "thu")), a_unit(), a_room())
    assert [day.isoformat() for day in days] == ["2026-10-06", "2026-10-08"]


def test_a_change_of_clocks_changes_no_day():
    """CAL6: plain local dates; 25 October and 1 November 2026 end summer time in the EU and US."""
    unit = a_unit(starts=dt.date(2026, 10, 19), weeks=3)
    assert len(calendar.open_days(unit, a_room())) == 15


def test_equal_dates_count_once():
    """CAL8."""
    placement = a_placement(days=(TUESDAY, TUESDAY))
    assert calendar.placement_days(placement, a_unit(), a_room()) == (TUESDAY,)


def test_weeks_held_are_those_with_an_open_day():
    """SUP6: the number of different weeks that hold at least one of the days."""
    room = a_room(closed=frozenset(MONDAY + dt.timedelta(days=7 + d) for d in range(5)))
    days = calendar.placement_days(a_placement(), a_unit(weeks=3), room)
    assert calendar.weeks_held(days) == (MONDAY, MONDAY + dt.timedelta(days=14))


def test_the_first_morning_is_eight_or_the_first_block():
    """PREP1."""
    assert calendar.first_morning(MONDAY, a_room()) == dt.datetime(2026, 10, 5, 8)
    blocks = (
        Block("outside", dt.time(10), dt.time(11), "outdoor"),
        Block("free play", dt.time(8, 30), dt.time(10)),
    )
    assert calendar.first_morning(MONDAY, a_room(day=blocks)) == dt.datetime(2026, 10, 5, 8, 30)


@given(mondays, st.integers(0, 400))
@settings(max_examples=50, deadline=None)
def test_the_open_day_before_agrees_with_numpy(monday, step):
    """Backwards over weekends and closures as numpy's busday_offset with roll backward."""
    day = monday + dt.timedelta(days=step)
    closed = frozenset(day - dt.timedelta(days=n) for n in (1, 2, 3, 8))
    expected = np.busday_offset(
        day - dt.timedelta(days=1),
        0,
        roll="backward",
        holidays=np.array(sorted(closed), dtype="datetime64[D]"),
    ).astype(object)
    moment = dt.datetime.combine(day, dt.time(8))
    assert calendar.open_day_before(a_room(closed=closed), moment) == expected


def test_the_week_ahead_begins_with_the_next_open_day():
    """CAL1: a closed week is passed over; Wednesday to the Tuesday behind it are one week."""
    wednesday = dt.date(2026, 10, 7)
    days = calendar.open_days_ahead(a_room(), wednesday)
    assert [(day - MONDAY).days for day in days] == [2, 3, 4, 7, 8]
    shut = a_room(closed=frozenset(MONDAY + dt.timedelta(days=n) for n in range(2, 14)))
    assert calendar.open_days_ahead(shut, wednesday)[0] == dt.date(2026, 10, 19)
    assert len(calendar.open_days_ahead(shut, wednesday)) == 5
    assert calendar.open_days_ahead(a_room(open=()), wednesday) == ()


def test_the_last_open_day_and_the_week_of_a_day():
    unit = a_unit(weeks=2)
    assert calendar.last_open_day(unit, a_room()) == dt.date(2026, 10, 16)
    assert calendar.last_open_day(unit, a_room(open=())) is None
    assert calendar.week_of(unit, dt.date(2026, 10, 12)) == 2
    assert calendar.week_of(unit, dt.date(2026, 10, 19)) is None
    assert calendar.week_of(unit, dt.date(2026, 10, 4)) is None
