"""Days that were ticked, written as briefly as they can be."""

import datetime as dt
from dataclasses import asdict, replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from library.units.calendar import open_days, placement_days
from library.units.naming import DayNames, name_days
from tests.builders import MONDAY, a_placement, a_room, a_unit

DAY = dt.timedelta(days=1)


def days(*steps):
    return [MONDAY + step * DAY for step in steps]


@pytest.mark.parametrize(
    ("chosen", "named"),
    [
        (days(*range(14)), DayNames()),
        (days(0, 1, 2, 3, 4), DayNames(weeks=(1,))),
        (days(7, 8, 9, 10, 11), DayNames(weeks=(2,))),
        (days(1, 3), DayNames(weeks=(1,), on=("tue", "thu"))),
        (days(1, 3, 8, 10), DayNames(on=("tue", "thu"))),
        (days(1, 8, 10), DayNames(days=tuple(days(1, 8, 10)))),
    ],
)
def test_weeks_come_before_weekdays_and_those_before_dates(chosen, named):
    assert name_days(chosen, a_unit(), a_room()) == named


def test_a_week_that_loses_a_closed_day_is_still_a_week():
    room = a_room(closed=frozenset(days(2)))
    assert name_days(days(0, 1, 3, 4), a_unit(), room) == DayNames(weeks=(1,))


@given(st.sets(st.integers(0, 20)), st.sets(st.integers(0, 20), max_size=4), st.integers(1, 3))
@settings(max_examples=150, deadline=None)
def test_exactly_the_chosen_open_days_are_named(chosen, closed, weeks):
    unit, room = a_unit(weeks=weeks), a_room(closed=frozenset(days(*closed)))
    wanted = tuple(day for day in open_days(unit, room) if day in days(*chosen))
    if wanted:
        placement = replace(a_placement(), **asdict(name_days(days(*chosen), unit, room)))
        assert placement_days(placement, unit, room) == wanted
