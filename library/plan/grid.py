"""A unit as a table: centers down in walking order, days across, words in cells."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from library.room.room import WEEKDAYS, Room
from library.units.calendar import unit_days
from library.units.placed import Placed
from library.units.unit import Unit


@dataclass(frozen=True, slots=True)
class Cell:
    """A run of neighbouring days of one week on which the same things stand."""

    days: tuple[dt.date, ...]
    placed: tuple[Placed, ...]
    """What stands there, in the unit's order; empty: nothing."""
    closed: bool = False
    """The room is closed on these days."""


@dataclass(frozen=True, slots=True)
class Row:
    """A center over the days of a unit."""

    center: str
    cells: tuple[Cell, ...]

    @property
    def is_empty(self) -> bool:
        """Whether nothing stands here on any day."""
        return not any(cell.placed for cell in self.cells)


@dataclass(frozen=True, slots=True)
class Grid:
    """The whole table."""

    weeks: tuple[tuple[dt.date, ...], ...]
    """The weekdays the room opens on, closed days among them, by week."""
    rows: tuple[Row, ...]

    @property
    def days(self) -> tuple[dt.date, ...]:
        """All columns."""
        return tuple(day for week in self.weeks for day in week)

    def week_of(self, day: dt.date) -> int:
        """The week of a column, from 1."""
        return next(number for number, week in enumerate(self.weeks, 1) if day in week)


def plan_grid(unit: Unit, placed: tuple[Placed, ...], room: Room) -> Grid:
    """Lays a unit out as a table.

    Args:
        unit: The unit.
        placed: Its placements on their days.
        room: Its weekdays, closed days and walking order. A center that the room does not list
            comes after those it does, in the order of the unit.
    """
    days = [day for day in unit_days(unit) if WEEKDAYS[day.weekday()] in room.open]
    weeks = tuple(tuple(week) for _, week in groupby(days, key=lambda day: day.isocalendar()[:2]))
    centers = dict.fromkeys([*room.centers, *(each.center for each in placed)])
    rows = tuple(
        Row(center, tuple(_cells(weeks, [p for p in placed if p.center == center], room)))
        for center in centers
    )
    return Grid(weeks, rows)


def _cells(
    weeks: tuple[tuple[dt.date, ...], ...], here: list[Placed], room: Room
) -> Iterator[Cell]:
    for week in weeks:
        standing = [
            (room.is_open(day), tuple(p for p in here if day in p.days), day) for day in week
        ]
        for (is_open, placed), run in groupby(standing, key=lambda entry: entry[:2]):
            yield Cell(tuple(day for _, _, day in run), placed, closed=not is_open)
