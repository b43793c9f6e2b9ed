"""The numbers that stay in view while a unit is planned."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from library.cards.card import Card
from library.plan.unitplan import UnitPlan, cards_named
from library.plan.variety import coverages, empty_centers
from library.room.room import WEEKDAYS, Room
from library.units.calendar import open_days, week_days, week_of
from library.units.together import at_once
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


@dataclass(frozen=True, slots=True)
class AdultsNeeded:
    """Adults that one block of one day needs: one for each placement within reach, one to float."""

    day: dt.date
    block: str
    within_reach: int
    needed: int
    there: int


@dataclass(frozen=True, slots=True)
class Totals:
    """What a plan adds up to."""

    prep: tuple[PrepWeek, ...]
    adults: tuple[AdultsNeeded, ...]
    """By day and block; blocks in which nothing is within reach are left out."""
    goals_met: tuple[str, ...]
    """Codes with at least one placement."""
    goals_in_all: int
    """Goals of the series that suit the children."""
    centers_empty: tuple[str, ...]
    new_cards: tuple[str, ...]
    """Ids of cards that no earlier unit of the library used."""
    used_cards: tuple[str, ...]
    """Ids of cards that an earlier unit used."""

    @property
    def prep_minutes(self) -> int:
        """Minutes of ahead work for the whole unit."""
        return sum(week.needed for week in self.prep)


def total(plan: UnitPlan, earlier: Iterable[Unit] = ()) -> Totals:
    """Adds a plan up.

    Args:
        plan: The unit in its room.
        earlier: Other units of the library; those that start before this one count as used.
    """
    before = [unit for unit in earlier if unit.starts < plan.unit.starts]
    known = {name for unit in before for name in cards_named(unit)}
    named = tuple(dict.fromkeys(p.placement.activity for p in plan.placed if p.placement.activity))
    lines = [line for coverage in coverages(plan) for line in coverage.goals]
    return Totals(
        prep=prep_weeks(plan),
        adults=adults_needed(plan),
        goals_met=tuple(line.goal.code for line in lines if not line.is_gap),
        goals_in_all=len(lines),
        centers_empty=empty_centers(plan),
        new_cards=tuple(name for name in named if name not in known),
        used_cards=tuple(name for name in named if name in known),
    )


def prep_weeks(plan: UnitPlan) -> tuple[PrepWeek, ...]:
    """Prep by the week in which a card is first used; each card is counted once.

    What has to be made again because it does not keep is added by the prep plan itself, which
    also knows which step fits into which window.
    """
    needed = dict.fromkeys(range(1, plan.unit.weeks + 1), 0)
    for card, day in _first_uses(plan):
        needed[week_of(plan.unit, day) or 1] += sum(step.minutes for step in card.ahead)
    return tuple(
        PrepWeek(week, minutes, window_minutes(plan.room, week_days(plan.unit.starts, week - 1)))
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


def adults_needed(plan: UnitPlan) -> tuple[AdultsNeeded, ...]:
    """Adults needed at once on each open day, block by block (FIND2)."""
    return tuple(
        AdultsNeeded(
            day,
            moment.block.name,
            len(moment.placed),
            len(moment.placed) + 1,
            plan.room.adults_at(day),
        )
        for day in open_days(plan.unit, plan.room)
        for moment in at_once(plan.placed, day)
    )


def prep_minutes_left(plan: UnitPlan, week: int) -> int:
    """Minutes that the windows before a week still hold, for a search that fills a center; 0 or more."""
    return next((max(0, each.left) for each in prep_weeks(plan) if each.week == week), 0)


def _first_uses(plan: UnitPlan) -> list[tuple[Card, dt.date]]:
    """Each card with the first open day of any of its placements, in placement order."""
    first: dict[str, tuple[Card, dt.date]] = {}
    for placed in plan.placed:
        if placed.card is None or placed.first_day is None:
            continue
        known = first.get(placed.card.id)
        if known is None or placed.first_day < known[1]:
            first[placed.card.id] = (placed.card, placed.first_day)
    return list(first.values())
