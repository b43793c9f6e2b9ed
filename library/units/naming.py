"""The shortest way to write the days on which a placement stands."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection
from dataclasses import dataclass

from library.room.room import WEEKDAYS, Room, Weekday
from library.units.calendar import open_days, week_of
from library.units.unit import Unit


@dataclass(frozen=True, slots=True)
class DayNames:
    """The keys of a placement that name its days; all empty: every day of the unit."""

    weeks: tuple[int, ...] = ()
    days: tuple[dt.date, ...] = ()
    on: tuple[Weekday, ...] = ()


def name_days(chosen: Collection[dt.date], unit: Unit, room: Room) -> DayNames:
    """Names chosen days so that exactly they are meant: weeks, then weekdays, then single dates.

    Every open day of the unit needs no name at all. Weeks and weekdays are preferred to dates,
    since they move along with a unit that is cloned.

    Args:
        chosen: The days; those that are not open in the unit are left out.
        unit: The unit.
        room: Its open days.
    """
    every = open_days(unit, room)
    days = tuple(day for day in every if day in chosen)
    held = {week_of(unit, day) for day in days}
    weeks = tuple(week for week in range(1, unit.weeks + 1) if week in held)
    in_weeks = [day for day in every if week_of(unit, day) in held]
    if len(in_weeks) == len(every):
        weeks = ()
    if len(in_weeks) == len(days):
        return DayNames(weeks)
    used = {day.weekday() for day in days}
    if sum(day.weekday() in used for day in in_weeks) == len(days):
        return DayNames(weeks, (), tuple(WEEKDAYS[number] for number in sorted(used)))
    return DayNames((), days)
