"""Which goals a unit's activities serve, week by week, and where none does."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import dataclass

from library.frameworks.framework import Framework, Goal, goal_code
from library.room.room import Room, age_in_months
from library.units.calendar import open_days_of_week, week_of
from library.units.placed import Placed
from library.units.unit import Unit


@dataclass(frozen=True, slots=True)
class GoalCount:
    """A goal with the number of placements that serve it in each week."""

    goal: Goal
    weeks: tuple[int, ...]
    """Placements by week, the first week first."""

    @property
    def is_gap(self) -> bool:
        """Whether no placement of the unit serves it."""
        return not any(self.weeks)


@dataclass(frozen=True, slots=True)
class AreaGap:
    """An area without any goal in one week."""

    week: int
    series: str
    """infant-toddler, preschool or empty."""
    area: str


@dataclass(frozen=True, slots=True)
class Coverage:
    """A framework against a unit."""

    framework: Framework
    goals: tuple[GoalCount, ...]
    """Goals of the series that suit the children, those without any placement first."""
    gaps: tuple[AreaGap, ...]
    """Areas without any goal in a week, by week."""
    unknown: tuple[str, ...]
    """Codes on the unit's cards that are none of the framework."""


def cover(unit: Unit, placed: tuple[Placed, ...], room: Room, framework: Framework) -> Coverage:
    """Counts goals by week and names the areas that a week leaves out (FIND15).

    A placement serves its card's goals in each week in which it has an open day. The series that
    count are those for the ages of the children attending in that week; in a room without
    children both count. A week without open days has no gaps.
    """
    counts = _counts(unit, placed)
    weeks = range(1, unit.weeks + 1)
    all_ages = {age for week in weeks for age in ages_in_week(unit, week, room)}
    lines = [
        GoalCount(goal, tuple(counts[goal.code, week] for week in weeks))
        for goal in framework.goals
        if any(goal.suits(age) for age in all_ages or BOTH_SERIES)
    ]
    used = dict.fromkeys(code for code, _ in counts)
    return Coverage(
        framework,
        tuple(sorted(lines, key=lambda line: not line.is_gap)),
        tuple(gap for week in weeks for gap in _gaps(unit, week, room, framework, counts)),
        tuple(code for code in used if framework.find(code) is None),
    )


BOTH_SERIES = (24, 36)
"""Ages that stand for both series, where no child is known."""


def ages_in_week(unit: Unit, week: int, room: Room) -> tuple[int, ...]:
    """Ages in months, on a week's first open day, of the children attending in that week."""
    days = open_days_of_week(unit, week, room)
    if not days:
        return ()
    there = {child for day in days for child in room.attending(day)}
    return tuple(sorted(age_in_months(child.born, days[0]) for child in there))


def _counts(unit: Unit, placed: tuple[Placed, ...]) -> Counter[tuple[str, int]]:
    counts: Counter[tuple[str, int]] = Counter()
    for each in placed:
        codes = {goal_code(code) for code in each.card.domains} if each.card else set()
        for week in _weeks(unit, each.days):
            counts.update((code, week) for code in codes)
    return counts


def _weeks(unit: Unit, days: tuple[dt.date, ...]) -> set[int]:
    return {week for day in days if (week := week_of(unit, day))}


def _gaps(
    unit: Unit, week: int, room: Room, framework: Framework, counts: Counter[tuple[str, int]]
) -> list[AreaGap]:
    if not open_days_of_week(unit, week, room):
        return []
    ages = ages_in_week(unit, week, room) or BOTH_SERIES
    met = {(goal.age, goal.area) for goal in framework.goals if counts[goal.code, week]}
    return [AreaGap(week, *area) for area in framework.areas(ages) if area not in met]
