"""Proposals for a new unit: when it could start and what its file could be called."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable

from library.room.room import Room
from library.units.calendar import DAYS_A_WEEK, monday_of, week_days
from library.units.unit import Unit

FARTHEST_WEEKS = 60
"""How far ahead a start is looked for; no room closes longer than a year."""
_SEASONS = ("winter", "spring", "summer", "fall")


def propose_start(units: Iterable[Unit], room: Room, today: dt.date) -> dt.date:
    """The first Monday on which nothing planned stands any more and the room opens that week.

    Args:
        units: All units; those that are over do not count.
        room: Its open days.
        today: The day on which it is asked.
    """
    after = monday_of(today) + dt.timedelta(days=DAYS_A_WEEK)
    for unit in units:
        end = unit.starts + dt.timedelta(days=DAYS_A_WEEK * unit.weeks)
        after = max(after, monday_of(end))
    weeks = (after + dt.timedelta(days=DAYS_A_WEEK * n) for n in range(FARTHEST_WEEKS))
    return next((day for day in weeks if any(map(room.is_open, week_days(day, 1)))), after)


def propose_again(unit: Unit, today: dt.date) -> dt.date:
    """The Monday nearest to the same date of a later year, the first that is not over.

    Args:
        unit: An earlier unit.
        today: The day on which it is asked; a unit may begin in this week.
    """
    day = min(unit.starts.day, 28) if unit.starts.month == 2 else unit.starts.day
    for year in range(max(unit.starts.year + 1, today.year), today.year + 3):
        nearest = monday_of(dt.date(year, unit.starts.month, day) + dt.timedelta(days=3))
        if nearest >= monday_of(today):
            return nearest
    return monday_of(unit.starts + dt.timedelta(days=52 * DAYS_A_WEEK))


def propose_name(starts: dt.date, taken: Collection[str]) -> str:
    """A name such as ``2026-fall``, with a number behind it where that is taken.

    Args:
        starts: First day of the unit; seasons are those of the calendar months in the north:
            winter from December, spring from March, summer from June, fall from September.
        taken: Names of the theme's units.
    """
    name = f"{starts.year}-{_SEASONS[starts.month % 12 // 3]}"
    numbered = (f"{name}-{number}" for number in range(2, len(taken) + 3))
    return name if name not in taken else next(each for each in numbered if each not in taken)
