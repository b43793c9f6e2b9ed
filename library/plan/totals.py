"""The numbers that stay in view while a unit is planned."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass

from library.plan.prepweeks import PrepWeek
from library.plan.unitplan import UnitPlan, cards_named
from library.plan.variety import empty_centers
from library.units.calendar import open_days
from library.units.together import at_once
from library.units.unit import Unit


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
    lines = [line for coverage in plan.coverages for line in coverage.goals]
    return Totals(
        prep=plan.prep_weeks,
        adults=adults_needed(plan),
        goals_met=tuple(line.goal.code for line in lines if not line.is_gap),
        goals_in_all=len(lines),
        centers_empty=empty_centers(plan),
        new_cards=tuple(name for name in named if name not in known),
        used_cards=tuple(name for name in named if name in known),
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
    return next((max(0, each.left) for each in plan.prep_weeks if each.week == week), 0)
