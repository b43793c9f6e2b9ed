"""What is done on the day itself: morning and daily steps, which no plan schedules (PREP18)."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from library.cards.values import Refresh, When
from library.materials.material import MaterialBook
from library.units.placed import Placed

WATER = "water"
"""Main name of the material that is always put out in the morning, never the day before."""


@dataclass(frozen=True, slots=True)
class DayStep:
    """One thing an adult does on the day."""

    center: str
    activity: str
    do: str
    minutes: int
    """0 where the card gives none."""
    daily: bool
    """Each day; else only on the placement's first."""


def steps_on(day: dt.date, placed: Iterable[Placed], book: MaterialBook) -> tuple[DayStep, ...]:
    """The morning and daily steps of a day, in placement order.

    Morning steps belong to a placement's first open day, daily ones to each. Water is always a
    matter of the morning: where a card puts water out anew and has no step of its own that day, it
    is listed with the amount as written and no minutes.
    """
    found: list[DayStep] = []
    for each in placed:
        if each.card is None or day not in each.days:
            continue
        own = [
            DayStep(each.center, each.card.id, step.do, step.minutes, step.on is When.DAILY)
            for step in each.card.steps
            if step.on is When.DAILY or (step.on is When.MORNING and day == each.first_day)
        ]
        found += own or [
            DayStep(each.center, each.card.id, f"{line.item}: {line.amount}", 0, daily)
            for line in each.card.materials
            if book.main_name(line.item) == WATER
            and ((daily := line.refresh is Refresh.EACH_DAY) or day == each.first_day)
        ]
    return tuple(found)


def minutes_on(steps: Iterable[DayStep]) -> int:
    """Minutes of a day's steps."""
    return sum(step.minutes for step in steps)
