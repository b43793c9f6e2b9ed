"""On which days a unit's placements stand. Plain local dates; no clock is asked (CAL6, CAL7)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from library.room.room import WEEKDAYS, Room
from library.room.times import show_day
from library.store.errors import WrongUse
from library.units.unit import Placement, Unit

DAYS_A_WEEK = 7
FIRST_HOUR = dt.time(8)
"""When children arrive where the room has named no blocks (PREP1)."""


def require_monday(starts: dt.date) -> None:
    """Refuses a start that is not a Monday; nothing is shifted silently (CAL2).

    Raises:
        WrongUse: Naming the Monday before and the one after.
    """
    if starts.weekday():
        before = monday_of(starts)
        after = before + dt.timedelta(days=DAYS_A_WEEK)
        raise WrongUse(
            f"starts: found {show_day(starts)}; expected a Monday; "
            f"take {before.isoformat()}, the Monday before, or {after.isoformat()}, the one after"
        )


def monday_of(day: dt.date) -> dt.date:
    """The Monday of a day's week, as ISO 8601 counts weeks."""
    return day - dt.timedelta(days=day.weekday())


def week_days(starts: dt.date, week: int) -> tuple[dt.date, ...]:
    """The seven days of week ``week``, counted from 1: those from starts + 7 (week - 1) (CAL2)."""
    first = starts + dt.timedelta(days=DAYS_A_WEEK * (week - 1))
    return tuple(first + dt.timedelta(days=step) for step in range(DAYS_A_WEEK))


def week_of(unit: Unit, day: dt.date) -> int | None:
    """The week of a unit that a day lies in, from 1; None outside the unit."""
    week = (day - unit.starts).days // DAYS_A_WEEK + 1
    return week if 1 <= week <= unit.weeks else None


def unit_days(unit: Unit) -> tuple[dt.date, ...]:
    """Every day of a unit's weeks, weekends included."""
    return tuple(day for week in range(1, unit.weeks + 1) for day in week_days(unit.starts, week))


def open_days(unit: Unit, room: Room) -> tuple[dt.date, ...]:
    """The days of a unit on which the room is open (CAL1)."""
    return tuple(day for day in unit_days(unit) if room.is_open(day))


def open_days_of_week(unit: Unit, week: int, room: Room) -> tuple[dt.date, ...]:
    """The open days of one week of a unit."""
    return tuple(day for day in week_days(unit.starts, week) if room.is_open(day))


def named_days(placement: Placement, unit: Unit) -> tuple[dt.date, ...]:
    """The days a placement asks for, open or not, in order and once each (CAL3, CAL4, CAL8).

    Days outside the unit never count. Without weeks and days every day of the unit is meant.
    ``on`` leaves only its weekdays.
    """
    if placement.days:
        days = {day for day in placement.days if week_of(unit, day)}
    else:
        weeks = placement.weeks or range(1, unit.weeks + 1)
        inside = (week for week in weeks if 1 <= week <= unit.weeks)
        days = {day for week in inside for day in week_days(unit.starts, week)}
    return tuple(
        sorted(day for day in days if not placement.on or WEEKDAYS[day.weekday()] in placement.on)
    )


def placement_days(placement: Placement, unit: Unit, room: Room) -> tuple[dt.date, ...]:
    """The open days on which a placement stands, in order; empty: it stands nowhere (SUP24)."""
    return tuple(day for day in named_days(placement, unit) if room.is_open(day))


def weeks_held(days: tuple[dt.date, ...]) -> tuple[dt.date, ...]:
    """The Mondays of the different weeks that hold at least one of these days (SUP6)."""
    return tuple(sorted({monday_of(day) for day in days}))


def last_open_day(unit: Unit, room: Room) -> dt.date | None:
    """The last day of a unit on which the room is open; None if it never is."""
    days = open_days(unit, room)
    return days[-1] if days else None


def open_days_ahead(room: Room, day: dt.date, farthest: int = 400) -> tuple[dt.date, ...]:
    """The open days of the week that begins with the next open day, that day or later (CAL1).

    Over a break it is the first week behind it: plans are made while the room is closed.

    Args:
        room: Its open days.
        day: The first that may be one.
        farthest: How many days ahead are looked at; behind them there is none.
    """
    ahead = (day + dt.timedelta(days=number) for number in range(farthest))
    first = next(filter(room.is_open, ahead), None)
    return tuple(filter(room.is_open, week_days(first, 1))) if first else ()


def open_day_before(room: Room, moment: dt.datetime, farthest: int = 400) -> dt.date | None:
    """The last open day that lies before the day of a moment.

    Args:
        room: Says which days are open.
        moment: A local time; its own day never counts.
        farthest: How many days back to look.
    """
    for step in range(1, farthest + 1):
        day = moment.date() - dt.timedelta(days=step)
        if room.is_open(day):
            return day
    return None


def first_morning(day: dt.date, room: Room) -> dt.datetime:
    """When children arrive on a day: the start of the room's first block, else 08:00 (PREP1)."""
    start = min((block.start for block in room.day), default=FIRST_HOUR)
    return dt.datetime.combine(day, start)


def following(unit: Unit, units: Iterable[Unit], most_weeks: int = 1) -> Unit | None:
    """The unit that comes next; None where none starts within some weeks of this one's end.

    Args:
        unit: The unit.
        units: All units, itself among them or not.
        most_weeks: How long a pause may be.
    """
    ends = unit.starts + dt.timedelta(days=DAYS_A_WEEK * unit.weeks)
    latest = ends + dt.timedelta(days=DAYS_A_WEEK * most_weeks)
    later = [each for each in units if ends <= each.starts <= latest and each.id != unit.id]
    return min(later, key=lambda each: (each.starts, each.id), default=None)
