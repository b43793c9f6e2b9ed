"""Prep week by week against the prep windows, before anything is scheduled."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from library.cards.card import Card
from library.room.room import WEEKDAYS, Room
from library.units.calendar import week_days, week_of
from library.units.placed import Placed
from library.units.unit import Unit


@dataclass(frozen=True, slots=True)
class PrepWeek:
    """Prep for one week of a unit against the windows of the week before it."""

    week: int
    needed: int
    """Minutes of ahead work for cards first used in this week."""
    windows: int
    """Minutes of the room's prep windows on the open days of the week before, all adults added."""

    @property
    def left(self) -> int:
        """Minutes left; negative where the windows of that one week are too short."""
        return self.windows - self.needed


def prep_weeks(unit: Unit, placed: Iterable[Placed], room: Room) -> tuple[PrepWeek, ...]:
    """Prep by the week in which a card is first used; each card is counted once.

    What has to be made again because it does not keep is added by the prep plan itself, which
    also knows which step fits into which window.
    """
    needed = dict.fromkeys(range(1, unit.weeks + 1), 0)
    for card, day in _first_uses(placed):
        needed[week_of(unit, day) or 1] += sum(step.minutes for step in card.ahead)
    return tuple(
        PrepWeek(week, minutes, window_minutes(room, week_days(unit.starts, week - 1)))
        for week, minutes in needed.items()
    )


def window_minutes(room: Room, days: Iterable[dt.date]) -> int:
    """Minutes of a room's prep windows on its open days among some days, all adults added."""
    return sum(
        window.minutes * window.adults
        for day in days
        if room.is_open(day)
        for window in room.prep_windows
        if WEEKDAYS[day.weekday()] in window.days
    )


def _first_uses(placed: Iterable[Placed]) -> list[tuple[Card, dt.date]]:
    """Each card with the first open day of any of its placements, in placement order."""
    first: dict[str, tuple[Card, dt.date]] = {}
    for each in placed:
        if each.card is None or each.first_day is None:
            continue
        known = first.get(each.card.id)
        if known is None or each.first_day < known[1]:
            first[each.card.id] = (each.card, each.first_day)
    return list(first.values())
