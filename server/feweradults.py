"""Reads on which day, and with how many adults, a unit is looked at with fewer of them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass

from library.plan.unitplan import UnitPlan
from library.room.times import read_date
from library.store.errors import NotFound, WrongUse
from library.store.problems import Unreadable
from library.units.calendar import open_days

MOST_ADULTS = 30


@dataclass(frozen=True, slots=True)
class Fewer:
    """A day with fewer adults."""

    day: dt.date
    days: tuple[dt.date, ...]
    """Open days of the unit."""
    adults: int
    usual: int
    """Adults that are there by the room's own word."""


def read_fewer(plan: UnitPlan, values: Mapping[str, str], today: dt.date) -> Fewer:
    """What an address asks: today or the first day, and one adult fewer, unless it says otherwise.

    Raises:
        WrongUse: If the room is open on no day of the unit.
        NotFound: If the day is none of its open days.
    """
    days = open_days(plan.unit, plan.room)
    if not days:
        raise WrongUse("the room is not open on any day of this unit")
    day = today if today in days else days[0]
    try:
        day = read_date(values["day"]) if values.get("day") else day
    except Unreadable as error:
        raise NotFound(f"day: {error}") from error
    if day not in days:
        raise NotFound(f"{day} is no open day of this unit; it has {days[0]} to {days[-1]}")
    usual = plan.room.adults_at(day)
    said = values.get("adults", "")
    adults = int(said) if said.isascii() and said.isdecimal() and len(said) < 4 else usual - 1
    return Fewer(day, days, min(max(adults, 0), MOST_ADULTS), usual)
